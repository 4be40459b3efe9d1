"""The computed sheet: its points, whether any of it is live, and what its parts say of
themselves."""

from tests.procedure.test_point_uncertainty import tried
from tests.small_shop import (function, load, meter, plan, range_, standard,
                              the_procedure)

DC = function("DC voltage", range_("6 V", "1 mV", "0.4 % + 2 counts"),
              range_("600 V", "0.1 V", "0.5 % + 2 counts"), dial="V DC")


def test_points_and_live_groups(tmp_path):
    """All points in the order of their groups; a sheet is live with one live group."""
    volts = function("DC voltage", range_("600 V", "0.1 V", "0.5 % + 2 counts"))
    low = the_procedure(tried(tmp_path / "a", volts, "30 V", "10 V", by=standard()))
    assert [p.step for p in low.points] == ["1.1", "1.2"] and not low.has_live
    live = the_procedure(tried(tmp_path / "b", volts, "30 V", "540 V", by=standard()))
    assert [p.hazardous for p in live.points] == [False, True] and live.has_live


def test_a_group_that_goes_on_repeats_leads_and_warnings(tmp_path):
    """Above the rows of a further page: the group, what is connected, and each warning's hazard; a
    group of checks has its title alone."""
    checks, low, live = the_procedure(load(
        tmp_path, meter(DC), plan({"function": "DC voltage", "apply": ["3 V", "540 V"]},
                                  checks=["leads"]))).groups
    assert checks.continued == "1 By eye, continued. "
    for group in (low, live):
        (leads,) = [step for step in group.opening if step.startswith("Leads: ")]
        assert group.continued.startswith(f"{group.number} {group.title}, continued. {leads}")
        assert all(f"{one.word}: {one.text}" in group.continued for one in group.warnings)
    assert live.warnings and not low.warnings


def test_hints_are_there_where_a_check_has_one(tmp_path):
    """A sheet without checks, or with checks that name no mistake, has no switch for hints."""
    own = {"check": "own", "when": "by eye", "do": "Look", "good": "seen", "stops": "nothing",
           "of": "meter"}
    assert [the_procedure(load(tmp_path / str(n), meter(DC), plan(
        {"function": "DC voltage", "apply": "3 V"}, checks=checks, left_out=[
            {"function": "DC voltage", "because": "not part of this test"}]))).has_hints
            for n, checks in enumerate(([], [own], [own, "leads"]))] == [False, False, True]
