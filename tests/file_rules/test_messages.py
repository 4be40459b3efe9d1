"""What is said of slips that people make: the true cause first and alone, at its own place, with a
hint that helps and completes no mistake. Each is a change to a right project."""

from typing import get_args

import pytest
from pydantic import BaseModel

from builder.formats import schemas
from builder.records import paper_form
from builder.shop import loading
from tests.file_rules.test_file_rules import changed
from tests.small_shop import load, meter, write

DC = "    jacks: [V, COM]\n    ranges:\n      - {range: 600"
NBSP = "\u00a0"
LEAVE_OUT = "observe"
CUSTOM = "other_functions|check of your own"

# file, old text, new text; line and column; what must be said, and what must not.
TABLE = [
    # -- YAML: the slip, not where its reader gave up
    ("meter", DC, "    dial V\n" + DC, 14, 5, "colon is missing behind 'dial'|dial: V", "YAML"),
    ("meter", DC, "    dial:V\n" + DC, 14, 5, "blank is missing behind 'dial:'|dial: V", "YAML"),
    ("meter", DC, f"    dial:{NBSP}V\n" + DC, 14, 5, "is no space|U+00A0|plain space", "YAML"),
    ("meter", "maker: Invented Works", "maker Invented Works", 3, 1, "colon is missing", "YAML"),
    ("meter", "maker: Invented Works", "maker:Invented Works", 3, 1, "blank is missing", "YAML"),
    ("meter", "name: Lapwing 1", 'name: "Lapwing 1', 2, 7, "opens here and is not closed", "YAML"),
    ("meter", "maker: Invented Works", "maker: 'Skerry's Test'", 3, 15,
     "ends at this quotation mark|apostrophe|double", "YAML"),
    ("meter", "1 mV, accuracy: 0.4", "1 mV accuracy: 0.4", 17, 39,
     "comma is missing before 'accuracy'|', accuracy: …'", "YAML"),
    ("meter", "{range: 6 V, resolution", "{range: 6 V resolution", 17, 21, "comma is missing", "YAML"),
    ("meter", "jacks: [V, COM]", "jacks: [V, COM", 14, 12, "bracket '[' opens here", "YAML"),
    ("meter", "{range: 6 V, resolution", "{range: 6 V, resolution 1 mV, base", 17, 22,
     "colon is missing behind 'resolution'", "did you mean"),
    ("meter", "frequency: 400 Hz to 1 kHz", "frequency: > 400 Hz", 26, 25, "begin with '>'|above A", "YAML"),
    ("meter", "accuracy: 0.4 % + 2 counts}", "accuracy: 0.4 % + 2 counts, typical: 5 %}", 17, 68,
     "not a key known here|'accuracy: [{typical: 5 %}]'", "dial"),
    ("meter", "source: data sheet", "source: “Leaflet, issue 2”", 6, 11, "curly|straight", "key"),
    ("meter", "specification:\n  source: data sheet\n  holds: 18 to 28 degC\n"
     "  temperature_coefficient: 0.1 per degC",
     "specification: {source: “Leaflet, issue 2”, holds: 18 to 28 degC}", 5, 35, "curly|straight", ""),
    ("meter", "accuracy: 0.5 %", "accuracy: 0,5 %", 16, 57, "comma|a point", "no unit"),
    ("meter", "CAT III: 600 V", "CAT III 600 V", 11, 3, "missing behind 'CAT III'|'CAT III: 600 V'", "CAT:"),
    # -- lines that begin in a wrong column, or without their dash
    ("meter", DC, DC.replace("    jacks", "     jacks"), 14, 6, "column 6|column 5", "YAML"),
    ("meter", "        resolution: 1 mV\n", "       resolution: 1 mV\n", 22, 8, "column 8|column 9", "YAML"),
    ("meter", "        resolution: 1 mV\n", "         resolution: 1 mV\n", 22, 10, "column 10", "YAML"),
    ("meter", "  holds: 18", "   holds: 18", 7, 4, "column 4|column 3", "YAML"),
    ("meter", "  holds: 18", " holds: 18", 7, 2, "column 2|column 3", "YAML"),
    ("meter", "rated:\n  between", "rated:\nbetween", 11, 3, "column 3|column 1", "YAML"),
    ("meter", "  - function: AC", "  function: AC", 18, 3, "dash is missing before 'function'", "YAML"),
    ("meter", "      - {range: 600", "      {range: 600", 16, 7, "dash is missing here", "YAML"),
    # -- names in a list without brackets
    ("meter", "jacks: [V, COM]", "jacks: V, COM", 14, 12, "one name with a comma|[V, COM]", "needs"),
    ("standard", "terminals: [HI, LO]", "terminals: HI, LO", 11, 16, "[HI, LO]", ""),
    # -- accuracies with one sign wrong
    ("meter", "0.4 % + 2 counts", "0.4 % 2 counts", 17, 50, "'+' is missing|0.4 % + 2 counts", "of reading"),
    ("meter", "0.4 % + 2 counts", "O.4 % + 2 counts", 17, 50, "the letter 'O'|'0.4 %'", "600 mV"),
    ("meter", "0.4 % + 2 counts", "l.4 % + 2 counts", 17, 50, "the letter 'l'|'1.4 %'", "600 mV"),
    ("meter", "lowest: 5 % of range", "lowest: 5 % of reading", 23, 17, "'5 % of range'", "known here"),
    ("standard", "50 ppm + 20 uV", "50 pmm + 20 uV", 13, 39, "'pmm'", "within_since"),
    # -- the display, alone
    ("meter", "display: 6000 counts", "display: 6,000 counts", 4, 10, "blank or nothing|20 000", ""),
    ("meter", "display: 6000 counts", "display: 0x10", 4, 10, "6000 counts", "1000000000"),
    ("meter", "display: 6000 counts", "display: 3 3/4 digits", 4, 10, "digits|highest count", ""),
    # -- spans
    *(("meter", "frequency: 40 Hz to 400 Hz", f"frequency: {span}", 25, 25,
       "a dash may be a minus|write '40 to 400 Hz'", "some frequencies only")
      for span in ("40-400 Hz", "40 - 400 Hz", "40–400 Hz", "40 … 400 Hz")),
    ("meter", "40 Hz to 400 Hz", "40 Hz to 400 KHz", 25, 25, "did you mean 'kHz'?", "some frequencies"),
    ("meter", "frequency: 400 Hz to 1 kHz", "frequency: '> 400 Hz'", 26, 25, "has no end|observe", ""),
    ("meter", "holds: 18 to 28 degC", "holds: 18–28 degC", 7, 10, "a dash|18 to 28 degC", ""),
    ("plan", "checks:", "ambient: –5 to 5 degC\nchecks:", 9, 10, "dash that is no minus|'-5", ""),
    # -- prefixes: asked for, never completed
    ("meter", "range: 600 mV", "range: 600 MV", 16, 17, "did you mean '600 mV'?", "commonly"),
    ("meter", "resolution: 0.1 mV", "resolution: 0.1 MV", 16, 37, "did you mean '0.1 mV'?", "commonly"),
    # -- what is missing
    ("meter", "rated:\n  between_terminals: 600 V\n  CAT III: 600 V\n", "", 1, 1,
     "'rated' is missing|between_terminals: 600 V", ""),
    ("standard", "maker: Invented Works\n", "", 1, 1, "'maker' is missing|Who makes it", ""),
    ("plan", "decision_rule: simple acceptance\n", "", 1, 1,
     "'decision_rule' is missing|simple acceptance|guard band of U|multiplier M", ""),
    # -- what no sum of terms says
    *(("meter", "accuracy: 0.5 % + 3 counts", f"accuracy: {text}", 16, 55, f"{word}|{LEAVE_OUT}",
       "doesn't start with a number") for text, word in (
           ("unspecified", "states none"), ("N/A", "states none"),
           ("—", "states none"))),
    *(("meter", "accuracy: 0.5 % + 3 counts", f"accuracy: {text}", 16, 55,
       "typical figure|'typical: 2 %'", "start with") for text in ("2 % typical", "typ. 2 %")),
    ("meter", "0.5 % + 3 counts", "0.2 % per kHz + 0.1 %", 16, 55, "grows with the frequency|'additions'", ""),
    ("meter", "0.5 % + 3 counts", "1 % + 2 counts per V", 16, 55, "grows with the value|'additions'", ""),
    ("meter", "0.5 % + 3 counts", "1 % - 6 %", 16, 55, "negative term|'+1 % -6 %'", ""),
    ("meter", "0.5 % + 3 counts", "'±[0.025 % + 2]'", 16, 55, "'2' has no unit", "start with"),
    ("meter", "0.5 % + 3 counts", "0.5 % F.S.", 16, 55, "full scale may mean|% of range", "known here"),
    ("meter", "0.5 % + 3 counts", "0.5 % of full-scale", 16, 55, "full scale may mean", "known here"),
    ("meter", "0.1 per degC", "0.01 % per degC", 8, 28, "percent of the reading or|write which", "fraction"),
    ("meter", "0.1 per degC", "0.01 %", 8, 28, "nothing per degree|0.1 per degC", ""),
    ("meter", "0.1 per degC", "0.1 per degF", 8, 28, "different degrees", ""),
    ("meter", "0.1 per degC", "-0.1 per degC", 8, 28, "below zero", ""),
    # -- a row that states nothing any more
    ("meter", "frequency: 40 Hz to 400 Hz, within: 1.2 % + 5 counts", "frequency: 40 Hz to 400 Hz, within: bad", 25, 50, "'bad'", "missing"),
    ("meter", "frequency: 40 Hz to 400 Hz, within: 1.2 % + 5 counts", "frequency: 40 Hz to 400 Hz, typical: bad", 25, 51, "'bad'", "missing"),
    ("meter", "frequency: 40 Hz to 400 Hz, within: 1.2 % + 5 counts", "frequency: 40 Hz to 400 Hz", 25, 14, "'within', or 'typical'", ""),
    # -- additions
    *(("meter", "accuracy: 0.5 % + 3 counts}", f"accuracy: 0.5 % + 3 counts, additions: [{one}]}}",
       16, column, says, "") for one, column, says in (
           ("{add: 10 counts}", 86, "where it holds|belongs to the accuracy itself"),
           ("{add: 10 counts, values: 0 A to 3 A}", 110, "a current"),
           ("{add: 10 counts, values: 0 to 5 %}", 110, "a percentage|% of range"),
           ("{add: 10 counts, values: 5 to 0 % of range}", 110, "from high to low"),
           ("{add: 10 counts, crest_factor: 2 to 3}", 116, "no crest factor"),
           ("{add: 10 counts, humidity: 70 %}", 112, "above which humidity|above 70 %"),
           ("{add: 2 counts per kHz}", 91, "doesn't grow per kHz"),
           ("{add: 0.2 % per V}", 91, "no straight line|2 counts per V"),
           ("{add: +1 % -2 %, values: above 3 V}", 91, "same on both sides"),
           ("{add: 2 counts per V, above: 1 kHz}", 114, "a frequency"),
           ("{add: 2 counts, above: 3 V}", 108, "'per'|values: above 3 V"),
           ("{add: 1 A, values: above 3 V}", 91, "a current"))),
    # -- follow-ups that are none
    ("meter", "lowest: 5 % of range", "lowest: 5 % range", 23, 17, "write '5 % of range'", "from which value"),
    ("meter", "      - range: 6 V\n", "      - range: 6 v\n", 21, 16, "did you mean 'V'?", "no ranges"),
    ("plan", "- display segments",
     "- {check: strap, when: by eyes, do: Pull at it, good: it holds, stops: nothing, of: meter}", 10, 26, "'by eye'", "lacks"),
    # -- functions that no table here holds
    *(("meter", "function: continuity", f"function: {name}", 27, 15, CUSTOM, "did you mean")
      for name in ("inrush current", "non-contact voltage", "phase sequence", "dB", "peak hold")),
    ("meter", "function: continuity", "function: low-pass AC voltage", 27, 15,
     "function: AC voltage|name: low-pass AC voltage", "did you mean"),
    ("meter", "function: continuity", "function: continuty", 27, 15, "did you mean 'continuity'?", ""),
    # -- the place of a frequency
    ("plan", "AC voltage, apply: recommended", "AC voltage, apply: 3 V, frequency: 1.5 kHz", 8, 51,
     "covers 1.5", ""),
]


@pytest.mark.parametrize("which, old, new, line, column, must, must_not", TABLE,
                         ids=[str(n) for n in range(len(TABLE))])
def test_a_slip_is_told_once_and_truly(which, old, new, line, column, must, must_not, tmp_path):
    """The first problem of all stands at the slip and says all of the words, none of the others;
    and no other problem stands beside it, warnings included."""
    first, *more = changed(tmp_path, which, old, new).problems
    told = f"{first.sentence} {first.hint}"
    assert (first.place.line, first.place.column) == (line, column), str(first)
    assert [word for word in must.split("|") if word not in told] == [], str(first)
    assert not must_not or must_not not in told, str(first)
    follow_ups = [one for one in more if "forgets" not in one.sentence]
    assert follow_ups == [], "\n".join(map(str, [first, *follow_ups]))


@pytest.mark.parametrize("which, old, new", [
    ("meter", "0.5 % + 3 counts", "0.5%rd+3d"), ("meter", "0.5 % + 3 counts", "'±[0.5 % + 3 cnts]'"),
    ("meter", "0.5 % + 3 counts", "0.5 % rdg. + 3 dgs"), ("meter", "0.5 % + 3 counts", "0.5 % + 3 LSDs"),
    ("meter", "18 to 28 degC", "23 degC ± 5"), ("meter", "18 to 28 degC", "23 ± 5 degC"),
    ("meter", "0.1 per degC", "10 % of the accuracy per degC"),
    ("meter", "0.1 per degC", "0.1 × (specified accuracy) per degC"),
])
def test_what_data_sheets_print_is_understood(which, old, new, tmp_path):
    """Spellings with one meaning need no message: the same project comes of them."""
    right = changed(tmp_path / "right", which, old, old)
    shop = changed(tmp_path, which, old, new)
    assert shop.problems == []
    assert (shop.meters["lapwing-1"].specification.temperature_coefficient
            == right.meters["lapwing-1"].specification.temperature_coefficient)
    assert (shop.meters["lapwing-1"].specification.holds
            == right.meters["lapwing-1"].specification.holds)
    before, after = (one.meters["lapwing-1"].functions[0].ranges[0].accuracy[0].within
                     for one in (right, shop))
    assert (before.bare_percent + before.of_reading, before.counts) == (
        after.bare_percent + after.of_reading, after.counts)


def test_a_text_that_is_never_closed_is_told_where_it_opens(tmp_path):
    """Also where a later text's first mark closes it."""
    (one,) = changed(tmp_path, "meter", "name: Lapwing 1", 'name: "Lapwing 1',
                     ("meter", "source: data sheet", 'source: "data sheet"')).problems
    assert (one.place.line, one.place.column) == (2, 7) and "not closed" in one.sentence


def test_a_slip_in_a_meter_leaves_its_plan_alone(tmp_path):
    """What the plan names may be what the meter's file lost."""
    shop = changed(tmp_path, "meter", "function: continuity", "function: inrush current")
    assert {one.place.file for one in shop.problems} == {"procedures/meters/lapwing-1.yaml"}


def test_two_meters_of_one_name_are_refused(tmp_path):
    """Whatever their cases: reports and the quick answer tell meters by their names."""
    other = meter() | {"meter": "lapwing-2", "name": "LAPWING 1"}
    shop = load(tmp_path, meter(), others={"meters/lapwing-2.yaml": other})
    found = [one for one in shop.errors if one.code == "twice"]
    assert [one.place.file for one in found] == ["procedures/meters/lapwing-2.yaml"]
    assert "meters/lapwing-1.yaml" in found[0].sentence


def test_a_file_beside_the_folders_is_named(tmp_path):
    """A meter's file that was put one level too high, and another name of workshop.yaml, which is
    surely meant to be read: an error."""
    folder = write(tmp_path / "procedures", {"meters/lapwing-1.yaml": meter(),
                                             "lapwing-2.yaml": meter(), "workshop.yml": "name: x"})
    told = {one.place.file: one for one in loading.load_shop(folder).problems
            if one.code == "file-name"}
    assert {name: one.severity for name, one in told.items()} == {
        "procedures/lapwing-2.yaml": "warning", "procedures/workshop.yml": "error"}
    assert all("'workshop.yaml'" in one.sentence for one in told.values())
    assert "move it into one of meters, " in told["procedures/lapwing-2.yaml"].hint
    assert "rename it" in told["procedures/workshop.yml"].hint


def models_in(model: type[BaseModel]) -> set[type[BaseModel]]:
    """A model and all that its fields hold."""
    found, ahead = set(), [model]
    while ahead:
        one = ahead.pop()
        if isinstance(one, type) and issubclass(one, BaseModel):
            if one not in found:
                found.add(one)
                ahead += [field.annotation for field in one.model_fields.values()]
        else:
            ahead += get_args(one)
    return found


@pytest.mark.parametrize("kind", schemas.FILES)
def test_every_key_that_must_be_there_has_a_hint(kind):
    """Which is its description: what to write where it is missing."""
    assert [f"{model.__name__}.{name}" for model in models_in(schemas.FILES[kind])
            for name, field in model.model_fields.items()
            if field.is_required() and not field.description] == []


def form_with(tmp_path, step: str, typed: str):
    """A form with one reading typed behind the step's name: its project, and the place of what was
    typed."""
    shop = changed(tmp_path, "plan", "plan:", "plan:")
    folder = tmp_path / "procedures"
    form, _ = paper_form.write(shop.procedures["lapwing-yearly"].data, folder / "records")
    lines = form.read_text(encoding="utf-8").splitlines()
    lines = [line.replace("serial:", "serial: A1 #").replace("date:", "date: 2026-03-01 #")
             if line.startswith(("serial:", "date:")) else line for line in lines]
    (number,) = [n for n, line in enumerate(lines) if line.startswith(f"  {step} ")]
    name, _, limits = lines[number].partition(":")
    lines[number] = f"{name}: {typed} {limits.lstrip()}"
    form.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return loading.load_shop(folder), (number + 1, len(name) + 3)


@pytest.mark.parametrize("step, typed, must", [
    ("3.1", "3,60", "“3,60” has 2 decimals"), ("3.2", "3,60", "“3,60” has 2 decimals"),
    ("3.5", "0,5 V", "in mV, not in V"), ("3.6", "5,4,1", "“5,4,1” can be read in two ways")])
def test_what_is_wrong_behind_a_comma_in_a_form_is_told_at_its_own_place(step, typed, must,
                                                                         tmp_path):
    """At what was typed, which stands behind the step's name, with the step and its cause."""
    shop, place = form_with(tmp_path, step, typed)
    (one,) = shop.errors
    assert (one.place.line, one.place.column) == place, str(one)
    assert f"step {step}: " in one.sentence and must in one.sentence, str(one)


def test_a_decimal_comma_in_a_form_is_a_point(tmp_path):
    """As on a phone: a line has one reading, so that a comma parts no two."""
    for typed in ("5,41", "5.41", "5,410"):
        shop, _ = form_with(tmp_path / typed, "3.6", typed)
        assert shop.errors == []
        (record,) = shop.records.values()
        assert [j.verdict.readings for j in record.judged if j.verdict] == [("5.410 V",)]
