"""Every function, range and accuracy row is tested, or left out with a reason that the page
prints."""

import pytest

from builder.procedure.sheet_text import sheet_text
from tests.small_shop import (codes, function, load, meter, only_problem, plan, range_, row,
                              standard, the_procedure)

DC = function("DC voltage", range_("600 mV", "0.1 mV", "0.5 % + 3 counts"),
              range_("6 V", "1 mV", "0.4 % + 2 counts"))
AC = function("AC voltage",
              range_("6 V", "1 mV",
                     [row("1 % + 3 counts", frequency="45 Hz to 500 Hz"),
                      row("2 % + 3 counts", frequency="500 Hz to 1 kHz")], lowest="0.3 V"))
OHMS = function("resistance", range_("600 ohm", "0.1 ohm", "0.9 % + 3 counts"),
                range_("6 kohm", "1 ohm", "0.9 % + 3 counts"))
CONTINUITY = {"function": "continuity", "jacks": ["V", "COM"]}
ALL_DC, ALL_AC = {"function": "DC voltage",
                  "apply": "recommended"}, {"function": "AC voltage", "apply": "recommended"}


def left(function, **more):
    return {"function": function, "because": "a reason"} | more


def forgotten(shop) -> list[str]:
    assert set(codes(shop)) <= {"forgotten"}, "\n".join(map(str, shop.errors))
    return [p.sentence.replace("\u00a0", " ") for p in shop.errors]


def test_what_a_plan_forgets_is_named(tmp_path):
    """Each function, range and row that is neither tested nor left out is an error that names it; a
    whole function once."""
    said = forgotten(load(tmp_path, meter(DC, AC, OHMS, CONTINUITY),
                          plan({"function": "DC voltage", "apply": "3 V"},
                               {"function": "AC voltage", "apply": "3 V", "frequency": "50 Hz"})))
    assert len(said) == 4
    for words in (["DC voltage", "600 mV"], ["AC voltage", "6 V", "500 Hz to 1 kHz"],
                  ["resistance"], ["continuity"]):
        assert any(all(word in one for word in words) for one in said), (words, said)


def test_a_plan_of_nothing_forgets_everything(tmp_path):
    """An empty list of points is a plan that forgets all."""
    said = " ".join(forgotten(load(tmp_path, meter(DC, AC, CONTINUITY), plan())))
    assert all(f"'{title}'" in said for title in ("DC voltage", "AC voltage", "continuity"))


@pytest.mark.parametrize("left_out, complete", [
    ([left("DC voltage")], True),
    ([left("DC voltage", range="600 mV"), left("DC voltage", range="6000 mV")], True),
    ([left("DC voltage", range="0.6 V")], False), ([], False),
])
def test_leaving_out_a_function_or_its_ranges(left_out, complete, tmp_path):
    """A function is left out as a whole or range by range, in whatever unit; a range that is in
    neither is forgotten."""
    shop = load(tmp_path, meter(DC, AC), plan(ALL_AC, left_out=left_out))
    assert (not forgotten(shop)) == complete
    if complete:
        because = {c.because for c in the_procedure(shop).completeness
                   if c.function == "DC voltage"}
        assert because == {"a reason"}


def test_leaving_out_one_row(tmp_path):
    """A row is named by its frequencies, in whatever unit, and only that row is left out."""
    point = {"function": "AC voltage", "apply": "3 V", "frequency": "50 Hz"}
    shop = load(tmp_path, meter(AC),
                plan(point, left_out=[left("AC voltage", frequency="0.5 kHz to 1000 Hz")]))
    rows = the_procedure(shop).completeness
    assert [(bool(c.tested), c.because) for c in rows] == [(True, ""), (False, "a reason")]
    shop = load(tmp_path / "b", meter(AC),
                plan(point, left_out=[left("AC voltage", frequency="45 Hz to 1 kHz")]))
    assert "no-row" in codes(shop)


def test_the_point_counts_for_the_row_whose_limit_applied(tmp_path):
    """A point where two rows meet tests the tighter one alone; the other is forgotten."""
    said = forgotten(load(tmp_path, meter(AC),
                          plan({"function": "AC voltage", "apply": "3 V", "frequency": "500 Hz"})))
    assert len(said) == 1 and "500 Hz to 1 kHz" in said[0]


def test_an_observation_tests_no_row(tmp_path):
    """A point without limits is no test of the accuracy."""
    observed = {"function": "AC voltage", "apply": "3 V", "frequency": ["50 Hz", "1 kHz"],
                "observe": "x"}
    assert forgotten(load(tmp_path, meter(AC), plan(observed))) == ["the plan forgets 'AC voltage'"]
    (said,) = forgotten(load(tmp_path / "b", meter(AC),
                             plan(observed,
                                  {"function": "AC voltage", "apply": "1 V",
                                   "frequency": "50 Hz"})))
    assert "500 Hz to 1 kHz" in said


def test_a_check_covers_a_function_without_a_table(tmp_path):
    """Continuity without an accuracy table is covered by a check that says so, and by no check that
    doesn't."""
    assert not forgotten(load(tmp_path, meter(DC, CONTINUITY),
                              plan(ALL_DC,
                                   checks=[{"check": "continuity beeper",
                                            "covers": "continuity"}])))
    assert len(
        forgotten(load(tmp_path / "b", meter(DC, CONTINUITY), plan(ALL_DC, checks=["leads"])))) == 1


def test_leaving_out_what_is_tested_is_an_error(tmp_path):
    """A plan that tests all of a function and leaves it out is mistaken about one of the two."""
    assert codes(load(tmp_path, meter(DC, AC),
                      plan(ALL_DC, ALL_AC, left_out=[left("DC voltage")]))) == [
                          "left-out-but-tested"]


def test_leaving_out_what_is_partly_tested_leaves_out_the_rest(tmp_path):
    """The table then shows the tested ranges as tested and the rest with the reason."""
    rows = the_procedure(load(tmp_path, meter(DC),
                              plan({"function": "DC voltage", "apply": "3 V"},
                                   left_out=[left("DC voltage")]))).completeness
    assert [(c.range.replace("\u00a0", " "), bool(c.tested), c.because)
            for c in rows] == [("600 mV", False, "a reason"), ("6 V", True, "")]


def test_the_table_names_the_steps(tmp_path):
    """What tests a row is named by the numbers of its steps, and every step of a point with limits
    stands in the table."""
    procedure = the_procedure(load(tmp_path, meter(DC, AC, CONTINUITY),
                                   plan(ALL_DC, ALL_AC,
                                        checks=[
                                            {"check": "continuity beeper",
                                             "covers": "continuity"}])))
    steps = {step for c in procedure.completeness for step in c.tested.split(", ")}
    assert {p.step for p in procedure.points} <= steps
    assert all(c.tested for c in procedure.completeness) and len(procedure.completeness) == 5


def test_a_range_of_the_same_name_in_another_function_is_not_tested(tmp_path):
    """Two functions of one kind, told apart by name, are each to be tested."""
    twin = function("DC voltage", range_("6 V", "1 mV", "0.4 % + 2 counts"),
                    name="DC volts, low impedance")
    said = forgotten(load(tmp_path, meter(DC, twin), plan(ALL_DC)))
    assert len(said) == 1 and "low impedance" in said[0]


def test_recommended_points_make_a_plan_complete(tmp_path):
    """`recommended` for each function tests every row that the source reaches, on tables with gaps
    and parts too."""
    parts = function("DC current", range_("600 mA", "0.1 mA", "1 % + 3 counts"),
                     range_("10 A", "10 mA",
                            [row("1 % + 3 counts", values="0 A to 3 A"),
                             row("2 %", values="3 A to 10 A")], jacks=["A", "COM"]))
    gaps = AC | {"ranges": [*AC["ranges"],
                            range_("60 V", "10 mV",
                                   [row("1 %", frequency="45 Hz to 100 Hz"),
                                    row("3 %", frequency="2 kHz to 20 kHz")], lowest="3 V")]}
    counter = function("frequency", range_("600 Hz", "0.1 Hz", "0.1 % + 3 counts"),
                       range_("6 kHz", "1 Hz", "0.1 % + 3 counts"))
    shop = load(tmp_path, meter(DC, gaps, parts, counter),
                plan(ALL_DC, ALL_AC, {"function": "DC current", "apply": "recommended"},
                     {"function": "frequency", "apply": "recommended", "level": "1 V"}))
    procedure = the_procedure(shop)
    assert all(c.tested for c in procedure.completeness)
    points = [(p.planned.function.title, p.planned.range.full_scale, p.planned.applied,
               p.planned.hertz) for p in procedure.points if "after" not in p.id]
    assert len(points) == len(set(points))


def test_what_nothing_is_recommended_for_is_forgotten_with_the_reason(tmp_path):
    """A range that the source can't reach is named with why, so that the plan can leave it out with
    that reason."""
    shop = load(tmp_path, meter(DC), plan(ALL_DC),
                standard({"DC voltage": {"values": "0 V to 0.6 V"}}))
    (said,) = forgotten(shop)
    assert "6 V" in said and "Petrel" in said


@pytest.mark.parametrize("reach, hertz",
                         [("40 Hz to 600 Hz", "1\u00a0kHz"), ("60 Hz to 2 kHz", "45\u00a0Hz")])
def test_a_recommended_frequency_out_of_reach_is_a_warning(reach, hertz, tmp_path):
    """Where the source ends short of the lowest or the highest frequency of a range that is
    otherwise tested, the plan's reader is told, and the build goes on."""
    one_row = AC | {
        "ranges": [range_("6 V", "1 mV", [row("1 %", frequency="45 Hz to 1 kHz")], lowest="0.3 V")]}
    shop = load(tmp_path, meter(one_row), plan(ALL_AC),
                standard({"AC voltage": {"values": "0 V to 100 V", "frequency": reach}}))
    assert [p.severity for p in shop.problems] == ["warning"] and hertz in shop.problems[0].sentence
    assert list(shop.procedures) == ["lapwing-yearly"]


def test_linearity_does_not_fall_out_with_the_lowest_frequency(tmp_path):
    """A source that starts above the range's lowest frequency still gets a low, a middle and a high
    point."""
    one_row = AC | {
        "ranges": [range_("6 V", "1 mV", [row("1 %", frequency="10 Hz to 1 kHz")], lowest="0.3 V")]}
    shop = load(tmp_path, meter(one_row), plan(ALL_AC),
                standard({"AC voltage": {"values": "0 V to 100 V", "frequency": "40 Hz to 2 kHz"}}))
    assert len({p.planned.applied for p in the_procedure(shop).points}) >= 3


def test_a_row_that_a_tighter_one_always_covers_is_explained(tmp_path):
    """A looser row inside a tighter one can't be tested by any point; what is said of it is
    true."""
    inner = AC | {
        "ranges": [range_("6 V", "1 mV",
                          [row("1 %", frequency="40 Hz to 400 Hz"),
                           row("2 %", frequency="50 Hz to 300 Hz")], lowest="0.3 V")]}
    (said,) = forgotten(load(tmp_path, meter(inner), plan(ALL_AC)))
    assert "50 to 300 Hz" in said and "no accuracy row" not in said


OTHERS = [{"name": "inrush current", "because": "its data sheet states no accuracy"},
          {"name": "phase sequence", "because": "the bench has no three-phase source"}]


def test_what_has_no_function_here_is_named_as_not_tested(tmp_path):
    """In the completeness table and the data with its reason, on the sheet by its name; and a sheet
    without such a thing keeps its revision."""
    points = ALL_DC | {"range": "6 V"}, left("DC voltage", range="600 mV")
    one = plan(points[0], left_out=[points[1]])
    without = the_procedure(load(tmp_path / "without", meter(DC), one))
    made = the_procedure(load(tmp_path / "with", meter(DC, other_functions=OTHERS), one))
    assert [(r.function, r.range, r.tested, r.because) for r in made.completeness if r.other] == [
        ("Inrush current", "", "", "its data sheet states no accuracy"),
        ("Phase sequence", "", "", "the bench has no three-phase source")]
    assert [(r["function"], r["because"]) for r in made.data["left_out"]][-2:] == [
        ("Inrush current", "its data sheet states no accuracy"),
        ("Phase sequence", "the bench has no three-phase source")]
    assert sheet_text(made).meter.others == ("inrush current", "phase sequence")
    assert made.revision != without.revision
    empty = the_procedure(load(tmp_path / "empty", meter(DC, other_functions=[]), one))
    assert empty.revision == without.revision


@pytest.mark.parametrize("names, sentence", [
    (["AC current"], "is a function here"), (["dc voltage"], "is a function here"),
    (["inrush", "Inrush"], "stands twice"), (["DC millivolts"], "stands twice"),
])
def test_what_has_a_function_here_is_no_other_one(names, sentence, tmp_path):
    others = [{"name": name, "because": "a reason"} for name in names]
    shop = load(tmp_path, meter(DC | {"name": "DC millivolts"}, other_functions=others))
    assert sentence in only_problem(shop).sentence
