"""The name of a planned point, on which records hang; and which readings have a minus."""

import pytest

from tests.procedure.test_planned_points_waves_and_finds import AC, WAVES
from tests.procedure.test_planner import two_wire
from tests.small_shop import (LEADS, function, load_points, range_, reference, standard,
                              the_procedure)

DC = function("DC voltage", range_("600 mV", "0.1 mV", "0.5 % + 3 counts"),
              range_("6 V", "1 mV", "0.4 % + 2 counts"))
OHMS = function("resistance", range_("600 ohm", "0.1 ohm", "0.9 % + 5 counts"))
SKUA = reference(("DC voltage", {"values": "0 V to 10 V", "resolution": "10 uV",
                                 "within": "0.1 %"}))


@pytest.mark.parametrize("one, point, by, name", [
    (DC, {"apply": "3 V"}, standard(), "dcv-6V-3.000V"),
    (DC, {"apply": "-3 V"}, standard(), "dcv-6V--3.000V"),
    (DC, {"apply": "0.3 V", "force_range": "6 V"}, standard(), "dcv-6V-0.300V-by-hand"),
    (DC | {"ranging": "manual"}, {"apply": "3 V", "force_range": "6 V"}, standard(),
     "dcv-6V-3.000V"),
    (DC, {"apply": "3 V", "observe": "for the record"}, standard(), "dcv-6V-3.000V-observed"),
    (DC, {"apply": "3 V", "compare_on": "a bench supply"}, SKUA, "dcv-6V-3.000V-compared"),
    (DC, {"apply": "0.3 V", "force_range": "6 V", "compare_on": "a bench supply",
          "observe": "for the record"}, SKUA, "dcv-6V-0.300V-compared-by-hand-observed"),
    (AC, {"apply": "3 V", "frequency": "1 kHz", "find": "bandwidth"}, WAVES,
     "acv-6V-3.000V-1kHz-bandwidth"),
    (AC, {"apply": "2 V", "frequency": "1 kHz", "wave": "square"}, WAVES,
     "acv-6V-2.000V-1kHz-square"),
])
def test_the_name_says_what_is_applied_and_how(one, point, by, name, tmp_path):
    """Function, range, value and frequency, then whatever sets the point apart; a range that is
    always selected by hand isn't named for it, and a wave isn't called an observation too."""
    (found,) = the_procedure(load_points(tmp_path, one, point, standards=[by])).points
    assert found.id == name


def test_a_reading_less_its_leads_has_a_minus(tmp_path):
    """Resistances show no minus, but less the leads one may be below zero; the leads alone are
    taken off too. A resistance that leads don't matter to has none."""
    assert [point.planned.signed for point in two_wire(tmp_path / "a", "100 ohm")] == [True, True]
    megohms = function("resistance", range_("6 Mohm", "1 kohm", "2 % + 5 counts"))
    (found,) = the_procedure(load_points(
        tmp_path / "b", megohms, {"apply": "3 Mohm"}, plan_more={"leads": LEADS},
        standard_file=standard({"resistance": {"values": "0 ohm to 6 Mohm"}}))).points
    assert not found.planned.signed


@pytest.mark.parametrize("rule, low, high", [("simple acceptance", "−0.5", "0.5"),
                                             ("guard band of U", "−0.4", "0.4")])
def test_zero_less_the_leads_is_accepted_on_both_sides(rule, low, high, tmp_path):
    """0 Ω within 5 counts of 0.1 Ω, with the leads taken off: −0.5 to 0.5 Ω; under a guard band a
    count less on either side, as U is more than nothing and below 0.1 Ω."""
    shop = load_points(tmp_path, OHMS, {"apply": "0 ohm"},
                       plan_more={"leads": LEADS, "decision_rule": rule},
                       standard_file=standard({"resistance": {"values": "0 ohm to 1 kohm",
                                                              "within": "1 mohm"}}))
    found = the_procedure(shop).points[-1]
    assert found.planned.zero is None
    assert (found.accept_from, found.accept_to) == (low, high)
