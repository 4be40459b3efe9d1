"""The computed sheet: its points, and whether any of it is live."""

from tests.procedure.test_point_uncertainty import tried
from tests.small_shop import function, range_, standard, the_procedure


def test_points_and_live_groups(tmp_path):
    """All points in the order of their groups; a sheet is live with one live group."""
    volts = function("DC voltage", range_("600 V", "0.1 V", "0.5 % + 2 counts"))
    low = the_procedure(tried(tmp_path / "a", volts, "30 V", "10 V", by=standard()))
    assert [p.step for p in low.points] == ["1.1", "1.2"] and not low.has_live
    live = the_procedure(tried(tmp_path / "b", volts, "30 V", "540 V", by=standard()))
    assert [p.hazardous for p in live.points] == [False, True] and live.has_live
