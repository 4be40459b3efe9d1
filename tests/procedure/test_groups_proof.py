"""After currents: which voltage proves that the lead is back in its jack, and where none has to."""

import pytest

from tests.small_shop import (coil, function, load_with, meter, plan, range_, reference, row,
                              standard, the_procedure)

VOLTS = function("DC voltage", range_("600 mV", "0.1 mV", "1 %"), range_("6 V", "1 mV", "1 %"),
                 range_("60 V", "10 mV", "1 %"), range_("600 V", "0.1 V", "1 %"))
BAND = [row("1 %", frequency="40 Hz to 1 kHz")]
AC = function("AC voltage", range_("6 V", "1 mV", BAND), range_("60 V", "10 mV", BAND))
AMPS = function("DC current", range_("10 A", "10 mA", "1 %"), jacks=["A", "COM"])
TEN = function("DC voltage", range_("10 V", "10 mV", "1 %"), range_("60 V", "10 mV", "1 %"))
ELEVEN = function("DC voltage", range_("11 V", "10 mV", "1 %"), range_("60 V", "10 mV", "1 %"))
SHARED = AMPS | {"jacks": ["V", "COM"]}
CLAMP = {"function": "AC current", "clamp": "yes", "ranges": [
    range_("60 A", "10 mA", [row("2 %", frequency="45 Hz to 1 kHz")], lowest="3 A")]}
SKUA = reference(("DC voltage", {"values": "0 V to 10 V", "resolution": "10 uV",
                                 "within": "0.1 %"}))
# good to 2 V, and beyond that as wide as the meter's own tolerance
HALF_GOOD = standard({}, outputs=[
    {"output": "DC voltage", "terminals": ["HI", "LO"],
     "rows": [{"values": "0 V to 2 V", "within": "1 uV"},
              {"values": "2 V to 30 V", "within": "1 %"}]},
    {"output": "DC current", "terminals": ["HI", "LO"],
     "rows": [{"values": "0 A to 10 A", "within": "10 ppm"}]}])
LEAD_BACK = "Lead: out of the current jack, back in the voltage jack"


def groups_after_currents(folder, volts, points, *others, standards=(), **more):
    """The groups of a plan of voltages and `others`, each a current with its points."""
    title = volts["function"]
    planned = [{"function": title} | p for p in points]
    planned += [{"function": f["function"]} | p for f, p in others]
    for left_out in ([{"function": title, "because": "not part of this test"}], []):
        shop = load_with(folder, meter(volts, *(f for f, _ in others)),
                         plan(*planned, left_out=left_out, **more), *standards or [standard()])
        if not shop.errors:
            break
    return the_procedure(shop).groups


@pytest.mark.parametrize("volts, points, more, proof", [
    # the largest on a range up to 10 V, 10 V itself being one
    (TEN, [{"apply": ["9 V", "50 V", "2 V"]}], {}, "dcv-10V-9.00V"),
    (TEN, [{"apply": ["-9 V", "2 V", "0 V"]}], {}, "dcv-10V-2.00V"),
    # without one there, the largest of the others
    (TEN, [{"apply": ["20 V", "50 V"]}], {}, "dcv-60V-50.00V"),
    (ELEVEN, [{"apply": ["9 V", "50 V"]}], {}, "dcv-60V-50.00V"),
    # neither negative nor zero nor hazardous nor without limits
    (VOLTS, [{"apply": ["-3 V", "0 V", "100 V", "30 V"]}, {"apply": "4 V", "observe": "x"}], {},
     "dcv-60V-30.00V"),
    (VOLTS, [{"apply": ["-3 V", "0 V", "100 V"]}, {"apply": "4 V", "observe": "x"}], {}, None),
    # as small as can be is more than zero
    (VOLTS, [{"apply": ["0.5 V", "0 V"]}], {}, "dcv-600mV-500.0mV"),
    # under a guard band 3 V by 1 % can't be verified, 1 V by 1 µV can
    (VOLTS, [{"apply": ["1 V", "3 V"]}],
     {"standards": [HALF_GOOD], "decision_rule": "guard band of U"}, "dcv-6V-1.000V"),
    (VOLTS, [{"apply": ["20 V", "3 V"]}],
     {"standards": [HALF_GOOD], "decision_rule": "guard band of U"}, None),
    # only a source's own value is there again without another meter; AC is no such proof
    (VOLTS, [{"apply": "3 V", "compare_on": "a supply"}], {"standards": [standard(), SKUA]}, None),
    (AC, [{"apply": "3 V", "frequency": "50 Hz"}], {}, None),
])
def test_which_voltage_proves_the_lead(volts, points, more, proof, tmp_path):
    """A low DC voltage of the plan is read once more; without one the sheet asks for any."""
    groups = groups_after_currents(tmp_path, volts, points, (AMPS, {"apply": "3 A"}), **more)
    group = groups[-1]
    assert (group.number, group.stage, group.title, group.live) == (
        len(groups), "proving", "Lead back to the voltage jack", False)
    assert [(p.id, p.step) for p in group.points] == (
        [(f"{proof}-after-currents", f"{group.number}.1")] if proof else [])
    if proof:
        assert group.jacks == ("V", "COM") and group.connection.devices[0].name == "Petrel"
        assert group.opening[:2] == ("Source: 0 V, standby", LEAD_BACK)
        assert "Leads: V to HI, COM to LO of Petrel" in group.opening
        assert group.closing[:2] == ("Source: to 0 V", "Source: standby")
    else:
        assert group.opening == (
            "Source: 0 V, standby", LEAD_BACK, "Meter: dial to volts",
            "Source: a low, known voltage, output on", "Meter: reads it",
            "Source: to 0 V, standby")
        assert group.jacks == () and group.closing == ()


@pytest.mark.parametrize("currents, standards, stages", [
    # one pair of jacks for all, or a clamp without any: no lead was in another jack
    ([(SHARED, {"apply": "3 A"})], [], ["voltage", "amps"]),
    ([(CLAMP, {"apply": "50 A", "frequency": "50 Hz"})], [standard(), coil()],
     ["voltage", "amps"]),
    # one of two currents in another jack is enough
    ([(SHARED | {"function": "AC current", "ranges": [range_("10 A", "10 mA", BAND)]},
       {"apply": "3 A", "frequency": "50 Hz"}), (AMPS, {"apply": "3 A"})], [],
     ["voltage", "amps", "amps", "proving"]),
    ([], [], ["voltage"]),
])
def test_a_lead_that_was_never_moved_needs_no_proof(currents, standards, stages, tmp_path):
    """Only jacks of currents count, and only where they aren't those of the voltage."""
    groups = groups_after_currents(tmp_path, VOLTS, [{"apply": "3 V"}], *currents,
                                   standards=standards)
    assert [group.stage for group in groups if not group.checks] == stages
