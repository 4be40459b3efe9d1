"""A meter with everything: the order of work, how each group opens and closes, and data that fit
their schema."""

import json

import jsonschema
import pytest

from builder.pages import render
from builder.procedure.sentences import words
from builder.procedure.steps import BEFORE_LIVE
from tests import committed
from tests.small_shop import (JUNCTION, LEADS, box, coil, function, load_with, meter, plan, range_,
                              reference, row, standard, the_procedure)

SCHEMA = committed.schema("procedure-data")
BAND = [row("1 % + 3 counts", frequency="40 Hz to 1 kHz")]
FUNCTIONS = [
    function("DC current", range_("600 mA", "0.1 mA", "1 % + 3 counts", burden="0.3 V"),
             name="DC milliamps", jacks=["mA", "COM"], dial="mA"),
    function("DC current", range_("10 A", "10 mA", "1 % + 3 counts", highest_reading="10.00 A"),
             name="DC amps", jacks=["A", "COM"], dial="A"),
    {"function": "AC current", "name": "AC amps by jaw", "clamp": "yes", "dial": "jaw",
     "ranges": [range_("60 A", "10 mA", BAND, lowest="3 A")]},
    function("frequency", range_("6 kHz", "1 Hz", "0.1 % + 3 counts"), dial="V AC", keys="press Hz",
             sensitivity="0.5 V"),
    function("frequency", range_("6 kHz", "1 Hz", "0.1 % + 3 counts"),
             name="frequency of a current", dial="mA", keys="press Hz", signal="current",
             jacks=["mA", "COM"]),
    function("AC voltage", range_("6 V", "1 mV", BAND, lowest="0.3 V"),
             range_("600 V", "0.1 V", BAND, lowest="30 V"), dial="V AC", responds="mean"),
    function("DC voltage", range_("6 V", "1 mV", "0.4 % + 2 counts"),
             range_("600 V", "0.1 V", "0.4 % + 2 counts"), dial="V DC", input_resistance="1 Mohm"),
    function("capacitance", range_("60 nF", "10 pF", "3 % + 20 counts"),
             range_("6 uF", "1 nF", "2 % + 5 counts"),
             range_("600 uF", "100 nF", "4 % + 10 counts"), dial="F", method="charged",
             relative="press REL"),
    function("resistance", range_("600 ohm", "0.1 ohm", "0.9 % + 5 counts"),
             range_("6 kohm", "1 ohm", "0.7 % + 2 counts"), dial="Ω", relative="press REL"),
    function("temperature", range_("1300 degC", "0.1 degC", "0.3 % + 1.2 degC"), dial="°C",
             ranging="manual", thermocouple="K", display="20 000 counts"),
    function("temperature", range_("1900 degF", "0.1 degF", "0.3 % + 1.2 degC"),
             name="temperature, °F", dial="°F", ranging="manual", thermocouple="K",
             display="20 000 counts"),
    function("temperature", range_("600 degC", "0.1 degC", "0.3 % + 0.8 degC", lowest="-200 degC"),
             name="temperature, Pt100", dial="RTD", ranging="manual",
             resistance_thermometer="Pt100"),
]
POINTS = [
    {"function": "DC amps", "apply": "5 A", "compare_on": "a bench supply"},
    {"function": "DC milliamps", "apply": "540 mA"},
    {"function": "AC amps by jaw", "apply": ["30 A", "54 A"], "frequency": "50 Hz"},
    {"function": "frequency of a current", "apply": "1 kHz", "level": "50 mA"},
    {"function": "frequency", "apply": ["1 kHz", "5 kHz"], "level": "3 V"},
    {"function": "frequency", "apply": "1 kHz", "level": "3 V", "find": "sensitivity"},
    {"function": "frequency", "apply": "5.9 kHz", "level": "3 V", "find": "ceiling"},
    {"function": "AC voltage", "apply": ["3 V", "230 V"], "frequency": "50 Hz"},
    {"function": "AC voltage", "apply": "3 V", "frequency": "50 Hz", "find": "bandwidth"},
    {"function": "AC voltage", "apply": "2 V", "frequency": "50 Hz", "wave": "square"},
    {"function": "AC voltage", "apply": "2 V", "frequency": "50 Hz", "wave": "triangle"},
    {"function": "DC voltage", "apply": ["0 V", "3 V", "-3 V", "300 V"]},
    {"function": "DC voltage", "apply": "4 V", "observe": "for the record"},
    {"function": "capacitance", "apply": ["10 nF", "1 uF"], "zero": "relative"},
    {"function": "capacitance", "apply": "470 uF", "compare_on": "an electrolytic"},
    {"function": "resistance", "apply": ["5 kohm", "100 ohm", "500 ohm"]},
    {"function": "temperature", "apply": ["0 degC", "500 degC"]},
    {"function": "temperature, °F", "apply": "212 degF"},
    {"function": "temperature, Pt100", "apply": "0 degC"},
]
SOURCE = standard({}, outputs=[
    {"output": "DC voltage", "terminals": ["HI", "LO"], "output_resistance": "50 ohm",
     "rows": [{"values": "0 V to 1000 V", "within": "50 ppm + 2 uV", "drives": "20 mA"}]},
    *({"output": "AC voltage", "wave": wave, "terminals": ["HI", "LO"],
       "rows": [{"values": "0 V to 300 V", "frequency": "10 Hz to 20 kHz", "within": "0.1 %"}]}
      for wave in ("sine", "square", "triangle")),
    {"output": "DC current", "terminals": ["I HI", "I LO"],
     "rows": [{"values": "0 A to 2 A", "within": "0.1 %", "drives": "2 V"}]},
    {"output": "AC current", "terminals": ["I HI", "I LO"],
     "rows": [{"values": "0 A to 2 A", "frequency": "40 Hz to 1 kHz", "within": "0.1 %"}]},
    {"output": "frequency", "terminals": ["HI", "LO"],
     "rows": [{"values": "1 Hz to 10 kHz", "level": "0.1 V to 10 V", "within": "5 ppm"}]},
    {"output": "frequency", "terminals": ["I HI", "I LO"],
     "rows": [{"values": "1 Hz to 10 kHz", "level": "1 mA to 1 A", "within": "5 ppm"}]}])
STANDARDS = [SOURCE, coil(),
             box(("100 ohm", "100.003 ohm", "5 mohm"), ("500 ohm", "499.98 ohm", "25 mohm"),
                 ("5 kohm", "5.0003 kohm", "50 ppm", "20 ppm")),
             box(("10 nF", "10.024 nF", "20 pF"), ("1 uF", "1.0031 uF", "0.15 %"),
                 what="capacitance", standard="razor-box", name="Razor box"),
             reference(("DC current",
                        {"values": "0.1 A to 10 A", "range": "10 A", "resolution": "10 uA",
                         "within": "0.05 % of reading + 0.01 % of range + 2 counts"}),
                       ("capacitance",
                        {"values": "1 uF to 1 mF", "resolution": "10 nF", "within": "0.4 %"},
                        {"method": "charged"}))]
RULES = [{"decision_rule": "simple acceptance"}, {"decision_rule": "guard band of U"},
         {"decision_rule": "guard band of U", "outcomes": "four", "in_tolerance": "95 %"}]


def made(folder, **more):
    return load_with(folder, meter(*FUNCTIONS),
                     plan(*POINTS, checks=["fuses", "case", "closing up"], leads=LEADS,
                          junction=JUNCTION, **more), *STANDARDS)


@pytest.fixture(scope="module", params=range(len(RULES)), ids=["simple", "guarded", "four"])
def shop(request, tmp_path_factory):
    return made(tmp_path_factory.mktemp("whole"), **RULES[request.param])


@pytest.fixture(scope="module")
def procedure(shop):
    return the_procedure(shop)


def opening_of(group) -> list[str]:
    return [step.replace("\u00a0", " ") for step in group.opening]


def test_the_order_of_work(procedure):
    """By eye, fuses, thermocouples before hands warm the meter, inputs that are not live, voltages,
    hazardous ones, milliamps, amps, the lead proven back, closing up; however the plan mixes
    them."""
    stages = list(dict.fromkeys(g.stage for g in procedure.groups))
    assert stages == ["by eye", "battery and fuses", "thermocouple", "inputs", "voltage",
                      "hazardous voltage", "milliamps", "amps", "proving", "closing"]
    assert sorted(stages,
                  key=stages.index) == stages and len(
                      [g.stage for g in procedure.groups if g.stage == "proving"]) == 1


def test_corrected_readings_come_before_the_others_of_their_function(procedure):
    """First the leads, then what they are taken off, then what they don't matter for."""
    for title in ("resistance", "capacitance"):
        its = [g for g in procedure.groups
               if g.points and g.points[0].planned.function.title == title]
        assert [("zero" if g.points[0].planned.zero else "corrected"
                 if g.points[0].planned.correction else "plain")
                for g in its][:3] == ["zero", "corrected", "plain"]
        zero, corrected = its[:2]
        assert corrected.number == zero.number + 1 and {p.zero for p in corrected.points} <= {
            p.id for p in zero.points}


def test_each_group_closes_as_its_method_wants(procedure):
    """Sources at rest and in standby, relative off after boxes, supplies off after comparisons in
    circuit, a jaw opened last."""
    seen = set()
    for group in procedure.groups:
        if not group.points or group.stage == "proving":
            continue
        p = group.points[0].planned
        closing = [step.replace("\u00a0", " ") for step in group.closing
                   if step not in ("Leads: off the source first, then off the meter", "Meter: off")]
        rest = ("0 A" if p.function.kind.dimension == "[current]"
                or p.function.given.signal == "current" else "0 V")
        method = "zero" if p.zero is not None else p.supply.method
        seen.add(method)
        if method in ("source", "thermocouple"):
            opening = [step for step in opening_of(group) if step not in map(words, BEFORE_LIVE)]
            assert (opening[0], opening[-1]) == (f"Source: {rest}, standby", "Source: output on")
            assert closing == [f"Source: to {rest}", "Source: standby"]
        elif method == "coil":
            assert closing == ["Source: to 0 A", "Source: standby", "Jaw: open it only now"]
        elif method == "reference":
            assert closing == (["Supply: off"] if p.function.title == "DC amps"
                               else [f"{p.supply.standard.name}: leads off the part"])
        elif method == "artifact":
            assert closing == (["Meter: relative off"] if p.correction == "relative" else [])
            assert not any(step.startswith("Source") for step in opening_of(group))
        else:   # leads alone, and ohms of a box
            assert closing == []
    assert seen == {"source", "thermocouple", "coil", "reference", "artifact", "ohms", "zero"}


def test_a_group_has_one_way_of_doing_things(procedure):
    """Method, correction, standard and jacks are the same within a group; only live groups hold
    hazardous points."""
    for group in procedure.groups:
        assert len(
            {(p.planned.supply.method, p.planned.correction, p.planned.standard.standard,
              p.planned.supply.compare_on, p.planned.function.jacks(p.planned.range))
             for p in group.points}) <= 1
        assert group.live == any(p.hazardous for p in group.points)


def test_nothing_stays_connected(procedure):
    """The last group with points ends with leads off and meter off, and no other does."""
    last = [g for g in procedure.groups if g.points][-1]
    assert last.closing[-1] == "Meter: off" and sum(
        "Meter: off" in g.closing for g in procedure.groups) == 1


def test_every_function_is_tested_and_observations_count_for_none(procedure):
    """The completeness table names steps with limits only."""
    by_step = {p.step: p for p in procedure.points}
    for line in procedure.completeness:
        for step in filter(None, line.tested.split(", ")):
            assert by_step[step].planned.judged is not None
    assert all(line.tested or "under this rule" in line.because for line in procedure.completeness)


def test_the_data_fit_their_schema(procedure):
    """Every kind of point there is but known leads, which none has beside leads that are taken off,
    valid; ids stand once, and each corrected point's reading of the leads is among them."""
    data = json.loads(json.dumps(procedure.data))
    jsonschema.validate(data, SCHEMA, jsonschema.Draft202012Validator)
    points = {p["id"]: p for p in data["points"]}
    assert len(points) == len(data["points"])
    assert {"leads", *(p["kind"] for p in points.values())} == set(
                SCHEMA["$defs"]["PointData"]["properties"]["kind"]["enum"])
    assert {p["find"]
            for p in points.values()} == {None, "ceiling", "sensitivity",
                                          "bandwidth"} and {p["wave"] for p in points.values()} == {
                                              None, "square", "triangle"}
    for p in points.values():
        assert (p["correction"] is not None and p["kind"] != "zero") == (p["zero"] is not None)
        assert p["zero"] is None or points[p["zero"]]["kind"] == "zero"
        assert (p["source_setting"] is not None) == (p["kind"] == "coil")
        assert (p["reference"] is not None) == (p["kind"] == "reference")


@pytest.mark.thorough
def test_every_page_is_made(shop):
    """Sheet, evidence, and the pages of the meter and of each standard."""
    pages = render.render(shop).pages
    for name in ("procedures/lapwing-yearly", "evidence/lapwing-yearly", "meters/lapwing-1",
                 *(f"standards/{s['standard']}" for s in STANDARDS)):
        assert f"{name}.md" in pages and "None" not in pages[f"{name}.md"].replace("None of", "")


def test_the_plans_order_changes_nothing_but_ties(tmp_path):
    """The same points written backwards give the same ids with the same limits, in the same
    stages."""
    one = the_procedure(made(tmp_path))
    other = the_procedure(load_with(tmp_path / "b", meter(*FUNCTIONS),
                                    plan(*reversed(POINTS), checks=["closing up", "fuses", "case"],
                                         leads=LEADS, junction=JUNCTION), *reversed(STANDARDS)))
    def limits(procedure):
        return {p.id: (p.accept_from, p.accept_to, p.tolerance) for p in procedure.points}
    assert limits(one) == limits(other)
    assert list(dict.fromkeys(g.stage for g in one.groups)) == list(
        dict.fromkeys(g.stage for g in other.groups))
