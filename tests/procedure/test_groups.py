"""Groups, their order and what stands before and after them."""

from itertools import pairwise

import pytest

from tests.small_shop import (function, load, load_points, meter, only_problem, plan, range_, row,
                              the_procedure)

VOLTS = function("DC voltage", range_("6 V", "1 mV", "0.4 % + 2 counts"),
                 range_("60 V", "10 mV", "0.4 % + 2 counts"),
                 range_("600 V", "0.1 V", "0.4 % + 2 counts"))
AC = function("AC voltage",
              range_("6 V", "1 mV", [row("1 %", frequency="40 Hz to 1 kHz")], lowest="0.3 V"),
              range_("600 V", "0.1 V", [row("1 %", frequency="40 Hz to 1 kHz")], lowest="30 V"))
MILLI = function("DC current", range_("60 mA", "10 uA", "1 %"), range_("600 mA", "0.1 mA", "1 %"),
                 name="DC milliamps", jacks=["mA", "COM"], dial="mA")
AMPS = function("DC current", range_("10 A", "10 mA", "1 %"), name="DC amps", jacks=["A", "COM"],
                dial="A")
CONTINUITY = {"function": "continuity", "jacks": ["V", "COM"]}
ALL = [{"function": f, "apply": "recommended"}
       for f in ("DC amps", "AC voltage", "DC milliamps", "DC voltage")]
CHECKS = ["closing up", {"check": "continuity beeper", "covers": "continuity"}, "display segments",
          "fuses", "case", "case opened"]


@pytest.fixture
def procedure(tmp_path):
    return the_procedure(load(tmp_path, meter(AMPS, AC, MILLI, VOLTS, CONTINUITY),
                              plan(*ALL, checks=CHECKS)))


def test_the_work_goes_in_the_safe_order(procedure):
    """However the plan is written: inside and by eye, fuses, display, inputs, safe voltages,
    hazardous ones, milliamps, amps, the lead proven back, closing up."""
    stages = list(dict.fromkeys(g.stage for g in procedure.groups))
    assert stages == ["opened", "by eye", "battery and fuses", "display and keys", "inputs",
                      "voltage", "hazardous voltage", "milliamps", "amps", "proving", "closing"]
    assert [g.number for g in procedure.groups] == list(range(1, len(procedure.groups) + 1))


def test_steps_are_numbered_by_group_and_stand_once(procedure):
    """Step 4.7 is the seventh of group 4, of points as of checks."""
    for group in procedure.groups:
        assert [row.step for row in (*group.checks, *group.points)] == [
            f"{group.number}.{n}" for n in range(1, len(group.checks) + len(group.points) + 1)]


def test_hazardous_points_are_marked_and_kept_apart(procedure):
    """Above 30 V AC or 60 V DC the point itself is marked, in a live group with a warning, and
    nowhere else."""
    for group in procedure.groups:
        for point in group.points:
            volts = (abs(point.planned.applied)
                     if point.planned.function.kind.dimension == "[voltage]" else 0)
            hazardous = volts > (30 if point.planned.hertz is not None else 60)
            assert point.hazardous == hazardous == (
                group.stage == "hazardous voltage") == group.live
        if group.live:
            assert any(w.word == "WARNING" for w in group.warnings)
            assert group.near_zero == "V"
            assert any("standby" in step for step in group.closing) and any(
                " 0\u00a0V" in step or " 0 V" in step for step in group.closing)


@pytest.mark.parametrize("one, point, hazardous", [
    (VOLTS, {"apply": "60 V", "force_range": "600 V"}, False),
    (VOLTS, {"apply": "60.1 V", "force_range": "600 V"}, True), (VOLTS, {"apply": "-100 V"}, True),
    (AC, {"apply": "30 V", "frequency": "50 Hz"}, False),
    (AC, {"apply": "30.1 V", "frequency": "50 Hz"}, True),
    (function("frequency", range_("6 kHz", "1 Hz", "1 %")), {"apply": "1 kHz", "level": "30 V"},
     False),
    (function("frequency", range_("6 kHz", "1 Hz", "1 %")), {"apply": "1 kHz", "level": "31 V"},
     True),
    (MILLI, {"apply": "300 mA"}, False),
])
def test_the_threshold_of_hazard(one, point, hazardous, tmp_path):
    """Above, not at, the threshold, of either polarity; a counter's signal counts by its level."""
    (found,) = the_procedure(load_points(tmp_path, one, point)).points
    assert found.hazardous is hazardous


def test_an_observation_can_be_hazardous(tmp_path):
    """Whether limits are asked for changes nothing in what can hurt."""
    (found,) = the_procedure(load_points(tmp_path, VOLTS,
                                         {"apply": "300 V", "observe": "x"})).points
    assert found.hazardous


def test_within_a_group_there_is_one_setting(procedure):
    """One function, one set of jacks, one dial position a group."""
    for group in procedure.groups:
        settings = {(p.planned.function.title, p.planned.function.jacks(p.planned.range),
                     p.planned.function.dial(p.planned.range)) for p in group.points}
        assert len(settings) <= 1


def test_the_lead_is_proven_back_after_currents(procedure):
    """After the last current a low voltage is read in the voltage jack, with limits, before closing
    up."""
    group = next(g for g in procedure.groups if g.stage == "proving")
    (point,) = group.points
    assert (group.jacks == ("V",
                            "COM") and point.unit == "V" and point.accept_from
            and not point.hazardous)
    assert len({p.id for p in procedure.points}) == len(procedure.points)


def test_without_currents_nothing_is_proven(tmp_path):
    """A plan without currents has no group for the lead's way back."""
    found = the_procedure(load(tmp_path, meter(VOLTS),
                               plan({"function": "DC voltage", "apply": "recommended"})))
    assert "proving" not in {g.stage for g in found.groups}


def test_milliamps_alone_are_proven_too(tmp_path):
    """Also where no range of amperes is planned the lead was in a current jack."""
    found = the_procedure(load(tmp_path, meter(VOLTS, MILLI), plan(ALL[2], ALL[3])))
    assert [g.stage for g in found.groups][-1] == "proving"


def test_as_few_changes_of_jacks_as_possible(tmp_path):
    """Functions on the same jacks stand together inside a stage, though the plan mixes them."""
    functions = [function("DC voltage", range_("6 V", "1 mV", "1 %"), name=f"volts {n}",
                          jacks=["V" if n % 2 else "W", "COM"]) for n in range(6)]
    found = the_procedure(load(tmp_path, meter(*functions),
                               plan(*({"function": f["name"], "apply": "3 V"} for f in functions))))
    jacks = [g.jacks[0] for g in found.groups]
    assert sum(a != b for a, b in pairwise(jacks)) == 1


def test_a_manual_function_names_every_range(tmp_path):
    """On a manual function each row names the range to select, and the group says to select it by
    hand."""
    found = the_procedure(load_points(tmp_path, VOLTS | {"ranging": "manual"},
                                      {"apply": ["3 V", "30 V"]},
                                      {"apply": "3 V", "range": "60 V"}))
    (group,) = found.groups
    assert {p.range for p in group.points} == {"6\u00a0V",
                                               "60\u00a0V"} and any(
                                                   "by hand" in step for step in group.opening)
    # 12 mV + 20 mV
    assert [(p.accept_from, p.accept_to) for p in group.points
            if p.range == "60\u00a0V"][0] == ("2.97", "3.03")


def test_point_ids_tell_points_apart_and_stay(tmp_path):
    """Ids come from function, range, value, frequency and method: adding a point renames none, and
    duplicates are refused."""
    first = {p.id
             for p in the_procedure(
                 load_points(tmp_path, AC,
                             {"apply": ["3 V", "300 V"], "frequency": ["50 Hz", "1 kHz"]})).points}
    more = {p.id
            for p in the_procedure(load_points(tmp_path / "b", AC,
                                               {"apply": "1 V", "frequency": "60 Hz"},
                                               {"apply": ["300 V", "3 V"],
                                                "frequency": ["1 kHz", "50 Hz"]})).points}
    assert len(first) == 4 and first < more
    assert only_problem(load_points(tmp_path / "c", AC,
                                    {"apply": ["3 V", "3000 mV"],
                                     "frequency": "50 Hz"})).code == "twice"
    assert only_problem(load_points(tmp_path / "d", AC,
                                    {"apply": "3 V",
                                     "frequency": ["1 kHz", "1000 Hz"]})).code == "twice"


def test_a_point_of_two_ranges_is_two_points(tmp_path):
    """The same value on a computed and on a forced range has two ids."""
    found = the_procedure(load_points(tmp_path, VOLTS, {"apply": "3 V"},
                                      {"apply": "3 V", "force_range": "60 V"}))
    assert len({p.id for p in found.points}) == 2 and [p.forced for p in found.points] == [
        False, True]


@pytest.mark.parametrize("names", [("V ⎓", "V ~"), ("DC V", "DC V+"), ("電圧", "電流"), ("Ω", "kΩ"),
                                   ("µA", "mA")])
def test_functions_whose_names_differ_in_signs_only(names, tmp_path):
    """Two functions with two names are two functions: their points are no doubles, or the meter's
    file is told to choose other names."""
    functions = [function("DC voltage", range_("6 V", "1 mV", "1 %"), name=name) for name in names]
    shop = load(tmp_path, meter(*functions),
                plan(*({"function": name, "apply": "3 V"} for name in names)))
    assert "twice" not in [p.code for p in shop.errors
                           if p.place.file.startswith("procedures/plans/")]
