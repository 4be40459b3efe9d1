"""`draft` writes a plan from a meter's file that passes the check as it stands, for whatever meter
and standards."""

from __future__ import annotations

import json
import os
import random
import shutil
import stat
import time

import pytest

from builder import cli
from builder.files import yaml_text
from builder.files.problems import WARNING
from builder.first_plan import plan_text, yaml_lines
from builder.procedure.supplies import REFERENCE
from builder.shop import loading
from tests import small_shop as shop
from tests.conftest import METERS, ROOT
from tests.procedure.test_planned_points_random_shops import shops
from tests.small_shop import function, meter, range_, row, standard

EVERYTHING = ["fulmar", "fulmar-coil", "gannet-c", "gannet-r", "razorbill"]


@pytest.fixture
def command(tmp_path, monkeypatch, capsys):
    """Runs `draft` on a folder: its exit code, what it printed, and what it said beside that."""
    folder = tmp_path / "procedures"
    monkeypatch.setattr(cli, "PROCEDURES", folder)

    def run(*arguments: str, **files) -> tuple[int, str, str]:
        shop.write(folder, files)
        code = cli.main(["draft", *arguments])
        return (code, *capsys.readouterr())
    run.folder = folder
    return run


@pytest.fixture
def demo(command):
    """The same on the demo's meters and standards, without its plans."""
    for kind in ("meters", "standards"):
        shutil.copytree(ROOT / "procedures" / kind, command.folder / kind)
    return command


def written(folder, name: str = "lapwing-1"):
    """The drafted plan as the pipeline loads it, after what holds for every draft: no errors, no
    warnings but those on ratios, low and very low ones, every row tested or left out for a reason,
    and no line that an editor would break."""
    path = folder / "plans" / f"{name}-draft.yaml"
    text = path.read_text(encoding="utf-8")
    loaded = loading.load_shop(folder)
    assert not loaded.errors, "\n".join(map(str, loaded.errors)) + "\n" + text
    assert {p.code for p in loaded.problems if "/plans/" in p.place.file} <= {
        "below-minimum-tur", "doubt"}, "\n".join(map(str, loaded.problems)) + "\n" + text
    assert all(p.severity == WARNING for p in loaded.problems)
    procedure = loaded.procedures[f"{name}-draft"]
    assert all(bool(one.tested) != bool(one.because) for one in procedure.completeness), text
    assert text.endswith("\n") and all(line == line.rstrip() and "\t" not in line
                                       for line in text.splitlines())
    return procedure, text


def left_out(procedure) -> list[tuple[str, str, str]]:
    return [(one.function, one.range.replace("\u00a0", " "), one.because)
            for one in procedure.completeness if one.because]


def make(folder, meter_file, *standards, names=("petrel",)):
    """A meter and its standards, drafted: the procedure and the text."""
    files = {"meters/lapwing-1.yaml": meter_file,
             **{f"standards/{one['standard']}.yaml": one for one in standards}}
    shop.write(folder, files)
    plan_text.draft(folder, "lapwing-1", *names)
    return written(folder)


# ---------------------------------------------------------------- the demo's meters

@pytest.mark.parametrize("name", METERS)
@pytest.mark.parametrize("standards",
                         [EVERYTHING, ["fulmar"], ["gannet-r", "gannet-c"], ["razorbill"],
                          ["fulmar-coil"], EVERYTHING[::-1]], ids=" ".join)
def test_the_demo_s_meters_are_drafted(demo, name, standards):
    """With all standards, with the source alone, with parts alone, with what puts nothing out, and
    in another order."""
    code, out, err = demo(name, *standards)
    assert code == 0
    assert out.startswith(f"procedures/plans/{name}-draft.yaml: ")
    assert "error" not in err
    procedure, text = written(demo.folder, name)
    judged = [p for g in procedure.groups for p in g.points
              if p.planned.judged and g.stage != "proving"]
    assert f" {len(judged)} point" in out
    if standards == ["razorbill"] or standards == ["fulmar-coil"]:
        assert "points: []" in text and not procedure.points


def test_what_the_standards_reach_is_tested(demo):
    """With all the demo's standards a person's own plan leaves out no less."""
    demo("dunlin-60", *EVERYTHING)
    assert left_out(written(demo.folder, "dunlin-60")[0]) == []
    demo("turnstone-c", *EVERYTHING)
    assert left_out(written(demo.folder, "turnstone-c")[0]) == []
    demo("whimbrel-200", *EVERYTHING)
    assert left_out(written(demo.folder, "whimbrel-200")[0]) == [
        ("DC current", "10 A", "Fulmar reaches 0 to 2 A")]


def test_reasons_are_the_planner_s(demo):
    """What can't be tested says why, once for what shares a reason."""
    demo("turnstone-c", "fulmar")
    procedure, text = written(demo.folder, "turnstone-c")
    assert {(function, because) for function, _, because in left_out(procedure)} == {
        ("Resistance", "no standard here puts out resistance"),
        *((one, "a clamp-on meter is checked with a coil, and there is none here")
          for one in ("AC current", "DC current"))}
    assert text.count("because:") == 3


def test_parts_bring_leads_and_their_comment(demo):
    """Leads stand in the plan only where two-wire readings do, and a junction only where a
    thermocouple input does; a comment says that the figures aren't the bench's own."""
    demo("whimbrel-200", "fulmar")
    _, text = written(demo.folder, "whimbrel-200")
    assert "\nleads:" not in text and "\njunction:" in text
    demo("dunlin-60", "gannet-r")
    _, text = written(demo.folder, "dunlin-60")
    assert "\n# Two-wire leads: these figures stand in for your bench's own" in text
    assert "\nleads:" in text and "stray" not in text and "\njunction:" not in text


def test_low_ratios_stay_warnings(demo):
    """A point under 4:1 is for a person to decide: a warning, and in the file a comment with what
    may be written."""
    code, _, err = demo("whimbrel-200", *EVERYTHING)
    assert code == 0 and "warning" in err and "test uncertainty ratio under 4:1" in err
    _, text = written(demo.folder, "whimbrel-200")
    assert ("#   - {what: below minimum TUR, function: AC current, range: 200 uA, because: …}"
            in text)


def test_the_plan_says_what_a_person_decides(demo):
    """Decision rule and ratio stand there; the day of the work doesn't, but a comment says what it
    is for."""
    demo("dunlin-60", *EVERYTHING)
    plan = written(demo.folder, "dunlin-60")[0].plan
    assert (plan.minimum_tur, plan.as_of, plan.accepted, plan.outcomes) == (4, None, [], "two")
    text = (demo.folder / "plans" / "dunlin-60-draft.yaml").read_text(encoding="utf-8")
    assert "\ndecision_rule: simple acceptance\n" in text and "\n# as_of: … " in text
    assert "Razorbill" in text.split("leads:")[0]  # named, and needed by no point


def test_checks_suit_the_meter(demo):
    """Functions without a table are covered; fuses only where there are jacks for current."""
    for name in ("dunlin-60", "turnstone-c"):
        demo(name, "fulmar")
    found = {name: {c.check: c.covers for c in written(demo.folder, name)[0].plan.checks}
             for name in ("dunlin-60", "turnstone-c")}
    assert found["dunlin-60"]["continuity beeper"] == "continuity" and found["dunlin-60"][
        "diode test"] == "diode test"
    assert "fuses" in found[
        "dunlin-60"] and "fuses" not in found[
            "turnstone-c"] and "diode test" not in found["turnstone-c"]
    assert "backlight" not in found["dunlin-60"]


# ---------------------------------------------------------------- other meters

@pytest.mark.parametrize("reach",
                         [None,
                          {"DC voltage": {"values": "0 V to 2 V"},
                           "AC voltage": {"values": "0.1 V to 1 V",
                                          "frequency": "100 Hz to 900 Hz"}}],
                         ids=["wide", "narrow"])
def test_random_meters_are_drafted(reach, tmp_path):
    """Fifty hostile tables with few counts, from a source that reaches everything and from one that
    doesn't."""
    tested = 0
    for n, (_, file, _) in enumerate(shops(7, 50)):
        procedure, _ = make(tmp_path / str(n) / "procedures", meter(file), standard(reach))
        tested += bool(procedure.points)
    assert tested > 15


@pytest.mark.parametrize("seed", range(3))
def test_random_whole_meters_are_drafted(seed, tmp_path):
    """Meters of several functions, some manual, some with other jacks, from a random choice of
    standards."""
    rng = random.Random(seed)
    for n in range(8):
        folder = tmp_path / str(n) / "procedures"
        functions = rng.sample(_functions(rng), rng.randint(1, 8))
        names = rng.sample(list(_STANDARDS), rng.randint(1, 4))
        shop.write(folder, {f"standards/{name}.yaml": _STANDARDS[name] for name in names})
        make(folder, meter(*functions, display="60000 counts"), names=names)


def _functions(rng) -> list[dict]:
    ranging = {"ranging": rng.choice(["automatic", "manual", "automatic only"])}
    other = {"jacks": ["A", "COM"], "dial": "A"}
    lowest = {"lowest": rng.choice(["5 % of range", "10 % of range"])}
    ac = [row("1 % + 5 counts", frequency="20 Hz to 45 Hz"),
          row("0.5 % + 3 counts", frequency="45 Hz to 1 kHz"),
          row("2 % + 9 counts", frequency="1 kHz to 20 kHz")]
    return [
        function("DC voltage", range_("600 mV", "0.01 mV", "0.5 % + 3 counts"),
                 range_("6 V", "0.1 mV", "0.4 % + 2 counts"),
                 range_("1000 V", "0.1 V", "0.4 % + 2 counts"), **ranging),
        function("AC voltage", range_("6 V", "0.1 mV", ac, **lowest),
                 range_("600 V", "10 mV", ac[rng.randint(0, 1):], **lowest), **ranging),
        function("DC current", range_("60 mA", "1 uA", "0.5 % + 3 counts"),
                 range_("6 A", "0.1 mA",
                        [row("1 % + 3 counts", values="0 A to 3 A"),
                         row("2 % + 3 counts", values="3 A to 6 A")], **other), **ranging),
        function("AC current", range_("6 A", "0.1 mA", ac[1:], **lowest, **other), **ranging),
        function("resistance", range_("600 ohm", "0.01 ohm", "0.9 % + 5 counts"),
                 range_("60 Mohm", "1 kohm", "2 % + 5 counts"), **ranging),
        function("conductance", range_("60 nS", "0.01 nS", "1 % + 5 counts")),
        function("capacitance", range_("60 nF", "10 pF", "3 % + 5 counts"),
                 range_("600 uF", "100 nF", "4 % + 5 counts"), **ranging),
        function("temperature",
                 range_("400 degC", "0.1 degC",
                        [row("1 % + 2 degC", values="-200 degC to 0 degC"),
                         row("0.5 % + 1 degC", values="0 degC to 400 degC")]),
                 **({"thermocouple": rng.choice("KJT")} if rng.random() < 0.8 else {}),
                 ranging="manual"),
        function("temperature", range_("752 degF", "0.1 degF", "1 % + 3 degF"), thermocouple="K",
                 name="temperature in °F", ranging="manual"),
        function("frequency", range_("600 Hz", "0.01 Hz", "0.1 % + 2 counts"),
                 range_("60 kHz", "1 Hz", "0.1 % + 2 counts"),
                 range_("60 MHz", "1 kHz", "0.1 % + 2 counts"),
                 sensitivity=rng.choice(["0.1 V", "2 V", "50 V"]), **ranging),
        function("duty cycle",
                 range_("100 %", "0.1 %",
                        rng.choice(
                            ["0.5 % + 2 counts",
                             [row("0.3 % + 2 counts", frequency="10 Hz to 1 kHz",
                                  values="5 % to 95 %"),
                              row("1 % + 2 counts", frequency="1 kHz to 50 kHz",
                                  values="20 % to 80 %")]])), ranging="manual",
                 display="1000 counts"),
        {"function": "AC current", "name": "clamp", "clamp": "yes",
         "ranges": [range_("600 A", "0.1 A", ac[1:2], lowest="5 % of range")]},
        function("diode test", range_("2 V", "1 mV", "1 % + 2 counts")),
        {"function": "continuity", "jacks": shop.JACKS},
        function("continuity", range_("600 ohm", "0.1 ohm", "1 % + 5 counts"), name="beeper"),
        {"function": "continuity", "name": "second beeper", "jacks": shop.JACKS},
        function("frequency", range_("600 Hz", "0.01 Hz", "0.1 % + 2 counts"), signal="current",
                 name="frequency of a current"),
        function("DC voltage", range_("600 mV", "0.1 mV", "0.5 % + 3 counts"), name="DC millivolts",
                 input={"highest": "0.5 V"}),
    ]


def _load_demo(name: str) -> str:
    return (ROOT / "procedures" / "standards" / f"{name}.yaml").read_text(encoding="utf-8")


_STANDARDS = {
    **{name: _load_demo(name) for name in EVERYTHING}, "petrel": standard(),
    "skua": standard({"DC voltage": {"values": "0 V to 100 V"},
                      "frequency": {"values": "1 Hz to 1 MHz", "level": "1 mA to 20 mA"},
                      "duty cycle": {"values": "1 % to 99 %", "frequency": "100 Hz to 2 kHz",
                                     "level": "10 mV to 1 V"}}, standard="skua", name="Skua",
                     holds="20 to 26 degC"),
    "auk": standard({"resistance": {"values": "0 ohm to 10 Mohm"},
                     "temperature": {"values": "-100 degC to 300 degC"}}, standard="auk",
                    name="Auk"),
}


def test_a_manual_range_gets_its_points(tmp_path):
    """On a function without autoranging each range has its points without being forced."""
    ranges = [range_("600 mV", "0.1 mV", "0.5 % + 3 counts"),
              range_("6 V", "1 mV", "0.4 % + 2 counts")]
    procedure, text = make(tmp_path / "procedures",
                           meter(function("DC voltage", *ranges, ranging="manual")), standard())
    assert not left_out(procedure) and "force_range" not in text


@pytest.mark.parametrize("ranging, forced", [("automatic", True), ("automatic only", False)])
def test_a_range_is_forced_before_it_is_left_out(ranging, forced, tmp_path):
    """Where the source ends below what the meter chooses a range for, the range is selected by
    hand, if it can be."""
    ranges = [range_("6 V", "1 mV", "0.4 % + 2 counts"),
              range_("60 V", "10 mV", "0.4 % + 2 counts")]
    procedure, text = make(tmp_path / "procedures",
                           meter(function("DC voltage", *ranges, ranging=ranging)),
                           standard({"DC voltage": {"values": "0 V to 6 V"}}))
    assert ("force_range: 60 V" in text) == forced
    assert left_out(procedure) == ([] if forced
                                   else [("DC voltage", "60 V", "Petrel reaches 0 to 6 V")])


def test_a_value_too_low_for_a_range_doesn_t_test_it(tmp_path):
    """A twentieth of a range is the least that says anything about it."""
    ranges = [range_("6 V", "1 mV", "0.4 % + 2 counts"),
              range_("600 V", "0.1 V", "0.4 % + 2 counts")]
    procedure, _ = make(tmp_path / "procedures", meter(function("DC voltage", *ranges)),
                        standard({"DC voltage": {"values": "0 V to 6 V"}}))
    assert left_out(procedure) == [("DC voltage", "600 V", "Petrel reaches 0 to 6 V")]


def test_a_row_is_tested_where_the_source_begins_inside_it(tmp_path):
    """Of a row from 20 Hz to 45 Hz only the upper end is in reach, and there a tighter row holds: a
    frequency between."""
    ac = [row("1 % + 5 counts", frequency="20 Hz to 45 Hz"),
          row("0.5 % + 3 counts", frequency="45 Hz to 1 kHz")]
    procedure, text = make(tmp_path / "procedures",
                           meter(function("AC voltage",
                                          range_("6 V", "1 mV", ac, lowest="5 % of range"))),
                           standard(
                               {"AC voltage": {"values": "0 V to 10 V",
                                               "frequency": "40 Hz to 1 kHz"}}))
    assert not left_out(procedure)
    assert "40 Hz" in text


def test_a_typical_row_is_left_out_as_that(tmp_path):
    """Not for the standards, nor for the range: the data sheet itself gives no limit there."""
    ac = [row("1 % + 5 counts", frequency="45 Hz to 400 Hz"),
          {"frequency": "400 Hz to 1 kHz", "typical": "5 %"}]
    procedure, text = make(tmp_path / "procedures",
                           meter(function("AC voltage",
                                          range_("6 V", "1 mV", ac, lowest="5 % of range"))),
                           standard({"AC voltage": {"values": "0 V to 10 V",
                                                    "frequency": "40 Hz to 1 kHz"}}))
    assert [because for *_, because in left_out(procedure)] == [
        "the data sheet has a typical figure alone here, which gives no limit"]
    assert "frequency: 400 Hz to 1 kHz, because" in text


def test_an_end_that_isn_t_reached_is_named_and_no_warning(tmp_path):
    """The row is tested at its other end; a comment says which end isn't and why."""
    ac = [row("1 % + 5 counts", frequency="40 Hz to 1 kHz")]
    procedure, text = make(tmp_path / "procedures",
                           meter(function("AC voltage",
                                          range_("6 V", "1 mV", ac, lowest="5 % of range"))),
                           standard(
                               {"AC voltage": {"values": "0 V to 10 V",
                                               "frequency": "40 Hz to 500 Hz"}}))
    assert not left_out(procedure)
    assert "# Not at 1 kHz on the 6 V range: Petrel reaches 40 to 500 Hz." in text


@pytest.mark.parametrize("sensitivity, level",
                         [("0.5 V", "3 V"), ("2 V", "4 V"), ("8 V", "10 V"), ("20 V", None)])
def test_the_level_suits_counter_and_source(sensitivity, level, tmp_path):
    """Well above the sensitivity where the source can, and never below it."""
    counter = function("frequency", range_("600 Hz", "0.1 Hz", "0.1 % + 2 counts"),
                       sensitivity=sensitivity)
    procedure, text = make(tmp_path / "procedures", meter(counter),
                           standard(
                               {"frequency": {"values": "5 Hz to 100 kHz",
                                              "level": "0.1 V to 10 V"}}))
    if level:
        assert not left_out(procedure) and f"level: {level}" in text
    else:
        assert left_out(procedure)[0][
            2] == "no signal of these standards suits this input: 0.1 to 10 V; it counts from 20 V"


def test_another_level_where_the_source_gives_less(tmp_path):
    """A source with two bands of levels that have nothing in common: each range with its own."""
    rows = [{"values": "5 Hz to 1 kHz", "level": "2 V to 10 V", "within": "5 ppm"},
            {"values": "1 kHz to 1 MHz", "level": "0.1 V to 1 V", "within": "5 ppm"}]
    source_ = standard({}) | {
        "outputs": [{"output": "frequency", "terminals": ["HI", "LO"], "rows": rows}]}
    counter = function("frequency", range_("600 Hz", "0.1 Hz", "0.1 % + 2 counts"),
                       range_("60 kHz", "10 Hz", "0.1 % + 2 counts"))
    procedure, text = make(tmp_path / "procedures", meter(counter), source_)
    assert not left_out(procedure)
    assert "level: 3 V" in text and "level: 1 V" in text


def test_a_point_that_the_leads_push_off_the_range_is_listed_around(tmp_path):
    """A part near the top of a range, whose reading with the leads may be overload: the others are
    listed."""
    box = {"standard": "petrel", "name": "Petrel", "kind": "artifact", "description": "parts",
           "maker": "Invented Works", "certificate": "P-1",
           "due": "2030-01-01", "stated": "k = 2",
           "artifacts": [{"artifact": "resistance", "terminals": ["HI", "LO"], "values": [
               {"nominal": f"{v} ohm", "certified": f"{v} ohm", "within": "1 mohm"}
               for v in ("1", "3", "5.93")]}]}
    procedure, text = make(tmp_path / "procedures",
                           meter(function("resistance",
                                          range_("6 ohm", "1 mohm", "0.9 % + 5 counts"))), box)
    assert procedure.points and not left_out(procedure) and "5.93" not in text


def test_the_bench_keeps_within_all_standards(tmp_path):
    """Where a standard holds for fewer degrees than the meter, the plan names the band; where there
    is none, that is said."""
    volts = meter(function("DC voltage", range_("6 V", "1 mV", "0.4 % + 2 counts")))
    procedure, text = make(tmp_path / "procedures", volts, standard(holds="68 to 77 degF"))
    assert "\nambient: 20 to 25 degC\n" in text
    folder = tmp_path / "b" / "procedures"
    shop.write(folder,
               {"meters/lapwing-1.yaml": volts,
                "standards/petrel.yaml": standard(holds="30 to 40 degC")})
    with pytest.raises(plan_text.Wrong, match="there is no temperature"):
        plan_text.compose(loading.load_shop(folder), folder, "lapwing-1", "petrel")
    volts["specification"]["temperature_coefficient"] = "0.1 per degC"
    shop.write(folder, {"meters/lapwing-1.yaml": volts})
    plan_text.draft(folder, "lapwing-1", "petrel")
    assert "\nambient: 30 to 40 degC\n" in written(folder)[1]


# ---------------------------------------------------------------- hostile names and large tables

HOSTILE = ["a: b", "x #1", "'quoted'", '"both" \'kinds\'', "- dash", "[list]", "{map}", "*star",
           "&and", "!tag", "|", ">", "%", "@", "`", "yes", "null", "~",
           "1e3", "0x10", "12:30", "back\\slash", "\\n", "voltage Ω µ °C ½", "電圧", "كهرباء",
           "🔌 plug", "a, b", "?", "? x", "-", "--- x", "recommended", "because", "x" * 300,
           "a:", "#", "a … b", "x: {y}", "5 V", "100 % {{ sure }}", "<b>&amp;</b>", "-1", "A!",
           "A? B"]


def test_hostile_names(tmp_path):
    """Whatever a file may call its meter, functions and standards, the draft reads back to the same
    names."""
    rng = random.Random(3)
    for n in range(0, len(HOSTILE), 2):
        names = [*HOSTILE[n:n + 2], "a b"]
        functions = [function("DC voltage", range_("6 V", "1 mV", "0.4 % + 2 counts"),
                              name=names[0]),
                     function("resistance", range_("6 kohm", "1 ohm", "0.4 % + 2 counts"),
                              name=names[1][:290] + " too"),
                     {"function": "continuity", "jacks": shop.JACKS, "name": names[1]}]
        folder = tmp_path / str(n) / "procedures"
        files = {"meters/lapwing-1.yaml": escaped(meter(*functions, name=names[1])),
                 "standards/petrel.yaml": escaped(standard(name=rng.choice(names)))}
        shop.write(folder, files)
        plan_text.draft(folder, "lapwing-1", "petrel")
        procedure, text = written(folder)
        assert {p.planned.function.title for p in procedure.points} == {names[0]}
        assert [c.covers for c in procedure.plan.checks if c.covers] == [names[1]]
        assert procedure.title == f"{names[1]}, verification"


def escaped(file: dict) -> str:
    """As JSON with escapes, as which a file may hold any character that the reader takes."""
    return "".join(c if c.isprintable() else f"\\u{ord(c):04x}"
                   for c in json.dumps(file, ensure_ascii=False))


@pytest.mark.parametrize("text",
                         [*HOSTILE, "", " ", "a\u2028b", "\u00a0", "\U0010fffe", "tab\there"])
def test_a_text_reads_back(text):
    """In a list in a map, as itself but for white space, which the reader evens out."""
    document, problems = yaml_text.parse("a: {b: [" + yaml_lines.scalar(text) + "], c: "
                                         + yaml_lines.scalar(text) + "}\nd: "
                                         + yaml_lines.scalar(text) + "\n", "x")
    assert not problems, str(problems[0])
    same = " ".join(text.split())
    assert document.data == {"a": {"b": [same], "c": same}, "d": same}


@pytest.mark.parametrize("one, more", [("DC voltage", {}), ("temperature", {"thermocouple": "K"})])
def test_names_that_make_the_same_ids(one, more, tmp_path):
    """Two functions whose points would have the same names: one of them is left out with that
    reason, and nothing breaks, be the points recommended or listed."""
    ranges = ([range_("6 V", "1 mV", "0.4 % + 2 counts")] if one == "DC voltage"
              else [range_("600 degC", "0.1 degC", "0.4 % + 2 degC")])
    functions = [function(one, *ranges, name=name, **more) for name in ("A!", "A?")]
    procedure, _ = make(tmp_path / "procedures", meter(*functions), standard())
    assert [(one, because) for one, _,
            because in left_out(procedure)] == [
                ("A?", "no point was found that could be told from others")]


def test_the_file_reads_back_to_the_same_plan(demo):
    """What was computed before it was written is what is computed from the file."""
    loaded = loading.load_shop(demo.folder, plans=False)
    path, text, procedure, _ = plan_text.compose(loaded, demo.folder, "whimbrel-200", *EVERYTHING)
    path.parent.mkdir()
    path.write_text(text, encoding="utf-8")
    read = written(demo.folder, "whimbrel-200")[0]
    assert (read.plan, read.revision,
            read.completeness) == (procedure.plan, procedure.revision, procedure.completeness)


def test_no_point_rests_on_a_reference_meter_alone(demo):
    """What is compared needs something else that puts it out: a person's decision, so only a
    comment names it."""
    demo("whimbrel-200", *EVERYTHING)
    procedure, text = written(demo.folder, "whimbrel-200")
    assert not any(p.planned.supply.method == REFERENCE for p in procedure.points)
    assert "Razorbill reads capacitance, DC current, AC current" in text


def test_a_large_table_takes_seconds(tmp_path):
    """Ten functions of six ranges with six rows each, most of them beyond the source."""
    bands = ["10 Hz to 45 Hz", "45 Hz to 500 Hz", "500 Hz to 1 kHz", "1 kHz to 5 kHz",
             "5 kHz to 20 kHz", "20 kHz to 100 kHz"]
    rows = [row(f"{n + 1} % + 5 counts", frequency=band) for n, band in enumerate(bands)]
    ranges = [range_(f"6{'0' * n} mV", f"{10 ** n / 1000:g} mV", rows, lowest="5 % of range")
              for n in range(6)]
    functions = [function("AC voltage", *ranges, name=f"volts {n}") for n in range(10)]
    begun = time.perf_counter()
    procedure, _ = make(tmp_path / "procedures", meter(*functions),
                        standard(
                            {"AC voltage": {"values": "1 mV to 50 V",
                                            "frequency": "40 Hz to 4 kHz"}}))
    assert left_out(procedure) and procedure.points
    assert time.perf_counter() - begun < 30


# ---------------------------------------------------------------- arguments and files

VOLTS = meter(function("DC voltage", range_("6 V", "1 mV", "0.4 % + 2 counts")))
FILES = {"meters/lapwing-1.yaml": VOLTS, "standards/petrel.yaml": standard()}


@pytest.mark.parametrize("arguments",
                         [[], ["lapwing-1"], ["--help-me", "x"],
                          ["lapwing-1", "petrel", "--force"]])
def test_draft_explains_its_use(command, arguments):
    """Too few arguments or options that there aren't: the usage and what could be named, exit code
    2."""
    code, out, err = command(*arguments, **FILES)
    assert (code, out) == (2, "")
    assert ("usage: python3 -m builder draft [-h] [--shop DIR] METER STANDARD [STANDARD ...]"
            in " ".join(err.split()))
    assert ("standards here: petrel" if arguments == ["lapwing-1"]
            else "meters here: lapwing-1") in err


@pytest.mark.parametrize("arguments, said", [
    (["lapwing-2", "petrel"], ["there is no meter 'lapwing-2'.", "did you mean 'lapwing-1'?"]),
    (["lapwing-1", "petrol"], ["there is no standard 'petrol'.", "did you mean 'petrel'?"]),
    (["petrel", "lapwing-1"], ["there is no meter 'petrel'.", "the meter comes first"]),
    (["lapwing-1", "lapwing-1"], ["there is no standard 'lapwing-1'.", "the meter comes first"]),
    (["nothing-like-it", "petrel"], ["there is no meter", "known here: lapwing-1"]),
    (["../../etc/passwd", "petrel"], ["there is no meter"]),
    (["", "petrel"], ["there is no meter ''"]),
])
def test_what_isn_t_there_is_named(command, arguments, said):
    """A sentence and a hint, exit code 1, and nothing is written."""
    code, out, err = command(*arguments, **FILES)
    assert (code, out) == (1, "")
    assert all(words in err for words in said), err
    assert not (command.folder / "plans").exists()


@pytest.mark.parametrize("arguments",
                         [["Lapwing 1", "PETREL"],
                          ["procedures/meters/lapwing-1.yaml", "standards/petrel.yaml"],
                          ["lapwing-1", "petrel", "petrel"]])
def test_names_are_taken_as_people_type_them(command, arguments):
    """By the name that a file states, by its path, and twice."""
    assert command(*arguments, **FILES)[0] == 0
    assert written(command.folder)[0].plan.standards == ["petrel"]


@pytest.mark.parametrize("file, text",
                         [("meters/lapwing-1.yaml", "meter: lapwing-1\nname: ["),
                          ("meters/lapwing-1.yaml", VOLTS | {"display": "many"}),
                          ("standards/petrel.yaml", standard(due="soon")),
                          ("standards/petrel.yaml", "")])
def test_files_with_errors(command, file, text):
    """What is wrong with the file is shown with its place; exit code 1."""
    code, out, err = command("lapwing-1", "petrel", **FILES | {file: text})
    assert (code, out) == (1, "")
    assert "file has problems:" in err and f"procedures/{file}:" in err


def test_other_files_with_errors_don_t_matter(command):
    """Only what is named must be right."""
    assert command("lapwing-1", "petrel", **FILES,
                   **{"meters/wrong.yaml": "[", "standards/wrong.yaml": "[",
                      "plans/wrong.yaml": "["})[0] == 0


def test_without_a_folder(command):
    """No folder is no traceback."""
    code, out, err = command("lapwing-1", "petrel")
    assert (code, out) == (1, "") and "there is no meter 'lapwing-1'" in err


def test_nothing_is_overwritten(command):
    """A file that stands there stays as it is, and the way on is said."""
    assert command("lapwing-1", "petrel", **FILES)[0] == 0
    path = command.folder / "plans" / "lapwing-1-draft.yaml"
    path.write_text("mine", encoding="utf-8")
    code, out, err = command("lapwing-1", "petrel")
    assert (code, out) == (1, "")
    assert ("procedures/plans/lapwing-1-draft.yaml exists already" in err
            and "hint: give it another name" in err)
    assert path.read_text(encoding="utf-8") == "mine"


def test_it_is_written_whole_and_readable(command):
    """Nothing else is left in the folder, and the file may be read as any other."""
    assert command("lapwing-1", "petrel", **FILES)[0] == 0
    (path,) = (command.folder / "plans").iterdir()
    assert path.name == "lapwing-1-draft.yaml"
    if os.name == "posix":
        assert stat.S_IMODE(path.stat().st_mode) & 0o400 and not stat.S_IMODE(
            path.stat().st_mode) & 0o111


def test_a_folder_that_can_t_be_written(command):
    """A file where the folder should be: a sentence, and nothing half written."""
    code, out, err = command("lapwing-1", "petrel", **FILES, plans="a file")
    assert (code, out) == (1,
                           "") and "procedures/plans/lapwing-1-draft.yaml can't be written" in err


def test_nothing_is_left_behind_where_writing_fails(command, monkeypatch):
    """Neither the plan nor a part of it, but a sentence."""
    monkeypatch.setattr(plan_text.os, "fsync",
                        lambda *_: (_ for _ in ()).throw(OSError(28, "No space left on device")))
    code, out, err = command("lapwing-1", "petrel", **FILES)
    assert (code, out) == (1, "") and "can't be written: No space left on device" in err
    assert list((command.folder / "plans").iterdir()) == []


def test_a_long_name_of_a_meter(command):
    """A name as long as one may be still gets a plan whose name is an address."""
    name = "l" + "-x" * 29
    code, _, _ = command(name, "petrel",
                         **{f"meters/{name}.yaml": VOLTS | {"meter": name},
                            "standards/petrel.yaml": standard()})
    assert code == 0
    (path,) = (command.folder / "plans").iterdir()
    written(command.folder, path.stem.removesuffix("-draft"))


@pytest.mark.parametrize("sensor, lowest, top, asked", [
    ({"resistance_thermometer": "Pt100"}, "-200 degC", "600 degC",
     "[0 degC, -100 degC, 60 degC, 200 degC, 500 degC]"),
    ({"thermocouple": "S"}, "0 degC", "1760 degC", "[0 degC, 200 degC, 700 degC, 1000 degC]"),
    ({"thermocouple": "K"}, "-40 degC", "1300 degC",
     "[0 degC, -20 degC, 100 degC, 500 degC, 1000 degC]")])
def test_temperatures_between_both_ends(sensor, lowest, top, asked, tmp_path):
    """A draft asks nothing below the lower end or outside the sensor, and something below zero
    where the data sheet goes there."""
    one = shop.function("temperature", range_(top, "1 degC", "0.3 % + 3 degC", lowest=lowest),
                        ranging="manual", **sensor)
    by = standard({"resistance": {"values": "0 ohm to 1 kohm", "within": "5 mohm"},
                   "DC voltage": {"values": "0 V to 1 V", "within": "1 uV"}})
    _, text = make(tmp_path / "procedures", meter(one), by)
    assert f"apply: {asked}" in text, text
    assert ("leads:" in text) == ("resistance_thermometer" in sensor)
    assert ("junction:" in text) == ("thermocouple" in sensor)
