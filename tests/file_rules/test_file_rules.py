"""Rules of the files, each as a change to a right project: where the problem stands and what it
says."""

import pytest

from tests.small_shop import codes, load, only_problem

METER = """\
meter: lapwing-1
name: Lapwing 1
maker: Invented Works
display: 6000 counts
specification:
  source: data sheet
  holds: 18 to 28 degC
  temperature_coefficient: 0.1 per degC
rated:
  between_terminals: 600 V
  CAT III: 600 V
functions:
  - function: DC voltage
    jacks: [V, COM]
    ranges:
      - {range: 600 mV, resolution: 0.1 mV, accuracy: 0.5 % + 3 counts}
      - {range: 6 V, resolution: 1 mV, accuracy: 0.4 % + 2 counts}
  - function: AC voltage
    jacks: [V, COM]
    ranges:
      - range: 6 V
        resolution: 1 mV
        lowest: 5 % of range
        accuracy:
          - {frequency: 40 Hz to 400 Hz, within: 1.2 % + 5 counts}
          - {frequency: 400 Hz to 1 kHz, within: 2.5 % + 5 counts}
  - function: continuity
    jacks: [V, COM]
"""
STANDARD = """\
standard: petrel
name: Petrel
kind: source
description: invented source
maker: Invented Works
certificate: P-1
due: 2030-01-01
stated: k = 2
outputs:
  - output: DC voltage
    terminals: [HI, LO]
    rows:
      - {values: 0 V to 20 V, within: 50 ppm + 20 uV}
  - output: AC voltage
    terminals: [HI, LO]
    rows:
      - {values: 1 mV to 20 V, frequency: 40 Hz to 100 kHz, within: 0.1 %}
"""
PLAN = """\
plan: lapwing-yearly
title: Lapwing 1, yearly
meter: lapwing-1
standards: petrel
decision_rule: simple acceptance
points:
  - {function: DC voltage, apply: recommended}
  - {function: AC voltage, apply: recommended}
checks:
  - display segments
  - {check: continuity beeper, covers: continuity}
"""
FILES = {"meter": METER, "standard": STANDARD, "plan": PLAN}


def changed(folder, which: str, old: str, new: str, *more: tuple[str, str, str]):
    """The right project with one text in one file exchanged for another."""
    files = dict(FILES)
    for file, before, after in [(which, old, new), *more]:
        assert files[file].count(before) >= 1, before
        files[file] = files[file].replace(before, after, 1)
    return load(folder, files["meter"], files["plan"], files["standard"])


def test_the_project_is_right_as_it_stands(tmp_path):
    """Without a change there is neither error nor warning."""
    shop = changed(tmp_path, "plan", "plan:", "plan:")
    assert shop.problems == [] and list(shop.procedures) == ["lapwing-yearly"]


OWN = "- {check: lamp, when: by eye, do: Look, good: lit, "
DC6 = "{range: 6 V, resolution: 1 mV, accuracy: 0.4 % + 2 counts}"
TABLE = [
    # file, old text, new text, code, line, column, a word of sentence or hint
    # -- the wrong kind of quantity
    ("meter", "range: 600 mV", "range: 600 mA", "unit", 16, 17, "did you mean '600 mV'?"),
    ("meter", "range: 600 mV", "range: 600 kOhm", "unit", 16, 17, "did you mean '600 kV'?"),
    ("meter", "resolution: 0.1 mV", "resolution: 0.1 mA", "unit", 16, 37, "needs volts"),
    ("meter", "accuracy: 0.5 % + 3 counts", "accuracy: 0.5 % + 3 mA", "unit", 16, 55, "current"),
    ("meter", "frequency: 40 Hz to 400 Hz", "frequency: 40 V to 400 V", "unit", 25, 25, "hertz"),
    ("meter", "holds: 18 to 28 degC", "holds: 18 to 28 V", "unit", 7, 10, "degrees"),
    ("meter", "between_terminals: 600 V", "between_terminals: 600 A", "unit", 10, 22, "volts"),
    ("meter", "CAT III: 600 V", "CAT III: 600 Hz", "unit", 11, 12, "volts"),
    ("meter", "0.1 per degC", "0.1 per degF", "unit", 8, 28, "degrees"),
    ("plan", "voltage, apply: recommended", "voltage, apply: 3 A", "unit", 7, 35, "did you mean '3 V'?"),
    ("standard", "values: 0 V to 20 V", "values: 0 A to 20 A", "unit", 13, 18, "volts"),
    ("standard", "20 V, within: 50 ppm + 20 uV", "20 V, within_since: {}", "value", 13, 45, "at least one entry"),
    # -- what stands at the checks of the meter
    ("meter", "functions:\n", "fuses:\n  - {jacks: mA, rating: 1 A fast}\nfunctions:\n", "jacks", 13, 13, "no current goes through"),
    ("meter", "continuity\n    jacks: [V, COM]", "continuity\n    jacks: [V, COM]\n    beeps_below: 30 V", "unit", 29, 18, "ohms"),
    ("meter", "continuity\n    jacks: [V, COM]", "continuity\n    jacks: [V, COM]\n    silent_above: 30 ohm", "key", 29, 19, "add 'beeps_below'"),
    ("meter", "continuity\n    jacks: [V, COM]", "continuity\n    jacks: [V, COM]\n    beeps_below: 30 ohm\n    silent_above: 20 ohm", "order", 30, 19, "not less"),
    ("meter", "DC voltage\n    jacks: [V, COM]", "DC voltage\n    jacks: [V, COM]\n    beeps_below: 30 ohm", "key", 15, 18, "belongs to continuity"),
    ("meter", "DC voltage\n    jacks: [V, COM]", "DC voltage\n    jacks: [V, COM]\n    charges_to: 3 V", "key", 15, 17, "belongs to a capacitance"),
    ("meter", "DC voltage\n    jacks: [V, COM]", "DC voltage\n    jacks: [V, COM]\n    relative_ranging: free", "key", 15, 23, "add 'relative'"),
    # -- values that aren't any
    ("meter", "range: 600 mV", "range: 600", "value", 16, 17, "no unit"),
    ("meter", "range: 600 mV", "range: 0 mV", "value", 16, 17, "above zero"),
    ("meter", "range: 600 mV", "range: -600 mV", "value", 16, 17, "above zero"),
    ("meter", "range: 600 mV", "range: 600 hz", "value", 16, 17, "did you mean 'Hz'?"),
    ("meter", "range: 600 mV", "range: '0,6 V'", "value", 16, 17, "comma"),
    ("meter", "range: 600 mV", "range: ''", "value", 16, 17, "nothing stands here"),
    ("meter", "range: 600 mV", "range: [600 mV]", "value", 16, 17, "single value"),
    ("meter", "0.5 % + 3 counts", "0.5 % + 3", "value", 16, 55, "no unit"),
    ("meter", "0.5 % + 3 counts", "0.5 % FS", "value", 16, 55, "full scale"),
    ("meter", "6000 counts", "many counts", "value", 4, 10, "6000 counts"),
    ("meter", "18 to 28 degC", "28 to 18 degC", "value", 7, 10, "high to low"),
    ("meter", "0.1 per degC", "10 % per degC", "value", 8, 28, "10 % of the accuracy"),
    ("meter", "lowest: 5 % of range", "lowest: 0 V", "value", 23, 17, "above zero"),
    ("meter", "meter: lapwing-1", "meter: Lapwing 1", "value", 1, 8, "small letters"),
    ("standard", "2030-01-01", "01.01.2030", "value", 7, 6, "2027-03-31"),
    ("plan", "voltage, apply: recommended", "voltage, apply: 3 volt-ish", "value", 7, 35, "unit"),
    ("plan", "apply: recommended", "apply: []", "value", 7, 35, "empty"),
    # -- words
    ("meter", "function: DC voltage", "function: DC volts", "choice", 13, 15, "did you mean 'DC voltage'?"),
    ("meter", "function: continuity", "function: xyz", "choice", 27, 15, "one of"),
    ("standard", "kind: source", "kind: sauce", "choice", 3, 7, "source"),
    ("standard", "stated: k = 2", "stated: often", "value", 8, 9, "k = 2"),
    ("plan", "simple acceptance", "guard band", "value", 5, 16, "simple acceptance"),
    # -- keys
    ("meter", "maker: Invented", "makker: Invented", "unknown-key", 3, 1, "did you mean 'maker'?"),
    ("meter", "resolution: 0.1", "resolutoin: 0.1", "unknown-key", 16, 25, "did you mean 'resolution'?"),
    ("meter", "resolution: 1 mV\n", "resolution: 1 mV\n        colour: red\n", "unknown-key", 23, 9, "known here"),
    ("plan", "checks:", "tests:", "unknown-key", 9, 1, "known here"),
    ("meter", "{range: 600 mV, ", "{", "missing", 16, 10, "'range' is missing"),
    ("meter", "name: Lapwing 1\n", "", "missing", 1, 1, "'name' is missing"),
    ("meter", "  source: data sheet\n", "", "missing", 6, 3, "'source' is missing"),
    # -- shapes
    ("plan", "\n  - {function: DC voltage, apply: recommended}\n  - {function: AC voltage, apply: recommended}", " all", "list", 6, 9, "- "),
    ("meter", "between_terminals: 600 V\n  CAT III: 600 V", "600 V", "shape", 10, 3, "rated"),
    ("meter", f"- {DC6}", "- 6 V", "shape", 17, 9, ""),
    # -- ranges and displays
    ("meter", "resolution: 0.1 mV", "resolution: 0.01 mV", "counts", 16, 37, "commonly resolves 0.1 mV"),
    ("meter", "resolution: 0.1 mV", "resolution: 0.3 mV", "resolution", 16, 37, "1, 2 or 5"),
    ("meter", "range: 600 mV, resolution: 0.1 mV", "range: 600.05 mV, resolution: 0.1 mV", "resolution", 16, 40, "whole number of steps"),
    ("meter", "resolution: 1 mV, ", "resolution: 1 mV, highest_reading: 6.1 V, ", "counts", 17, 57, "6100"),
    ("meter", "resolution: 1 mV, ", "resolution: 1 mV, highest_reading: 5.9995 V, ", "resolution", 17, 57, "whole number"),
    ("meter", "range: 6 V, resolution", "range: 0.6 V, resolution", "twice", 17, 17, "stands twice"),
    ("meter", "resolution: 0.1 mV, ", "resolution: 0.1 mV, up_range: 700 mV, ", "order", 16, 55, "beyond its highest reading"),
    ("meter", "resolution: 1 mV, ", "resolution: 1 mV, down_range: 0.7 V, ", "order", 17, 52, "at most 0.5999 V"),
    ("meter", "lowest: 5 % of range", "lowest: 7 V", "order", 23, 17, "above the highest reading"),
    ("meter", "jacks: [V, COM]\n    ranges:\n      - {", "jacks: [V, COM]\n    ranging: manual\n    ranges:\n      - {up_range: 0.5 V, ", "order", 17, 20, "by itself"),
    ("meter", "resolution: 0.1 mV, ", "resolution: 0.1 mV, off_at_least: 9 s, ", "missing", 16, 59, "on_at_most"),
    # -- rows
    ("meter", "{frequency: 40 Hz to 400 Hz, within: 1.2 % + 5 counts}", "{within: 1.2 % + 5 counts}", "frequency", 25, 14, "40 Hz to 1 kHz"),
    ("meter", "accuracy: 0.5 % + 3 counts", "accuracy: [{frequency: 40 Hz to 400 Hz, within: 1 %}]", "frequency", 16, 68, "no frequency"),
    ("meter", "accuracy: 0.5 % + 3 counts", "accuracy: [{values: -1 V to 1 V, within: 1 %}]", "order", 16, 65, "without a sign"),
    ("meter", "accuracy: 0.5 % + 3 counts", "accuracy: []", "empty", 16, 55, "no accuracy"),
    # -- functions
    ("meter", "  - function: continuity\n    jacks: [V, COM]", "  - function: DC voltage\n    jacks: [V, COM]\n    ranges: [{range: 6 V, resolution: 1 mV, accuracy: 1 %}]", "twice", 27, 5, "name"),
    ("meter", "function: continuity", "function: resistance", "empty", 27, 5, "no ranges"),
    # -- file names
    ("meter", "meter: lapwing-1", "meter: lapwing-2", "file-name", 1, 8, "lapwing-1.yaml"),
    ("standard", "standard: petrel", "standard: petrels", "file-name", 1, 11, "petrel.yaml"),
    ("plan", "plan: lapwing-yearly", "plan: lapwing", "file-name", 1, 7, "lapwing-yearly.yaml"),
    # -- standards
    ("standard", "frequency: 40 Hz to 100 kHz, ", "", "frequency", 17, 10, "needs 'frequency'"),
    ("standard", "within: 50 ppm + 20 uV", "within: 50 ppm + 2 counts", "unit", 13, 39, "50 ppm + 20 uV"),
    ("standard", "within: 50 ppm + 20 uV", "level: 1 V to 2 V, within: 50 ppm", "level", 13, 10, "no 'level'"),
    # -- plans
    ("plan", "meter: lapwing-1", "meter: lapwing-2", "no-meter", 3, 8, "did you mean 'lapwing-1'?"),
    ("plan", "standards: petrel", "standards: [petrels]", "no-standard", 4, 13, "did you mean 'petrel'?"),
    ("plan", "function: DC voltage", "function: DC volage", "no-function", 7, 16, "did you mean 'DC voltage'?"),
    ("plan", "voltage, apply", "voltage, range: 60 V, apply", "no-range", 7, 35, "600 mV, 6 V"),
    ("plan", "voltage, apply", "voltage, range: 6 V, force_range: 6 V, apply", "range", 7, 53, "side by side"),
    ("plan", "apply: recommended", "apply: [recommended, 3 V]", "apply", 7, 36, "alone"),
    ("plan", "voltage, apply: recommended", "voltage, frequency: 50 Hz, apply: recommended", "frequency", 7, 39, "doesn't belong"),
    ("plan", "AC voltage, apply: recommended", "AC voltage, apply: 3 V", "frequency", 8, 6, "needs 'frequency'"),
    ("plan", "voltage, apply: recommended", "voltage, level: 3 V, apply: recommended", "level", 7, 6, "no 'level'"),
    ("plan", "voltage, apply", "voltage, standard: fulmar, apply", "no-standard", 7, 38, "not among"),
    ("plan", "- display segments", OWN + "stops: nothing}", "missing", 10, 13, "lacks 'of'"),
    ("plan", "- display segments", OWN + "of: bench}", "missing", 10, 13, "lacks 'stops'"),
    ("plan", "- display segments", OWN + "of: bnch, stops: nothing}", "choice", 10, 58, "did you mean 'bench'?"),
    ("plan", "- display segments", OWN + "of: meter, stops: evrything}", "stops", 10, 72, "did you mean 'everything'?"),
    ("plan", "- display segments", OWN + "of: meter, stops: AC volts}", "stops", 10, 72, "did you mean 'AC voltage'?"),
    ("plan", "- display segments", OWN + "of: meter, stops: mA}", "stops", 10, 72, "neither a function nor a jack"),
    ("plan", "- display segments", OWN.replace("by eye", "closing") + "of: meter, stops: everything}", "order", 10, 73, "nothing is left"),
    ("plan", "- display segments", OWN + "of: meter, stops: nothing, covers: continuity}", "stops", 10, 72, "stops: continuity"),
    ("plan", "- display segments", "- {check: backlight, at_least: 3 mm}", "missing", 10, 34, "nothing says what to write down"),
    ("plan", "- display segments", "- {check: warm-up and soak, at_least: 3 mm}", "unit", 10, 41, "'mm' is not the unit"),
    ("plan", "- display segments", "- {check: warm-up and soak, at_least: 30}", "unit", 10, 41, "'' is not the unit"),
    ("plan", "- display segments", "- {check: warm-up and soak, at_least: 30 min, at_most: 20 min}", "order", 10, 41, "no number is at least"),
    ("plan", "- display segments", "- {check: case, stops: nothing}", "stops", 10, 26, "delete 'stops'"),
    ("plan", "- display segments", "- {check: case, of: bench}", "stops", 10, 23, "delete 'of'"),
    ("plan", "- display segments", "- fuses", "no-jack", 10, 5, "no current jack"),
    ("plan", "- display segments", "- {check: leads, when: closing}", "order", 10, 26, "belongs to 'by eye'"),
    ("plan", "checks:", "left_out:\n  - {because: x}\nchecks:", "missing", 10, 6, "neither a function nor a check"),
    ("plan", "checks:", "left_out:\n  - {check: strap, because: x}\nchecks:", "no-check", 10, 13, "not a check"),
    ("plan", "checks:", "left_out:\n  - {check: backlight, because: x}\nchecks:", "left-out-but-tested", 10, 13, "no reason"),
    ("plan", "checks:", "left_out:\n  - {check: fuses, because: x}\nchecks:", "left-out-but-tested", 10, 13, "no reason"),
    ("plan", "checks:", "left_out:\n  - {check: display segments, because: x}\nchecks:", "left-out-but-tested", 10, 13, "stands under 'checks' too"),
    ("plan", "checks:", "left_out:\n  - {check: dial, function: DC voltage, because: x}\nchecks:", "left-out", 10, 29, "don't go together"),
    ("plan", "- display segments", "- display segmants", "no-check", 10, 5, "did you mean 'display segments'?"),
    ("plan", "covers: continuity", "covers: DC voltage", "covers", 11, 40, "accuracy table"),
    ("plan", "covers: continuity", "covers: contin", "no-function", 11, 40, "did you mean 'continuity'?"),
    ("plan", "checks:", "ambient: 18 to 28 V\nchecks:", "unit", 9, 10, "degrees"),
    ("plan", "checks:", "ambient: 60 to 70 degF\nchecks:", "unit", 9, 10, "degrees"),
    ("plan", "checks:", "left_out:\n  - {function: DC voltage, frequency: 1 Hz to 2 Hz, because: x}\nchecks:", "no-row", 10, 39, "no accuracy row"),
    ("plan", "checks:", "left_out:\n  - {function: DC voltage, because: x}\nchecks:", "left-out-but-tested", 10, 6, "tested"),
    ("plan", "recommended}\n  - {function: AC", "recommended}\n  - {function: DC voltage, apply: [3 V, 3.000 V]}\n  - {function: AC", "twice", 8, 41, "line 8"),
    ("plan", "  - {function: DC voltage, apply: recommended}\n", "", "forgotten", 6, 1, "forgets"),
    ("plan", "{check: continuity beeper, covers: continuity}", "leads", "forgotten", 6, 1, "continuity"),
]


@pytest.mark.parametrize("which, old, new, code, line, column, word", TABLE,
                         ids=[f"{t[3]}-{n}" for n, t in enumerate(TABLE)])
def test_a_mistake_and_its_problem(which, old, new, code, line, column, word, tmp_path):
    """One mistake gives an error of its kind at its line and column, in words that name the matter
    or the way out."""
    shop = changed(tmp_path, which, old, new)
    found = [p for p in shop.errors if p.code == code]
    assert found, "\n".join(map(str, shop.problems)) or "no problem"
    one = found[0]
    assert (one.place.line, one.place.column) == (line, column), str(one)
    assert word in one.sentence + " " + one.hint, str(one)
    assert shop.errors[0] is one or code == "unknown-key", "\n".join(map(str, shop.errors))


def test_a_problem_prints_as_the_design_shows(tmp_path):
    """The place, the sentence, the line, the carets and the hint."""
    found = only_problem(changed(tmp_path, "meter", "range: 600 mV", "range: 600 mA"))
    assert str(found) == (
        "procedures/meters/lapwing-1.yaml:16:17: error: '600 mA' is a current, a DC voltage range "
        "needs volts\n"
        "   16 |       - {range: 600 mA, resolution: 0.1 mV, accuracy: 0.5 % + 3 counts}\n"
        "      |                 ^^^^^^\n"
        "   hint: did you mean '600 mV'?")


WARNINGS = [
    ("meter", "        lowest: 5 % of range\n", "", "lowest", 21, "5 or 10 % of range"),
    ("meter", "frequency: 400 Hz to 1 kHz", "frequency: 300 Hz to 1 kHz", "overlap", 26, "tighter"),
]


@pytest.mark.parametrize("which, old, new, code, line, word", WARNINGS)
def test_a_doubt_is_a_warning(which, old, new, code, line, word, tmp_path):
    """What may be right is said without stopping the build."""
    shop = changed(tmp_path, which, old, new)
    (one,) = shop.problems
    assert (one.severity, one.code,
            one.place.line) == ("warning", code, line) and word in one.sentence + one.hint
    assert list(shop.procedures) == ["lapwing-yearly"]


def test_rows_that_only_meet_are_no_overlap(tmp_path):
    """400 Hz in two rows is how data sheets write neighbours."""
    assert changed(tmp_path, "plan", "plan:", "plan:").problems == []


@pytest.mark.parametrize("key, value", [
    ("CAT 3", "600 V"), ("cat_iii", "600 V"), ("CATIII", "600 V"),
])
def test_a_misspelt_category_is_answered_with_the_right_one(key, value, tmp_path):
    """The hint names keys as the file writes them, never as the program does."""
    found = only_problem(changed(tmp_path, "meter", "CAT III: 600 V", f"{key}: {value}"))
    assert found.code == "unknown-key" and "cat_" not in found.hint and "CAT III" in found.hint, (
        found.hint)


def test_a_refusal_in_degrees_fahrenheit_names_degrees_fahrenheit(tmp_path):
    """A hint's value is in the scale of the range: at most 399.9 °F, not 719.8."""
    one = """  - function: temperature
    jacks: [T]
    ranges:
      - {range: 400 degF, resolution: 0.1 degF, accuracy: 1 %}
      - {range: 2000 degF, resolution: 1 degF, accuracy: 1 %, down_range: 500 degF}
  - function: continuity
"""
    found = only_problem(changed(tmp_path, "meter", "  - function: continuity\n", one))
    assert (found.code, found.place.line) == ("order",
                                              31) and "at most 399.9 degF" in found.hint, str(found)


MIXED = [
    "accuracy: [{values: 0 to 100 degC, within: 1 %}, {values: 212 to 400 degF, within: 2 %}]",
    "accuracy: 1 %, lowest: 10 degC",
]


@pytest.mark.parametrize("mixed", MIXED)
def test_degrees_of_two_scales_in_one_range_are_refused(mixed, tmp_path):
    """A part of a range or a lowest value in °C on a range in °F would be taken for °F: it is
    refused, or converted."""
    one = (
        f"  - function: temperature\n    jacks: [T]\n    ranges:\n      - {{range: 400 degF, "
        f"resolution: 0.1 degF, {mixed}}}\n  - function: continuity\n")
    found = only_problem(changed(tmp_path, "meter", "  - function: continuity\n", one))
    assert (found.code, found.place.line) == ("unit", 30)


def test_the_order_of_ranges_is_held_for_each_set_of_jacks(tmp_path):
    """A 1 A range that reads to 3 A leaves nothing to the 2 A range on the same jacks, whatever
    lies on other jacks between."""
    one = """  - function: DC current
    jacks: [A, COM]
    ranges:
      - {range: 1 A, resolution: 1 mA, accuracy: 1 %, highest_reading: 3 A}
      - {range: 1.5 A, resolution: 1 mA, accuracy: 1 %, jacks: [B, COM]}
      - {range: 2 A, resolution: 1 mA, accuracy: 1 %}
  - function: continuity
"""
    assert "order" in codes(changed(tmp_path, "meter", "  - function: continuity\n", one))


def test_all_codes_sorted_and_by_file(tmp_path):
    """Mistakes in all three files come out in one run, sorted by file and line."""
    shop = changed(tmp_path, "meter", "range: 600 mV", "range: 600 mA",
                   ("standard", "within: 0.1 %", "within: 2 counts"),
                   ("plan", "- display segments", "- nothing known"),
                   ("meter", "frequency: 40 Hz to 400 Hz", "frequency: 40 V to 400 V"))
    assert codes(shop) == ["no-check", "unit", "unit", "unit"]


@pytest.mark.parametrize("more, keys, code, severity, said", [
    ("", "", "lowest", "warning", "doesn't say how low"),
    ("", ", confirmed: so on page 3", "", "", ""),
    ("", ", lowest: -40 degC", "", "", ""),
    ("", ", lowest: 0 degC", "", "", ""),
    ("thermocouple: K, ", "", "lowest", "warning", "-270 degC"),
    ("thermocouple: K, ", ", lowest: -271 degC", "order", "error", "type K, -270 degC"),
    ("thermocouple: B, ", ", lowest: 0 degC", "order", "error", "type B, 43 degC"),
    ("resistance_thermometer: Pt100, ", ", lowest: -250 degC", "order", "error", "Pt100"),
    ("", ", lowest: -300 degC", "order", "error", "absolute zero, -273.15 degC"),
    ("", ", lowest: 400 degC", "order", "error", "above the highest reading"),
    ("thermocouple: K, resistance_thermometer: Pt100, ", ", lowest: 0 degC", "key", "error",
     "a function for each"),
    ("resistance_thermometer: Pt50, ", ", lowest: 0 degC", "choice", "error", "Pt100")])
def test_the_lower_end_of_a_temperature(more, keys, code, severity, said, tmp_path):
    """It is stated, with a sign, within what the sensor is defined for; left out it is asked
    for."""
    one = (f"  - {{function: temperature, {more}jacks: [T], ranges: [{{range: 400 degC, "
           f"resolution: 0.1 degC, accuracy: 1 degC{keys}}}]}}\n  - function: continuity\n")
    shop = changed(tmp_path, "meter", "  - function: continuity\n", one)
    found = [p for p in shop.problems if p.place.file.startswith("procedures/meters")]
    assert [(p.code, p.severity) for p in found] == ([(code, severity)] if code else []), found
    assert all(said in str(p) for p in found)


def test_a_span_in_place_of_a_range(tmp_path):
    """A person who writes the range as the data sheet does is told how."""
    one = ("  - {function: temperature, jacks: [T], ranges: [{range: -200 to 400 degC, "
           "resolution: 0.1 degC, accuracy: 1 degC}]}\n  - function: continuity\n")
    found = only_problem(changed(tmp_path, "meter", "  - function: continuity\n", one))
    assert "is a span" in found.sentence and "lowest: -200 degC" in found.hint
