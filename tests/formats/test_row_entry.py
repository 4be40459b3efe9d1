"""Accuracies by time since adjustment: the plan names the one that is the criterion."""

from fractions import Fraction

import pytest

from builder.formats.sheet_data import SheetData
from builder.pages import render
from builder.procedure.data_of_meter import meter_data
from builder.shop.contents import functions
from builder.shop.quick_answer import answer
from tests.small_shop import function, load, meter, only_problem, plan, range_, row, the_procedure

TIMES = {"1 year": "0.1 % + 2 counts", "90 days": "0.05 % + 2 counts"}   # in any order
VOLTS = function("DC voltage",
                 range_("6 V", "1 mV", [{"within_since": TIMES}]),
                 range_("60 V", "10 mV", "0.2 % + 3 counts"))
POINTS = ({"function": "DC voltage", "range": "6 V", "apply": "5 V"},
          {"function": "DC voltage", "range": "60 V", "apply": "50 V"})


def made(folder, *functions_, **more):
    return load(folder, meter(*(functions_ or (VOLTS,))), plan(*POINTS, **more))


@pytest.mark.parametrize("against, low, high", [
    ("90 days", "4.996", "5.004"),      # 0.0025 V + 0.002 V = 0.0045 V, cut inward to counts
    ("1 year", "4.993", "5.007"),       # 0.005 V + 0.002 V
    ("12 months", "4.993", "5.007"),
])
def test_the_plan_names_the_criterion(against, low, high, tmp_path):
    """A row without times holds for all of them: 0.1 V + 0.03 V at 50 V."""
    one = the_procedure(made(tmp_path, verified_against=against))
    assert [(p.accept_from, p.accept_to) for p in one.points] == [
        (low, high), ("49.87", "50.13")]
    assert one.data["verified_against"] == against
    assert SheetData.model_validate(one.data).as_data() == one.data
    assert any(f"the limits are those of {against}" in note for note in one.notes)


def test_another_criterion_is_another_sheet(tmp_path):
    """And a meter without times keeps the revision that it had before there was such a key."""
    revisions = {the_procedure(made(tmp_path / against, verified_against=against)).revision
                 for against in ("90 days", "1 year")}
    assert len(revisions) == 2
    plain = function("DC voltage", range_("6 V", "1 mV", "0.1 % + 2 counts"), VOLTS["ranges"][1])
    one = the_procedure(made(tmp_path / "plain", plain))
    assert one.data["verified_against"] is None and one.revision not in revisions


@pytest.mark.parametrize("functions_, more, words, hint", [
    ((), {}, "doesn't say which one is the criterion",
     "'verified_against: 90 days' or 'verified_against: 1 year'"),
    ((), {"verified_against": "2 years"}, "no accuracy for 2 years since adjustment",
     "'verified_against: 90 days' or"),
    ((function("DC voltage", range_("6 V", "1 mV", "0.1 % + 2 counts"), VOLTS["ranges"][1]),),
     {"verified_against": "1 year"}, "no accuracy by time since adjustment", "delete the key"),
    ((), {"verified_against": "soon"}, "'soon' is not a time", "'90 days' or '1 year'"),
])
def test_without_a_clear_word_there_is_no_sheet(functions_, more, words, hint, tmp_path):
    problem = only_problem(made(tmp_path, *functions_, **more))
    assert words in problem.sentence and hint in problem.hint
    assert problem.place.file.endswith("plans/lapwing-yearly.yaml") and problem.place.line > 1


def volts(*rows):
    return load_one(range_("6 V", "1 mV", list(rows)))


def load_one(*ranges):
    return meter(function("DC voltage", *ranges))


@pytest.mark.parametrize("rows, words", [
    ([{"within_since": TIMES, "within": "1 %"}], "a row has 'within', or"),
    ([{"within_since": {"1 year": "0.1 %", "12 months": "0.2 %"}}], "are one time"),
    ([{"within_since": {"1 year": "0.1 %", "90 days": "0.05 A"}}], "is a current"),
    ([{"within_since": {"1 year": "0.1 mA", "90 days": "0.05 %"}}], "is a current"),
    ([{"within_since": {"1 year": "much"}}], "much"),
    ([{"within_since": {"soon": "0.1 %"}}], "'soon' is not a time"),
    ([{"within_since": {}}], "the list is empty"),
    ([{"within_since": TIMES, "values": "0 V to 3 V"},
      {"within_since": {"1 year": "0.1 %"}, "values": "3 V to 6 V"}], "for 90 days"),
])
def test_slips_of_a_row(rows, words, tmp_path):
    problem = only_problem(load(tmp_path, volts(*rows)))
    assert words in problem.sentence and problem.place.line > 1


@pytest.mark.parametrize("times, doubted", [
    ({"90 days": "0.1 % + 2 counts", "1 year": "0.05 % + 2 counts"}, True),
    ({"90 days": "0.1 % + 2 counts", "1 year": "0.05 % + 5 counts"}, False),
    ({"90 days": "0.1 % + 2 counts", "1 year": "0.1 % + 2 counts"}, False),
    ({"90 days": "+1 % -6 %", "1 year": "+2 % -6 %"}, False),
    ({"90 days": "+2 % -5 %", "1 year": "+1 % -6 %"}, True),
    (TIMES, False),
])
def test_longer_and_tighter_is_a_doubt(times, doubted, tmp_path):
    shop = load(tmp_path, volts({"within_since": times}))
    assert any("tighter" in one.sentence for one in shop.problems) == doubted and not shop.errors
    sure = load(tmp_path / "sure", volts({"within_since": times, "confirmed": "so it says"}))
    assert not any("tighter" in one.sentence for one in sure.problems)


def test_a_slip_at_the_shorter_time_is_doubted_beside_its_like(tmp_path):
    """Each time is looked at by itself: 5 % stands among rows of 0.05 %."""
    ranges = [range_(f"6{zeros} V", step, [{"within_since": {"90 days": short, "1 year": "6 %"}}])
              for zeros, step, short in (("", "1 mV", "0.05 %"), ("0", "10 mV", "5 %"),
                                         ("00", "100 mV", "0.05 %"))]
    found = [one.sentence for one in load(tmp_path, load_one(*ranges)).problems]
    assert any("5 %" in sentence for sentence in found), found


def test_any_value_has_the_longest_and_says_so(tmp_path):
    shop = made(tmp_path, verified_against="90 days")
    lines, *_ = answer(functions(shop, "lapwing-1"), "DC voltage", "5 V")
    assert lines[0].endswith("simple acceptance, limits of 1 year since adjustment")
    assert lines[-1].replace("\u00a0", " ").endswith("4.993 V to 5.007 V")
    data = meter_data(shop.meters["lapwing-1"], functions(shop, "lapwing-1"))
    (volts_,) = data.functions
    (piece,) = volts_.ranges[0].rows[0].pieces
    assert volts_.since == "1 year"
    assert (piece.above.slope, piece.above.offset.number) == (Fraction(1, 1000), Fraction(2, 1000))


def test_pages_say_which(tmp_path):
    pages = render.render(made(tmp_path, verified_against="90 days")).pages
    own = " ".join(next(text for name, text in pages.items() if name.startswith("meters/")).split())
    assert "by time since adjustment: 90 days 0.05 % + 2 counts; 1 year 0.1 % + 2 counts; the " \
        "longest stands above" in own.replace("\u00a0", " ").replace("\u202f", " ")
    sheet = " ".join(pages["procedures/lapwing-yearly.md"].split())
    assert "The limits are those of 90 days since adjustment." in sheet
    assert 'data-field="last_adjusted">Last adjusted on (limits of 90 days; longer ago or ' \
        "unknown: write it down)" in sheet
    (tmp_path / "plain").mkdir()
    plain = render.render(load(tmp_path / "plain", load_one(range_("6 V", "1 mV", "0.1 %")),
                               plan(POINTS[0] | {"apply": "5 V"}))).pages
    assert "last_adjusted" not in plain["procedures/lapwing-yearly.md"]


def test_typical_stays_typical(tmp_path):
    shop = load(tmp_path, volts({"typical": "1 %", "values": "0 V to 1 V"},
                                row("0.1 % + 2 counts", values="1 V to 6 V")))
    rows = functions(shop, "lapwing-1")["DC voltage"].table.ranges[0].rows
    assert [one.typical for one in rows] == [True, False] and not shop.meters["lapwing-1"].times
