"""What an editor marks by the schemas beside what `check` refuses: over slips in units, spans,
accuracies and names, few verdicts differ; what no schema can say is listed apart."""

import json

import jsonschema
import pytest
import yaml

from builder.formats import patterns, schemas
from builder.numbers import units
from builder.numbers.unit_table import UNITS
from builder.records import paper_form
from tests.file_rules.test_file_rules import FILES, changed

FOLDERS = {"meter": "meters/", "standard": "standards/", "plan": "plans/"}
RANGE, STEP = "range: 600 mV", "resolution: 0.1 mV"
WITHIN, BAND, HOLDS = "0.5 % + 3 counts", "40 Hz to 400 Hz", "18 to 28 degC"
SINCE, DUE, LOWEST = "0.1 per degC", "2030-01-01", "5 % of range"
APPLY, TOP = "voltage, apply: recommended", "50 ppm + 20 uV"


def each(file: str, old: str, *new: str) -> list[tuple[str, str, str]]:
    key = f"{old.split(': ')[0]}: " if ": " in old else ""
    return [(file, old, key + one) for one in new]


SLIPS = [
    *each("meter", RANGE, "600 mv", "600 Mv", "600", "600mV", "600 milliV", "0.6 V", "600 millivolts",
          "'0,6 V'", "600 mVV", "-600 mV", "0 mV", "600. mV", "six hundred mV", "600 m V", "600 µV",
          "600 mV max", "'600 mV '", "6e2 mV", "600 kV/m"),
    *each("meter", STEP, "0.1 mv", "0.1", ".1 mV", "1/10 mV", "0.1mV", "0.0001 V"),
    *each("meter", WITHIN, "0.5 %", "0.5% + 3 dgt", "0.5 % rdg + 3 digits", "±(0.5 % + 3 counts)", "0.5 % + 3",
          "'0,5 % + 3 counts'", "0.5 % of raeding", "0.5 % FS", "0.5 % +", "0.5 percent + 3 counts",
          "500 ppm + 3 LSD", "0.5 % - 3 counts", "0.5 % or 3 counts", "3 counts", "0.5 % + 3 mv", "0.5 % + 0.3 mV",
          "5 promille", "typ. 0.5 %", "n/a", "0.5 %rd+3d", "0.5 % + 3 cuonts", "0.05 % of reading + 0.01 % of range"),
    *each("meter", BAND, "40-400 Hz", "40 to 400 Hz", "40 Hz - 400 Hz", "40Hz to 400Hz", "40 Hz to 400",
          "40 to 400", "40 Hz..400 Hz", "up to 400 Hz", "40 Hz to 400 KHz", "40 Hz to 0.4 kHz", "40 hz to 400 hz"),
    *each("meter", HOLDS, "23 ± 5 degC", "23 degC ± 5", "18-28 degC", "18 to 28 C", "18 to 28 °C", "18 to 28",
          "18 degC", "23 +/- 5 degC"),
    *each("meter", SINCE, "0.1/degC", "10 % per degC", "0.1 per K", "0.1", "0.1 per °C", "0.1 % of reading per degC",
          "10 % of the accuracy per degC"),
    *each("meter", LOWEST, "5 % range", "0.3 V", "0 V", "5 % of Range"),
    *each("meter", "display: 6000 counts", "6000", "6,000 counts", "6 000 counts", "3 3/4 digits", "6000 count",
          "6000 digits", "5"),
    *each("meter", "meter: lapwing-1", "Lapwing 1", "lapwing_1", "con", "-lapwing"),
    *each("meter", "function: continuity", "Continuity", "continuity test", "beeper"),
    *each("meter", "name: Lapwing 1", "''", "“Lapwing 1”", "[Lapwing 1]", "7"),
    *each("meter", "jacks: [V, COM]", "V, COM", "[V, COM, A]", "COM"),
    *each("standard", "terminals: [HI, LO]", "HI, LO", "HI"),
    *each("standard", f"due: {DUE}", "2030-1-1", "01.01.2030", "2030-13-01", "2030-02-30"),
    *each("standard", TOP, "50 ppm", "50ppm+20uV", "50 pmm", "50 ppm + 20 μV", "50 ppm + 20"),
    *each("standard", "stated: k = 2", "k=2", "k = two", "95 %", "2 sigma",
          "k = 2.13, 15 degrees of freedom", "k = 2.13, 15", "95 %, 15 degrees of freedom"),
    *each("plan", APPLY, "3 V", "3", "[0 V, 3 V]", "recomended", "3 volts", "-5.4 V"),
    *each("plan", "decision_rule: simple acceptance", "guard band of 0.8 U", "guard band", "simple"),
    *each("plan", "standards: petrel", "[petrel]", "Petrel"),
]

# Whether these are right hangs on another value, or on the file's name: no schema can say it.
BEYOND = [
    ("meter", RANGE, "range: 600 mA"),              # the function's dimension
    ("meter", RANGE, "range: 600 MV"),              # its resolution
    ("meter", RANGE, "range: 6 V"),                 # another range of that name
    ("meter", HOLDS, "64 to 82 degF"),              # the coefficient's degrees
    ("meter", LOWEST, "5 %"),                       # what a percentage would be of
    ("meter", BAND, "400 Hz to 40 Hz"),             # which end is higher
    ("meter", BAND, "40 Hz to 400 V"),              # both ends of one kind
    ("meter", WITHIN, "0.5 % + 0.5 %"),             # two terms of one kind
    ("meter", WITHIN, "0 % + 0 counts"),            # nothing is left of it
    ("meter", STEP, "resolution: 0.3 mV"),          # what a display can step by
    ("meter", STEP, "resolution: 0.01 mV"),         # how far the display counts
    ("meter", "meter: lapwing-1", "meter: lapwing-2"),  # the file's name
    ("plan", "meter: lapwing-1", "meter: lapwing-9"),   # another file
    ("plan", "function: DC voltage", "function: DC volage"),
    ("standard", "values: 0 V to 20 V", "values: 0 A to 20 A"),
]


class Editor(yaml.SafeLoader):
    """Reads as an editor does (YAML 1.2): dates are text, and only true and false are booleans."""
    yaml_implicit_resolvers = {
        sign: [(tag, pattern) for tag, pattern in known
               if tag not in ("tag:yaml.org,2002:timestamp", "tag:yaml.org,2002:bool")
               or (sign in "tTfF" and tag.endswith("bool"))]
        for sign, known in yaml.SafeLoader.yaml_implicit_resolvers.items()}


def marked(file: str, text: str) -> bool:
    """Whether an editor marks a file of this kind."""
    schema = json.loads(schemas.text(file))
    return not jsonschema.Draft202012Validator(schema).is_valid(yaml.load(text, Editor))


def refused(folder, slip: tuple[str, str, str]) -> bool:
    """Whether `check` finds an error in that file; what a plan then forgets is no slip in it."""
    told = changed(folder, *slip).errors
    return any(FOLDERS[slip[0]] in one.place.file and one.code != "forgotten" for one in told)


def test_the_right_files_are_not_marked():
    """What the slips begin with."""
    assert not any(marked(file, text) for file, text in FILES.items())


def test_an_editor_says_what_check_says(tmp_path):
    """Over all slips at most five verdicts differ, and none of them marks what is right."""
    assert len(set(SLIPS)) == len(SLIPS) >= 85
    differ, right = [], 0
    for n, slip in enumerate(SLIPS):
        file, old, new = slip
        by_check = refused(tmp_path / str(n), slip)
        by_schema = marked(file, FILES[file].replace(old, new, 1))
        right += not by_check
        if by_check != by_schema:
            differ.append(f"{new!r}: {'check' if by_check else 'the schema'} alone refuses it")
    print("\n" + "\n".join(differ))
    print(f"{len(differ)} of {len(SLIPS)} differ; {right} of them are right")
    assert len(differ) <= 5 and right > 20, "\n".join(differ)
    assert not [one for one in differ if "the schema alone" in one]


@pytest.mark.parametrize("slip", BEYOND, ids=[slip[2] for slip in BEYOND])
def test_what_no_schema_can_say(slip, tmp_path):
    """`check` refuses it, and the editor can't know: so the list stays true."""
    file, old, new = slip
    assert changed(tmp_path, *slip).errors
    assert not marked(file, FILES[file].replace(old, new, 1))


@pytest.mark.parametrize("base", UNITS, ids=[unit.symbol for unit in UNITS])
def test_every_spelling_of_a_unit_fits_its_pattern(base):
    """Of the one table, with prefixes as letters and as words; and nothing else does."""
    import re
    pattern = re.compile(patterns.AMOUNT)
    for word in (base.symbol, *base.words):
        assert units.unit(word).base == base.symbol and pattern.search(f"1 {word}")
        for prefix in ("m", "u", "µ", "k", "M", "milli", "Mega") if base.takes_prefixes else ():
            assert units.quantity(f"1 {prefix}{word}") and pattern.search(f"1 {prefix}{word}")
    for wrong in ("1", "x V", "1 furlong", "1 VV", "1 K", "V 1", "1,5 V", "1 mmin"):
        assert not pattern.search(wrong), wrong


def test_an_empty_form_is_not_marked(tmp_path):
    """A field that nobody has filled in yet is no mistake; a wrong one is."""
    data = changed(tmp_path, "plan", "plan:", "plan:").procedures["lapwing-yearly"].data
    form, _ = paper_form.write(data, tmp_path / "records")
    text = form.read_text(encoding="utf-8")
    assert not marked("paper-record", text)
    assert marked("paper-record", text.replace("date:", "date: 1.3.2026 #", 1))
