"""The revision of a sheet: it changes when and only when a limit or a text does."""

import re

import pytest

from builder.procedure.sheet import with_revision
from tests.procedure.test_point_uncertainty import DC, source, tried
from tests.small_shop import function, load, meter, plan, range_, row, standard, the_procedure


def test_the_revision_follows_the_uncertainty(tmp_path):
    """Another accuracy of the standard is another sheet, though no limit moves."""
    revisions = {
        the_procedure(tried(tmp_path / str(n), DC, "3 V", by=source({"within": within}))).revision
        for n, within in enumerate(("0.1 %", "0.1 %", "0.11 %"))}
    assert len(revisions) == 2


def revision(folder, meter_more=None, one=DC, **plan_more) -> str:
    return the_procedure(load(folder, meter(one, **(meter_more or {})),
                              plan({"function": "DC voltage", "apply": "3 V"}, **plan_more))
                         ).revision


@pytest.mark.parametrize("more", [
    {"title": "Another title"}, {"note": "a note"}, {"ambient": "20 to 26 degC"},
    {"decision_rule": "guard band of U"}, {"checks": ["leads"]}, {"meter_more": {"name": "Lap 1"}},
    {"meter_more": {"maker": "Other Works"}}, {"meter_more": {"note": "a note"}},
    {"one": DC | {"dial": "V"}},
    {"one": function("DC voltage", range_("6 V", "1 mV", "0.5 % + 3 counts"))},
])
def test_every_limit_and_every_text_is_in_the_revision(more, tmp_path):
    """Twelve digits; another limit, rule, title, note, name or step makes another sheet."""
    before, after = revision(tmp_path / "a"), revision(tmp_path / "b", **more)
    assert before != after and re.fullmatch("[0-9a-f]{12}", after)


@pytest.mark.parametrize("one", [
    function("DC voltage", range_("6.00 V", "0.001 V", "5000 ppm + 2 counts")),
    function("DC voltage", range_("6 V", "1 mV", [row("0.5 % of reading + 2 counts")])),
])
def test_another_spelling_of_the_same_is_the_same_sheet(one, tmp_path):
    """Values decide, not how a file writes them."""
    assert revision(tmp_path / "a") == revision(tmp_path / "b", one=one)


def test_a_sheet_with_its_revision(tmp_path):
    """It stands on the sheet and in its data alike, and is made of the data before it has one."""
    made = the_procedure(tried(tmp_path, DC, "3 V"))
    data = made.sheet_data.model_copy(update={"revision": ""})
    again = with_revision(made, data)
    assert again.revision == made.revision == again.data["revision"] == made.data["revision"]
    other = with_revision(made, data.model_copy(update={"title": "Another"}))
    assert other.revision != made.revision and other.data["title"] == "Another"


def test_points_and_live_groups(tmp_path):
    """All points in the order of their groups; a sheet is live with one live group."""
    volts = function("DC voltage", range_("600 V", "0.1 V", "0.5 % + 2 counts"))
    low = the_procedure(tried(tmp_path / "a", volts, "30 V", "10 V", by=standard()))
    assert [p.step for p in low.points] == ["1.1", "1.2"] and not low.has_live
    live = the_procedure(tried(tmp_path / "b", volts, "30 V", "540 V", by=standard()))
    assert [p.hazardous for p in live.points] == [False, True] and live.has_live
