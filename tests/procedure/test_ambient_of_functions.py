"""Reference temperatures and humidities of single functions."""

import pytest

from builder.shop.one_meter import functions_of
from builder.shop.quick_answer import answer
from tests.small_shop import function, load, meter, only_problem, plan, range_, the_procedure

DC = function("DC voltage", range_("6 V", "1 mV", "0.4 % + 2 counts"))
AMPS = function("DC current", range_("6 A", "1 mA", "1 % + 3 counts"), jacks=["A", "COM"])
VOLT, AMP = ({"function": "DC voltage", "apply": "3 V"},
             {"function": "DC current", "apply": "3 A"})
SPECIFICATION = {"source": "x", "holds": "18 to 28 degC", "humidity": "0 to 75 %"}
COEFFICIENT = SPECIFICATION | {"temperature_coefficient": "0.1 per degC"}


def made(folder, own, *points, specification=SPECIFICATION, **more):
    left = [{"function": name, "because": "not here"}
            for name in ("DC voltage", "DC current")
            if name not in [point["function"] for point in points]]
    return load(folder, meter(DC, AMPS | own, specification=specification),
                plan(*points, left_out=left, **more))


@pytest.mark.parametrize("own, ambient, humidity", [
    ({}, "18 to 28", "0 to 75 %"),
    ({"holds": "21 to 30 degC"}, "21 to 28", "0 to 75 %"),
    ({"holds": "20 to 26 degC", "humidity": "10 to 50 %"}, "20 to 26", "10 to 50 %"),
])
def test_a_sheet_is_for_what_its_functions_have_in_common(own, ambient, humidity, tmp_path):
    one = the_procedure(made(tmp_path, own, VOLT, AMP))
    assert one.ambient.startswith(ambient) and one.humidity == humidity
    assert one.data["humidity"] == humidity


def test_a_function_that_is_left_out_limits_nothing(tmp_path):
    one = the_procedure(made(tmp_path, {"holds": "20 to 26 degC"}, VOLT))
    assert one.ambient.startswith("18 to 28")


def test_each_function_grows_from_its_own_band(tmp_path):
    """At 30 to 31 degC volts are two degrees beyond 28, amperes four beyond 26: T is 1.2 times
    (0.012 + 0.002) V and 1.4 times (0.03 + 0.003) A."""
    one = the_procedure(made(tmp_path, {"holds": "20 to 26 degC"}, VOLT, AMP,
                             specification=COEFFICIENT, ambient="30 to 31 degC"))
    assert {p.planned.function.title: (p.accept_from, p.accept_to) for p in one.points} == {
        "DC voltage": ("2.984", "3.016"), "DC current": ("2.954", "3.046")}
    assert any("20 to 26" in note for note in one.notes)


def test_the_quick_answer_does_too(tmp_path):
    shop = made(tmp_path, {"holds": "20 to 26 degC"}, VOLT, AMP, specification=COEFFICIENT)
    lines = answer(functions_of(shop.meters["lapwing-1"]), "DC current", "3 A",
                   ambient="30 degC")[0]
    assert lines[-1].replace("\u00a0", " ").endswith("2.954 A to 3.046 A")


@pytest.mark.parametrize("own, more, words", [
    ({"holds": "30 to 40 degC"}, {}, "no common temperature"),
    ({"humidity": "80 to 90 %"}, {}, "no common humidity"),
    ({"holds": "20 to 26 degC"}, {"ambient": "18 to 28 degC"}, "'DC current' holds"),
    ({"holds": "64 to 82 degF"}, {}, "different degrees"),
    ({"holds": "20 to 26 V"}, {}, "a voltage"),
])
def test_what_goes_beyond_is_a_problem(own, more, words, tmp_path):
    assert words in only_problem(made(tmp_path, own, VOLT, AMP, **more)).sentence
