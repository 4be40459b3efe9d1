"""Clamp-on meters with a coil: N times the source's current, what that is good for, and the jaw
before the current."""

import math
from fractions import Fraction as F

import pytest

from tests.small_shop import (LEADS, box, codes, coil, function, load_points, load_with, meter,
                              only_problem, plan, range_, row, standard, the_procedure)

AMPS = {"function": "AC current", "clamp": "yes", "ranges": [
    range_("60 A", "10 mA", [row("1.8 % + 5 counts", frequency="45 Hz to 1 kHz")], lowest="3 A"),
    range_("600 A", "0.1 A", [row("1.8 % + 5 counts", frequency="45 Hz to 1 kHz")], lowest="30 A")]}
DC_AMPS = {"function": "DC current", "clamp": "yes",
           "ranges": [range_("60 A", "10 mA", "2 % + 10 counts"),
                      range_("600 A", "0.1 A", "2 % + 5 counts")]}
SOURCE = standard(
    {"AC current": {"values": "0 A to 2 A", "frequency": "40 Hz to 1 kHz",
                    "within": "0.1 % + 2 mA"},
     "DC current": {"values": "0 A to 2 A", "within": "0.1 % + 2 mA"}})


def tried(folder, *points, one=AMPS, by=SOURCE, **more):
    points = [{"frequency": "50 Hz"} | p if one is AMPS and "frequency" not in p else p
              for p in points]
    return load_points(folder, one, *points, standards=[by, coil(**more)])


@pytest.mark.parametrize("turns, apply, setting",
                         [("50", "54 A", "1.08 A"), ("50", "3 A", "0.06 A"),
                          ("100", "54 A", "0.54 A"), ("1", "1.5 A", "1.5 A"),
                          ("1000", "90 A", "0.09 A"),
                          ("64", "54 A", "0.84375 A")])
def test_the_source_puts_out_an_nth(turns, apply, setting, tmp_path):
    """x/N exactly, on the sheet and in the data, with the limits around x."""
    one = AMPS | {"ranges": [AMPS["ranges"][0] | {"lowest": "1 A"}, AMPS["ranges"][1]]}
    procedure = the_procedure(load_points(tmp_path, one, {"apply": apply, "frequency": "50 Hz"},
                                          standards=[SOURCE, coil(turns=turns)]))
    (point,), (data,) = procedure.points, procedure.data["points"]
    assert data["source_setting"] == setting and data["kind"] == "coil" and data["expected"] is None
    assert F(data["source_setting"].split()[0]) * int(turns) == point.planned.applied == F(
        data["apply"].split()[0])
    assert point.at.replace("\u00a0",
                            " ") == f"50 Hz, {setting}" and procedure.groups[0].at_head == "Source"
    x, r = F(apply.split()[0]), point.planned.range.resolution
    t = F("0.018") * x + 5 * r
    assert (F(point.accept_from),
            F(point.accept_to)) == (math.ceil((x - t) / r) * r, math.floor((x + t) / r) * r)


def test_turns_that_divide_into_no_decimal(tmp_path):
    """A current that has no finite decimal is refused or shown rounded, but never a traceback."""
    shop = tried(tmp_path, {"apply": "10 A"},
                 by=standard(
                     {"AC current": {"values": "0 A to 20 A", "frequency": "40 Hz to 1 kHz"}}),
                 turns="3")
    assert shop.errors or the_procedure(shop).points


def test_both_polarities(tmp_path):
    """A negative current is the source's own, through the coil."""
    points = the_procedure(tried(tmp_path, {"apply": ["50 A", "-50 A"]},
                                 one=DC_AMPS)).data["points"]
    assert [p["source_setting"] for p in points] == ["1 A", "-1 A"]


@pytest.mark.parametrize("point, more, code", [
    ({"apply": "50 A"}, {"highest": "1 A"}, None),
    ({"apply": "50.01 A"}, {"highest": "1 A"}, "beyond-coil"),
    # the source's 2 A, 50 times
    ({"apply": "100 A"}, {}, None), ({"apply": "100.1 A"}, {}, "beyond-reach"),
    ({"apply": "54 A", "frequency": "400 Hz"}, {}, None),
    ({"apply": "54 A", "frequency": "401 Hz"}, {}, "beyond-coil"),
    ({"apply": "54 A", "frequency": "1 kHz"}, {"frequency": "40 Hz to 2 kHz"}, None),
])
def test_what_coil_and_source_reach(point, more, code, tmp_path):
    """N times the wire's and the source's highest current, at the coil's frequencies; at the edge
    yes, beyond it no."""
    assert codes(tried(tmp_path, point, **more)) == ([code] if code else [])


@pytest.mark.parametrize("frequency, code", [("100 Hz", []), ("101 Hz", ["beyond-reach"])])
def test_the_sources_own_frequencies_hold_through_a_coil(frequency, code, tmp_path):
    """A coil up to 400 Hz makes no source of 100 Hz any faster."""
    slow = standard({"AC current": {"values": "0 A to 2 A", "frequency": "40 Hz to 100 Hz"}})
    assert codes(tried(tmp_path, {"apply": "54 A", "frequency": frequency}, by=slow)) == code


def test_a_coil_without_stated_frequencies(tmp_path):
    """Where the coil's file states none, the source's frequencies alone hold."""
    free = coil()
    del free["coil"]["frequency"]
    for n, (frequency, code) in enumerate((("1 kHz", []), ("1.001 kHz", ["beyond-reach"]))):
        assert codes(load_points(tmp_path / str(n), AMPS, {"apply": "54 A", "frequency": frequency},
                                 standards=[SOURCE, free])) == code


def test_the_hint_beyond_the_source_says_how_often(tmp_path):
    """What the source reaches, and that the coil multiplies it."""
    found = only_problem(tried(tmp_path, {"apply": "100.1 A"}))
    assert "0 to 2 A" in found.hint and "50 times that through Scoter coil" in found.hint


def test_direct_current_has_no_frequency_to_be_beyond(tmp_path):
    """The coil's band of frequencies says nothing about DC."""
    assert the_procedure(tried(tmp_path, {"apply": "54 A"}, one=DC_AMPS,
                               frequency="40 Hz to 60 Hz"))


def test_a_wave_needs_a_source_of_that_wave(tmp_path):
    """A square wave through a coil comes from an output of square waves, and is refused where there
    is none."""
    square = {"output": "AC current", "wave": "square", "terminals": ["HI", "LO"],
              "rows": [{"values": "0 A to 1 A", "frequency": "40 Hz to 100 Hz", "within": "1 %"}]}
    found = only_problem(tried(tmp_path, {"apply": "30 A", "wave": "square"}))
    assert found.code == "no-output" and "square wave" in found.sentence
    (point,) = the_procedure(tried(tmp_path / "b", {"apply": "30 A", "wave": "square"},
                                   by=SOURCE | {"outputs": [*SOURCE["outputs"], square]})).points
    assert point.planned.supply.output.wave == "square" and point.planned.judged is None


# ---------------------------------------------------------------- how sure

@pytest.mark.parametrize("within, half",
                         [("0.4 %", 0.216), ("0.4 % + 20 mA", 0.236), ("50 mA", 0.05)])
def test_the_budget_has_n_times_the_source_and_the_coil(within, half, tmp_path):
    """At 54 A: source 0.1 % of 1.08 A + 2 mA, 50 times, at k = 2; coil of the current in the jaw at
    k = 2; half of 10 mA."""
    (point,) = the_procedure(tried(tmp_path, {"apply": "54 A"}, within=within)).points
    source, of_coil, display = point.sure.components
    assert (source.value, source.sensitivity,
            source.divisor) == (pytest.approx(0.00308, rel=1e-12), 50.0, 2.0)
    assert (of_coil.value, of_coil.divisor,
            abs(of_coil.sensitivity)) == (pytest.approx(half, rel=1e-12), 2.0, 1.0)
    assert display.value == 0.005
    assert point.sure.uncertainty.u == pytest.approx(
        math.sqrt((50 * 0.00308 / 2) ** 2 + (half / 2) ** 2 + 0.005 ** 2 / 3), rel=1e-12)
    assert point.sure.standard_accuracy == pytest.approx(50 * 0.00308)


def test_a_coil_stated_in_plain_limits(tmp_path):
    """The coil's own file says how it is stated: 0.4 % as a rectangle."""
    shop = load_points(tmp_path, AMPS, {"apply": "54 A", "frequency": "50 Hz"},
                       standards=[SOURCE, coil() | {"stated": "plain limits"}])
    (point,) = the_procedure(shop).points
    assert [(c.distribution, round(c.divisor, 4)) for c in point.sure.components] == [
        ("normal", 2.0), ("rectangular", 1.7321), ("rectangular", 1.7321)]


# ---------------------------------------------------------------- the steps

def test_the_jaw_before_the_current(tmp_path):
    """Source at 0 A and in standby, coil, jaw closed, the meter read, and only then the output on;
    back to 0 A and standby before the jaw opens."""
    (group,) = the_procedure(tried(tmp_path, {"apply": ["30 A", "54 A"]})).groups
    opening, closing = ([step.replace("\u00a0", " ") for step in steps]
                        for steps in (group.opening, group.closing))
    order = ["Source: 0 A, standby",
             "Coil: HI to P, LO to Q of Scoter coil, return leads away from the jaw",
             next(step for step in opening if step.startswith("Jaw: close ")),
             "Meter: no current yet, reads ____ A", "Source: output on"]
    assert [opening.index(step) for step in order] == sorted(opening.index(step) for step in order)
    assert opening[0] == order[0] and opening[-1] == order[-1]
    assert closing[:3] == ["Source: to 0 A", "Source: standby", "Jaw: open it only now"]
    assert group.jacks == () and not group.live and "50 turns" in group.title


@pytest.mark.parametrize("more, words",
                         [({}, ""), ({"on_at_most": "60 s"}, "On for at most 60 s."),
                          ({"on_at_most": "60 s", "off_at_least": "180 s"},
                           "On for at most 60 s, then off for at least 180 s.")])
def test_a_coil_gets_warm(more, words, tmp_path):
    """The caution has the coil's times, and the caution about current jacks isn't there, since a
    clamp has none."""
    (group,) = the_procedure(tried(tmp_path, {"apply": "30 A"}, **more)).groups
    said = [w.text.replace("\u00a0", " ") for w in group.warnings]
    assert len(said) == 1 and said[0].startswith("a coil gets warm") and said[0].endswith(words)


def test_no_lead_goes_back_to_a_jack_that_none_left(tmp_path):
    """A meter whose currents go through the jaw alone has no lead to bring back; one with a current
    jack besides has."""
    volts = function("DC voltage", range_("6 V", "1 mV", "1 %"))
    jack = function("DC current", range_("600 mA", "0.1 mA", "1 %"), name="DC milliamps",
                    jacks=["mA", "COM"])
    by = standard({"AC current": {"values": "0 A to 2 A", "frequency": "40 Hz to 1 kHz"},
                   "DC current": {"values": "0 A to 2 A"}, "DC voltage": {"values": "0 V to 10 V"}})
    points = [{"function": "AC current", "apply": ["54 A", "90 A"], "frequency": "50 Hz"},
              {"function": "DC voltage", "apply": "3 V"}]
    found = the_procedure(load_with(tmp_path, meter(AMPS, volts), plan(*points), by, coil()))
    assert "proving" not in {g.stage for g in found.groups}
    found = the_procedure(load_with(tmp_path / "b", meter(AMPS, volts, jack),
                                    plan(*points, {"function": "DC milliamps", "apply": "300 mA"}),
                                    by, coil()))
    assert [g.stage for g in found.groups][-1] == "proving"


def test_resistances_of_a_clamp_meter_have_leads(tmp_path):
    """The jaw is for currents; other functions keep their jacks and leads."""
    ohms = function("resistance", range_("600 ohm", "0.1 ohm", "1 % + 5 counts"))
    points = [{"function": "AC current", "apply": ["54 A", "90 A"], "frequency": "50 Hz"},
              {"function": "resistance", "apply": "100 ohm"}]
    found = the_procedure(load_with(tmp_path, meter(AMPS, ohms), plan(*points, leads=LEADS), SOURCE,
                                    coil(), box(("100 ohm", "100 ohm", "1 mohm"))))
    assert [(g.stage, g.jacks) for g in found.groups] == [
        ("inputs", ("V", "COM")), ("inputs", ("V", "COM")), ("amps", ())]


# ---------------------------------------------------------------- the files

@pytest.mark.parametrize("turns", ["0", "2.5", "-50", "ten", "10001", ""])
def test_what_is_no_number_of_turns(turns, tmp_path):
    """A whole number from 1 to 10 000; anything else is one problem, at its place."""
    found = only_problem(tried(tmp_path, {"apply": "30 A"}, turns=turns))
    assert found.code == "value" and found.place.text.strip().startswith('"turns"')


@pytest.mark.parametrize("more, code",
                         [({"highest": "20 V"}, "unit"), ({"frequency": "1 A to 2 A"}, "unit"),
                          ({"on_at_most": "60 A"}, "unit"), ({"within": "5 counts"}, "unit"),
                          ({"within": "0.1 % of range"}, "unit"), ({"within": "5 mV"}, "unit")])
def test_what_is_wrong_with_a_coil(more, code, tmp_path):
    """Each mistake in the coil's file is one problem there."""
    found = only_problem(tried(tmp_path, {"apply": "30 A"}, **more))
    assert (found.code, found.place.file) == (code, "procedures/standards/scoter-coil.yaml")


@pytest.mark.parametrize("change, code",
                         [({"jacks": ["V", "COM"]}, "jacks"), ({"function": "resistance"}, "key")])
def test_what_a_clamp_can_not_have(change, code, tmp_path):
    """No jacks, and only currents go through a jaw."""
    one = AMPS | change
    if "function" in change:
        one = one | {"ranges": [range_("600 ohm", "0.1 ohm", "1 %")]}
    shop = load_with(tmp_path, meter(one),
                     plan(left_out=[{"function": one["function"], "because": "x"}]), SOURCE, coil())
    assert codes(shop) == [code]


@pytest.mark.parametrize("point", [{"compare_on": "a transformer"}])
def test_a_clamp_is_not_compared(point, tmp_path):
    """A reference meter beside a jaw isn't planned here."""
    assert codes(tried(tmp_path, {"apply": "30 A"} | point)) == ["compare"]
