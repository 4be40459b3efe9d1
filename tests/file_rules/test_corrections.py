"""Lines of a certificate in a standard's file: what is refused, and what is asked about."""

import pytest

from tests.small_shop import (coil, function, load_points, only_problem, range_, reference, row,
                              standard)

VOLTS = function("DC voltage", range_("6 V", "1 mV", "0.5 % + 2 counts"))
AMPS = {"function": "AC current", "clamp": "yes", "ranges": [
    range_("60 A", "10 mA", [row("1.8 % + 5 counts", frequency="45 Hz to 1 kHz")], lowest="3 A")]}
POINT = {"at": "3 V", "correction": "0.3 mV", "within": "0.1 mV"}
LINE = {"between": "straight line", "between_within": "0.1 mV"}


def shop_of(folder, *lines: dict, **more):
    """A source with such lines; `more` are keys beside them, None for none."""
    made = {"use": "applied", "drift": "included", "values": list(lines or [POINT])} | more
    by = standard({}, outputs=[{
        "output": "DC voltage", "terminals": ["HI", "LO"],
        "rows": [{"values": "0 V to 10 V", "within": "0.02 % + 1 mV"}],
        "corrections": {key: one for key, one in made.items() if one is not None}}])
    return load_points(folder, VOLTS, {"apply": "3 V"}, standards=[by])


@pytest.mark.parametrize("change, code, said", [
    ({"correction": None}, "missing", "one of"), ({"error": "0.3 mV"}, "missing", "one of"),
    ({"correction": None, "actual": "30 V"}, "certified", "far from"),
    ({"correction": "1 V"}, "certified", "far from"), ({"correction": "3 mA"}, "unit", "current"),
    ({"at": "3 A"}, "unit", "current"), ({"within": "1 count"}, "unit", "percent or ppm"),
    ({"within": "1 mA"}, "unit", "current"), ({"frequency": "1 kHz"}, "frequency", "DC has none"),
    ({"drift": "1 mA"}, "unit", "current"), ({"drift": "none"}, "value", "no reason"),
    ({"within": None}, "missing", "within")])
def test_what_is_wrong_with_a_line(change, code, said, tmp_path):
    """At its place in the standard's file."""
    line = {key: one for key, one in (POINT | change).items() if one is not None}
    problem = only_problem(shop_of(tmp_path, line))
    assert (problem.code, problem.place.file) == (code, "procedures/standards/petrel.yaml")
    assert said in problem.sentence, problem.sentence


@pytest.mark.parametrize("change, code", [
    ({"use": None}, "missing"), ({"use": "both"}, "choice"),
    ({"between": "straight line"}, "missing"), ({"between_within": "1 mV"}, "missing"),
    ({"between": "a spline"}, "choice"), ({"values": []}, "value"),
    ({"values": [POINT, POINT]}, "twice"),
    (LINE | {"between_within": "1 mA"}, "unit"), ({"drift": "1 mA"}, "unit")])
def test_what_is_wrong_with_all_of_them(change, code, tmp_path):
    """Above all: applied or stated, never both, and no line between values without a word of how
    good it is."""
    assert only_problem(shop_of(tmp_path, **change)).code == code


def warnings(shop) -> list[str]:
    assert not shop.errors
    return [one.code for one in shop.problems]


@pytest.mark.parametrize("line, more, expected", [
    ({}, {}, []), ({}, {"drift": None}, ["drift"]), ({"drift": "20 ppm"}, {"drift": None}, []),
    ({"at": "30 V"}, {}, ["doubt"]), ({"at": "30 V", "confirmed": "beyond its range"}, {}, []),
    # the row allows 0.6 mV and 1 mV at 3 V
    ({"correction": "1.6 mV"}, {}, []), ({"correction": "-1.7 mV"}, {}, ["doubt"]),
    ({"correction": "-1.7 mV", "confirmed": "so on page 2"}, {}, [])])
def test_what_is_asked_about(line, more, expected, tmp_path):
    """Drift that nothing is said of, a value where no row holds, and a correction beyond what the
    rows state."""
    assert warnings(shop_of(tmp_path, POINT | line, **more)) == expected


@pytest.mark.parametrize("change, code", [
    ({"between": None, "between_within": None}, "missing"),
    ({"use": "applied", "between": None, "between_within": None}, "missing")])
def test_a_reference_meter_reads_anything(change, code, tmp_path):
    """Stated or applied: what it reads is seldom a value of its certificate."""
    made = {"use": "stated", "drift": "included", "values": [POINT]} | LINE | change
    ref = reference(("DC voltage", {"values": "0 V to 10 V", "resolution": "10 uV",
                                    "within": "5 mV"},
                     {"corrections": {key: one for key, one in made.items() if one is not None}}))
    shop = load_points(tmp_path, VOLTS, {"apply": "3 V", "compare_on": "a supply"}, standards=[ref])
    assert only_problem(shop).code == code


@pytest.mark.parametrize("line, code", [
    ({"actual": "49.9 A"}, None), ({"actual": "1 A"}, "certified"), ({"actual": "49.9 V"}, "unit")])
def test_a_coils_line_has_the_current_in_its_wire(line, code, tmp_path):
    """1 A in 50 turns: about 50 A come of it."""
    wound = coil()
    wound["coil"]["corrections"] = {"use": "applied", "values": [
        {"at": "1 A", "frequency": "50 Hz", "within": "0.05 %"} | line]}
    by = standard({"AC current": {"values": "0 A to 20 A", "frequency": "40 Hz to 1 kHz"}})
    shop = load_points(tmp_path, AMPS, {"apply": "50 A", "frequency": "50 Hz"},
                       standards=[by, wound])
    assert [one.code for one in shop.problems] == ([code] if code else [])


def test_degrees_have_none(tmp_path):
    """A temperature's corrections are no part of a file here."""
    by = standard({}, outputs=[{
        "output": "temperature", "terminals": ["HI", "LO"],
        "rows": [{"values": "0 degC to 1000 degC", "within": "0.3 degC"}],
        "corrections": {"use": "applied", "values": [
            {"at": "100 degC", "correction": "0.1 degC", "within": "0.1 degC"}]}}])
    one = function("temperature", range_("1000 degC", "0.1 degC", "1 % + 1 degC"),
                   thermocouple="K", display="20 000 counts")
    shop = load_points(tmp_path, one, {"apply": "100 degC"}, standards=[by])
    assert "corrections" in [problem.code for problem in shop.errors]
