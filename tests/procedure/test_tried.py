"""How far each range is tried: a warning under half of it, answered by a reason that is printed."""

import pytest

from builder.records.record_statement import record_statement
from builder.records.report_statement import reach_text
from builder.shop import loading
from tests import recorded
from tests.recorded import data_of, folder_with, put, record
from tests.small_shop import (box, function, load, load_with, meter, plan, range_, row,
                              the_procedure)

DC = function("DC voltage", range_("6 V", "1 mV", "0.4 % + 2 counts"),
              range_("60 V", "10 mV", [row("0.4 % + 2 counts", values="0 V to 30 V"),
                                       row("1 % + 2 counts", values="30 V to 60 V")]))
SIX = {"function": "DC voltage", "apply": "3 V"}
WHY = {"function": "DC voltage", "range": "60 V", "because": "The source ends at 20 V."}
UPPER = WHY | {"values": "30 V to 60 V"}    # an accuracy row


def warnings(shop) -> list[tuple[str, str]]:
    assert not shop.errors, "\n".join(map(str, shop.errors))
    return [(p.sentence.replace("\u00a0", " "), p.hint) for p in shop.problems
            if p.code == "under-half"]


@pytest.mark.parametrize("applied, under", [("2.999 V", True), ("-2.999 V", True), ("3 V", False),
                                            ("-3.001 V", False)])
def test_half_of_a_range_is_enough(applied, under, tmp_path):
    """Whatever the sign: what lies under half of the range's name is a warning."""
    one = function("DC voltage", DC["ranges"][0])
    shop = load(tmp_path, meter(one), plan({"function": "DC voltage", "apply": ["1 V", applied]}))
    assert bool(warnings(shop)) is under


def test_the_warning_stands_at_the_range_and_its_hint_answers_it(tmp_path):
    one = function("DC voltage", DC["ranges"][0], range_("60 V", "10 mV", "0.4 % + 2 counts"))
    made = plan(SIX, {"function": "DC voltage", "range": "60 V", "apply": ["20 V", "-8 V"]})
    shop = load(tmp_path, meter(one), made)
    (said, hint), = warnings(shop)
    assert said == "the 60 V range of 'DC voltage' is tried to 20.00 V, under half of it"
    (problem,) = [p for p in shop.problems if p.code == "under-half"]
    line = (tmp_path / "procedures/plans/lapwing-yearly.yaml").read_text().splitlines()
    assert line[problem.place.line - 1:][:2] == ['   "apply": [', '    "20 V",']
    assert "values: 20 V to 60 V" in hint
    answered = load(tmp_path / "b", meter(one), made | {"left_out": [
        WHY | {"values": "20 V to 60 V"}]})
    assert not warnings(answered) and not answered.problems


@pytest.mark.parametrize("values", ["20 V to 60 V", "20000 mV to 59.99 V", "25 V to 60 V"])
def test_a_reason_names_what_is_above_the_highest_point(values, tmp_path):
    one = function("DC voltage", range_("60 V", "10 mV", "0.4 % + 2 counts"))
    made = plan({"function": "DC voltage", "apply": ["20 V"]},
                left_out=[WHY | {"values": values}])
    shop = load(tmp_path, meter(one), made)
    assert not warnings(shop)
    (tested,) = the_procedure(shop).completeness
    assert tested.tried.replace("\u00a0", " ") == "tried to 20.00 V: The source ends at 20 V"
    (left,) = the_procedure(shop).sheet_data.left_out
    assert (left.tried_to.text, left.row.replace("\u00a0", " ")) == ("20.00 V", "above 20.00 V")


@pytest.mark.parametrize("values", ["15 V to 60 V", "20 V to 50 V", "20 V to 61 V"])
def test_what_is_neither_a_row_nor_the_rest_is_an_error(values, tmp_path):
    """A part that a point tests, or one that leaves the end of the range out of account."""
    one = function("DC voltage", range_("60 V", "10 mV", "0.4 % + 2 counts"))
    shop = load(tmp_path, meter(one), plan({"function": "DC voltage", "apply": ["20 V"]},
                                           left_out=[WHY | {"values": values}]))
    assert [p.code for p in shop.errors] == ["no-row"]


def test_a_row_that_is_left_out_is_a_reason_too(tmp_path):
    """It stands once among what is not tested, with how far the range was tried."""
    shop = load(tmp_path, meter(DC), plan(
        SIX, {"function": "DC voltage", "range": "60 V", "apply": "20 V"}, left_out=[UPPER]))
    assert not warnings(shop)
    (left,) = the_procedure(shop).sheet_data.left_out
    assert left.tried_to.text == "20.00 V" and left.row.startswith("30 to 60")


def test_each_row_says_how_far_it_was_tried(tmp_path):
    shop = load(tmp_path, meter(DC), plan(SIX, {"function": "DC voltage", "range": "60 V",
                                                "apply": ["20 V", "-29 V", "50 V"]}))
    assert [one.tried.replace("\u00a0", " ") for one in the_procedure(shop).completeness] == [
        "tried to 3.000 V", "tried to 29.00 V", "tried to 50.00 V"]


def test_an_observation_reaches_nothing(tmp_path):
    shop = load(tmp_path, meter(function("DC voltage", DC["ranges"][0])),
                plan({"function": "DC voltage", "apply": "2 V"},
                     {"function": "DC voltage", "apply": "5 V", "observe": "only to see it"}))
    assert len(warnings(shop)) == 1


def test_the_nominal_value_of_a_box_counts(tmp_path):
    ohms = function("resistance", range_("600 ohm", "0.1 ohm", "0.9 % + 5 counts"))
    shop = load_with(tmp_path, meter(ohms), plan(
        {"function": "resistance", "apply": "200 ohm"}) | {"leads": {
            "length": "1 m", "conductor": "0.75 mm2", "contacts": "40 mohm",
            "repeats": "10 mohm"}}, box(("200 ohm", "200.01 ohm", "5 mohm")))
    (said, _), = warnings(shop)
    assert said.startswith("the 600 Ω range of 'resistance' is tried to 200.0 Ω")


def test_the_reason_is_printed_where_the_range_is_named(tmp_path):
    """In a report's functions and its data, if the range was tried as far as it was planned; the
    sheet is the same one with another reason."""
    other = [one if "range" not in one else one | {"because": "Nobody asks for more."}
             for one in recorded.plan()["left_out"]]
    without = [one for one in other if "range" not in one]
    revisions = {loading.load_shop(folder_with(tmp_path / name, {"left_out": left}))
                 .procedures["lapwing-yearly"].revision
                 for name, left in (("a", other), ("b", without))}
    root = folder_with(tmp_path)
    assert revisions == {data_of(root)["revision"]}
    for readings, said in (({}, "600 Ω, tried to 50 Ω: The box ends at 50 ohm"),
                           ({"4.1": "-"}, "")):
        put(root, "a.yaml", record(data_of(root), readings))
        stated = record_statement(loading.load_shop(root).records["a"])
        assert reach_text(stated.reach["resistance"]).replace("\u00a0", " ") == said
        assert {one.because for one in stated.reach["DC voltage"]} == {None}
