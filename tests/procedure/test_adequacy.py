"""Is the standard good enough: where and until when it holds, its due date, the minimum ratio, and
what a plan accepts with a reason."""

import math

import pytest

from tests.procedure.test_point_uncertainty import (ACCEPTED, BY_TIME, DC, MANY, SHORT, WEAK,
                                                    only_point, pages, points_of, source, tried)
from tests.small_shop import codes, function, only_problem, range_, the_procedure

# ---------------------------------------------------------------- where and until when it holds

def test_beyond_the_longest_time_nothing_is_known(tmp_path):
    """Past the last interval no uncertainty holds, which is an error even before the standard is
    due."""
    problem = only_problem(tried(tmp_path, DC, "3 V", by=source(BY_TIME, calibrated="2026-01-01"),
                                 as_of="2028-01-02"))
    assert problem.code == "interval" and "Petrel" in problem.sentence


def test_a_plan_before_the_calibration(tmp_path):
    """A plan's date before the certificate's is a mistake in one of the two."""
    shop = tried(tmp_path, DC, "3 V", by=source(BY_TIME, calibrated="2027-01-01"),
                 as_of="2026-06-30")
    assert shop.problems


@pytest.mark.parametrize("holds, ambient, good", [
    ("18 to 28 degC", None, True), ("15 to 35 degC", None, True), ("20 to 26 degC", None, False),
    ("18 to 27 degC", None, False),
    ("20 to 26 degC", "20 to 26 degC", True), ("20 to 26 degC", "21 to 25 degC", True),
    ("20 to 26 degC", "19 to 25 degC", False)])
def test_the_bench_lies_within_the_standards_band(holds, ambient, good, tmp_path):
    """A standard whose uncertainties hold for a narrower band than the sheet's is an error; the
    meter's own band is 18 to 28 °C."""
    shop = tried(tmp_path, DC, "3 V", by=source({"within": "0.1 %"}, holds=holds),
                 **({"ambient": ambient} if ambient else {}))
    assert codes(shop) == ([] if good else ["standard-ambient"])


@pytest.mark.parametrize("holds, good", [("60 to 90 degF", True), ("15 to 80 degF", False)])
def test_a_band_in_other_degrees(holds, good, tmp_path):
    """60 to 90 °F holds 18 to 28 °C (64.4 to 82.4 °F), 15 to 80 °F doesn't."""
    assert (
        codes(tried(tmp_path, DC, "3 V",
                    by=source({"within": "0.1 %"}, holds=holds))) == []) is good


# ---------------------------------------------------------------- past its due date

def test_overdue_is_an_error(tmp_path):
    """A standard whose due date lies before the plan's is an error by itself; on the due date it is
    not."""
    problem = only_problem(tried(tmp_path, DC, "3 V", as_of="2030-01-02"))
    assert ((problem.code, problem.severity) == ("overdue",
                                                 "error") and "2030-01-01" in problem.sentence
            and "2030-01-02" in problem.sentence)
    assert not tried(tmp_path / "b", DC, "3 V", as_of="2030-01-01").problems
    assert not tried(tmp_path / "c", DC, "3 V").problems


def test_overdue_as_a_warning(tmp_path):
    """The plan may make it a warning, and the procedure is built."""
    shop = tried(tmp_path, DC, "3 V", as_of="2030-01-02", overdue="warning")
    assert [(p.code, p.severity)
            for p in shop.problems] == [("overdue", "warning")] and only_point(shop)


@pytest.mark.parametrize("page", [0, 1], ids=["sheet", "evidence"])
def test_a_warned_standard_is_marked(page, tmp_path):
    """A standard past its due date gets a mark."""
    shop = tried(tmp_path, DC, "3 V", as_of="2030-01-02", overdue="warning")
    assert "overdue" in pages(shop)[page]


def test_overdue_and_accepted(tmp_path):
    """Accepted with a reason it is no problem, and sheet and evidence print the reason with the
    date."""
    shop = tried(tmp_path, DC, "3 V", as_of="2030-01-02",
                 accepted=[{"what": "overdue", "because": "the laboratory has it until May"}])
    assert not shop.problems
    for page in pages(shop):
        assert "the laboratory has it until May" in page and "2030-01-01" in page


def test_a_standard_is_overdue_for_all_functions(tmp_path):
    """Accepting it for one function only is refused, since it would never match."""
    assert codes(tried(tmp_path, DC, "3 V", as_of="2030-01-02",
                       accepted=[{"what": "overdue", "function": "DC voltage",
                                  "because": "x"}])) == ["accepted"]


@pytest.mark.parametrize("one", [{"what": "out of reach"}, {"what": "below minimum TUR"}])
def test_another_acceptance_does_not_accept_it(one, tmp_path):
    """Accepting something else, or only a part, leaves the standard overdue."""
    assert codes(tried(tmp_path, DC, "3 V", as_of="2030-01-02",
                       accepted=[one | {"because": "x"}])) == ["overdue"]


def test_the_sheet_says_when_to_stop(tmp_path):
    """For each standard its certificate, its due date, and the day after which it isn’t used."""
    sheet, _ = pages(tried(tmp_path, DC, "3 V"))
    assert "Stop after <b>2030-01-01</b>" in sheet and "P-1" in sheet


# ---------------------------------------------------------------- under the minimum TUR

def test_under_the_minimum_is_a_warning_by_default(tmp_path):
    """One warning names each such point with its ratio; the procedure is built."""
    shop = tried(tmp_path, DC, *MANY, by=WEAK, minimum_tur="4")
    (problem,) = shop.problems
    assert (problem.code, problem.severity) == ("below-minimum-tur", "warning")
    low = [p for p in points_of(shop) if p.sure.tur < 4]
    assert len(low) == 2 and all(p.id in problem.sentence
                                 for p in low) and problem.sentence.startswith("2 points")


def test_under_the_minimum_as_an_error(tmp_path):
    """The plan may make it an error."""
    assert only_problem(tried(tmp_path, DC, *MANY, by=WEAK, minimum_tur="4:1",
                              below_minimum_tur="error")).code == "below-minimum-tur"


@pytest.mark.parametrize("within, doubts", [("6.1 mV", 0), ("6.1 V", 1)])
def test_a_standard_far_less_certain_than_the_meter_is_doubted(within, doubts, tmp_path):
    """V for mV makes a ratio of nearly nothing: told as a slip, also where no minimum is stated;
    a reason in the plan answers it."""
    for n, accepted in enumerate(([], [{"what": "below minimum TUR", "because": "so meant"}])):
        shop = tried(tmp_path / str(n), DC, "3 V", by=source({"values": "0 V to 10 V",
                                                              "within": within}),
                     accepted=accepted)
        told = [one for one in shop.problems if one.code == "doubt" and "far less" in one.sentence]
        assert len(told) == (0 if accepted else doubts), shop.problems
        assert all(one.severity == "warning" and "prefix" in one.hint for one in told)


def test_no_point_under_the_minimum(tmp_path):
    """A minimum that all reach says nothing but its summary."""
    shop = tried(tmp_path, DC, *MANY, by=WEAK, minimum_tur="1.1", below_minimum_tur="error")
    assert not shop.problems and not any(p.mark for p in points_of(shop))
    assert the_procedure(shop).evidence.summary == (
        "7 of 7 points at a test uncertainty ratio of 1.1:1 or better.",)


TWO_RANGES = function("DC voltage", range_("6 V", "1 mV", "0.5 % + 2 counts"),
                      range_("60 V", "10 mV", "0.5 % + 2 counts"))
WEAK_FOR_TWO = source({"values": "0 V to 100 V", "within": "0.3 %"})


@pytest.mark.parametrize("scope, left",
                         [({}, []), ({"function": "DC voltage"}, []),
                          ({"function": "DC voltage", "range": "60 V"}, ["6V"]),
                          ({"function": "DC voltage", "range": "6000 mV"}, ["60V"]),
                          ({"standard": "petrel"}, [])])
def test_under_the_minimum_and_accepted(scope, left, tmp_path):
    """Accepted for all, for a function, for a range in whatever unit: what is accepted is marked
    with its reason and is no problem, what isn't stays an error."""
    more = {"minimum_tur": "4", "below_minimum_tur": "error",
            "accepted": [{"what": "below minimum TUR", "because": "no better source here"} | scope]}
    shop = tried(tmp_path, TWO_RANGES, "3 V", "30 V", by=WEAK_FOR_TWO, **more)
    if left:
        problem = only_problem(shop)
        assert problem.code == "below-minimum-tur" and problem.sentence.startswith(
            "1 point has") and f"dcv-{left[0]}-" in problem.sentence
    else:
        assert not shop.problems
        for point in points_of(shop):
            assert "no better source here" in point.mark and ":1" in point.mark


def test_marks_stand_on_the_sheet(tmp_path):
    """A point under the minimum has an asterisk in its row, and its ratio and minimum below the
    table."""
    shop = tried(tmp_path, DC, *MANY, by=WEAK, minimum_tur="4")
    sheet, evidence = pages(shop)
    for point in points_of(shop):
        assert bool(point.mark) == (point.sure.tur < 4)
        assert (f"Step {point.step}: {point.mark}." in sheet.replace("&#39;", "'")) == bool(
            point.mark)
        assert (f"{point.step} *</td>" in sheet) == bool(point.mark)
    assert evidence.count(" *</td>") == 2


def test_the_summary_counts_and_names_the_others(tmp_path):
    """'5 of 7 points at … 4:1 or better', then each of the other two with its step, its value and
    why."""
    procedure = the_procedure(tried(tmp_path, DC, *MANY, by=WEAK, minimum_tur="4"))
    first, *others = [line.replace("\u00a0", " ") for line in procedure.evidence.summary]
    assert first == "5 of 7 points at a test uncertainty ratio of 4:1 or better."
    low = [p for p in procedure.points if p.sure.tur < 4]
    assert len(others) == 2
    for line, point in zip(others, low, strict=True):
        assert line.startswith(
            f"Step {point.step}, {point.apply}: ".replace(
                "\u00a0", " ")) and f"{math.floor(point.sure.tur * 10) / 10:.1f}:1" in line


def test_a_point_out_of_reach_is_none_of_the_good_ones(tmp_path):
    """It counts among all points, not among those at the minimum, and its reason is told."""
    procedure = the_procedure(tried(tmp_path, DC, "1 V", "3 V", by=SHORT, minimum_tur="2",
                                    accepted=ACCEPTED))
    first, other = procedure.evidence.summary
    assert first.startswith("1 of 2 points") and "two sources in series" in other


def test_without_a_minimum_the_lowest_is_told(tmp_path):
    """A plan without 'minimum_tur' gets the lowest ratio and its step."""
    procedure = the_procedure(tried(tmp_path, DC, *MANY, by=WEAK))
    lowest = min(procedure.points, key=lambda p: p.sure.tur)
    (line,) = procedure.evidence.summary
    assert (f"{math.floor(lowest.sure.tur * 10) / 10:.1f}:1" in line and lowest.step in line
            and "7 points" in line)


def test_observations_are_no_points_of_the_summary(tmp_path):
    """An observation has no tolerance, so it is counted nowhere."""
    shop = tried(tmp_path, DC, "1 V", {"apply": "3 V", "observe": "for the record"}, by=WEAK,
                 minimum_tur="2")
    assert the_procedure(shop).evidence.summary[0].startswith("1 of 1 points")
    assert [p.sure is None for p in points_of(shop)] == [False, True]


@pytest.mark.parametrize("text", ["0", "-4", "4 V", "4:2", "many"])
def test_a_minimum_that_is_no_ratio(text, tmp_path):
    """Only '4' or '4:1' is a ratio."""
    assert codes(tried(tmp_path, DC, "1 V", minimum_tur=text)) == ["value"]
