"""The lessons: their numbers come from the computation, their form is the same, and none of them
can go stale unseen."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest
from mkdocs.exceptions import Abort

from builder import cli
from builder.drawing import lesson_safety
from builder.lessons import tags
from builder.lessons.examples import MeterExample, PlanExample
from builder.lessons.error_courses import trend
from builder.lessons.pictures import PICTURES
from builder.shop import contents, loading, quick_answer
from tests.conftest import LESSONS, ROOT, YEARS
from tests.conftest import _demo as demo_project
from tests.conftest import parse

SOURCE = ROOT / "site_src"
ORDER = ["hazards", "near-zero", "categories", "when-to-stop",
         "accuracy-table", "conditions", "counts", "every-digit", "limits", "no-limit", "ranges",
         "points",
         "zero-and-leads", "four-terminals", "thermal-voltages", "loading", "ac", "rms", "crest",
         "capacitors", "large-capacitors", "current", "fuses-and-heat", "thermocouples",
         "junction",
         "ratio", "poor-ratio", "uncertainty", "coverage", "decision", "guard-band", "risks",
         "as-found", "failed-point", "drift", "check-standard", "writing-down", "remarks",
         "inside", "closing"]
SAFETY = ["hazards", "near-zero", "categories", "when-to-stop"]
# no number is worked out there
WITHOUT_EXAMPLE = {*SAFETY, "as-found", "failed-point", "writing-down", "remarks", "inside"}
TAG = re.compile(r"\{(?:example|picture):[^{}]*\}")


@pytest.fixture(scope="module")
def shop(demo_shop):
    return demo_shop


def text_of(name: str) -> str:
    return (SOURCE / f"lessons/{name}.md").read_text(encoding="utf-8")


def fill(text: str, shop) -> tuple[str, list]:
    return tags.fill(text, "site_src/lessons/x.md", shop)


def one(tag: str, shop) -> str:
    """What stands in the place of a tag that computes."""
    text, problems = fill(tag, shop)
    assert problems == [], problems[0]
    return text.strip()


# ---------------------------------------------------------------- the lessons as they are

def test_there_is_every_lesson_and_no_other():
    assert sorted(LESSONS) == sorted(f"lessons/{name}" for name in [*ORDER, "index"])


@pytest.mark.parametrize("kind, name, right, slip, severity", [
    ("meters", "dunlin-60", "accuracy: 0.5 % + 3 counts", "accuracy: 0,5 % + 3 counts", "warning"),
    ("meters", "dunlin-60", "0.4 % + 2 counts", "0.4 % + 5 V", "error"),   # right, and refused
    ("plans", "dunlin-60-yearly", "apply: 3 V", "apply: 3 Vx", "warning"),
])
def test_a_slip_in_a_file_that_lessons_use_adds_one_line(kind, name, right, slip, severity,
                                                         tmp_path):
    """Whatever waits for the file. Where it is only doubted nothing else stops a build, so the
    line does. A plan of a doubted meter waits for that, and has its line too."""
    shutil.copytree(ROOT / "procedures", tmp_path / "procedures", ignore=YEARS)
    path = tmp_path / f"procedures/{kind}/{name}.yaml"
    text = path.read_text(encoding="utf-8")
    assert right in text
    path.write_text(text.replace(right, slip, 1), encoding="utf-8")
    slipped = loading.load_shop(tmp_path / "procedures")
    told = [one for one in tags.read(SOURCE, slipped)[1]
            if one.sentence.endswith(f"wait for procedures/{kind}/{name}.yaml")]
    others = tags.read(SOURCE, slipped)[1]
    assert [one.severity for one in told] == [severity], "\n".join(map(str, others))
    assert all("wait for procedures/plans/" in one.sentence for one in others if one not in told)


def test_every_tag_of_every_lesson_computes(shop):
    """No lesson has a problem, and no tag is left in a page that is filled in."""
    pages, problems = tags.read(SOURCE, shop)
    assert [str(problem) for problem in problems] == []
    assert set(pages) == {f"{name}.md" for name in LESSONS}
    assert [name for name, text in pages.items() if TAG.search(text) or "no number" in text] == []


@pytest.mark.parametrize("name", ORDER)
def test_a_lesson_has_its_form(name):
    """It starts with a question from the bench, asks twice or more, and ends with three lines to
    remember and the way on."""
    text = text_of(name)
    title, body = re.match(r"---\ntitle: (.+)\n---\n# \1\n\n(.*)", text, re.S).groups()
    assert re.match(r"> “[^”]*\?[^”]*”\n\n", body)
    assert body.count("\n{ask: ") + body.count(", given: ") >= 2
    ending = re.search(
        r"## To remember\n\n((?:- .+\n)+)\n\[(?:Next: .+|Back .+)\]\((\S+)\)\{ \.tap \.screen "
        r"\}\n\Z", body)
    assert ending and ending[1].count("\n") == 3
    following = [*ORDER[1:], "index"][ORDER.index(name)]
    assert ending[2] == f"{following}.md"
    assert title in (SOURCE / "lessons/index.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", [name for name in ORDER if name not in WITHOUT_EXAMPLE])
def test_a_lesson_with_numbers_has_one_half_worked_and_one_alone(name):
    """Lines of two examples at least are closed. Of a plan's point u stays open: its parts, which
    nobody can guess, stand in that line."""
    text = text_of(name)
    assert len(re.findall(r"^\{example: [^{}]*, given: \d\}$", text, re.M)) >= 2
    assert re.findall(r"\{example: [a-z0-9-]+-yearly, [^{}]*, given: [01]\}", text) == []


def test_the_list_has_the_lessons_in_their_order():
    text = (SOURCE / "lessons/index.md").read_text(encoding="utf-8")
    assert re.findall(r"\]\(([a-z-]+)\.md\)\{ \.tap \}", text) == ORDER


@pytest.mark.parametrize("name", ORDER)
def test_a_lesson_is_short(shop, name):
    """At most 400 words, its numbers, questions and answers among them; without what the builder
    works out or draws, and without the second copy of the answers, for paper."""
    text = re.sub(r"\]\([^)]*\)(\{[^}]*\})?", "]", fill(text_of(name), shop)[0])
    text = re.sub(r'<div class="(?:answers-last|worked-lines)".*?</div>|<figure.*?</figure>'
                  r"|<[^>]+>|^---.*?---", "", text, flags=re.S)
    assert 150 <= len(re.findall(r"[A-Za-z’'-]{2,}|\d[\d.]*", text)) <= 400


@pytest.mark.parametrize("name", [*SAFETY, "zero-and-leads", "four-terminals", "thermal-voltages",
                                  "ac", "capacitors", "large-capacitors", "current",
                                  "fuses-and-heat", "failed-point", "inside", "closing"])
def test_safety_comes_first_where_hands_meet_voltage(name):
    """Before the first heading or, where a picture of the fault comes first, before the second."""
    head = "## ".join(text_of(name).split("\n## ")[:2])
    assert re.search(r"\*\*[^*]*(?:Safety first|[Ll]ocal electrical codes|Local rules)", head)


def test_no_safety_sentence_has_a_contraction():
    """In the lessons about safety nowhere, else in what stands in bold."""
    for name in ORDER:
        text = text_of(name)
        said = text if name in SAFETY else " ".join(re.findall(r"\*\*[^*]+\*\*", text))
        assert re.findall(r"\w+(?:n’t|’re|’ll|’ve|it’s|that’s)\b", said) == [], name


def test_the_round_is_told_alike_in_picture_and_text():
    """Each of the three states with its steps; no hands before the meter was seen near zero."""
    text = text_of("hazards")
    for state in (lesson_safety.MOVE, lesson_safety.NOT_YET, lesson_safety.LIVE):
        steps = ", ".join(map(str, lesson_safety.steps_of(state)))
        assert f"- **{state.capitalize()}**: steps {steps}." in text
    states = [state for _, state in lesson_safety.ROUND]
    first, last = states.index(lesson_safety.LIVE), len(states)
    assert lesson_safety.MOVE not in states[first:last] and states[-1] == lesson_safety.NOT_YET
    assert lesson_safety.ROUND[-1][0] == "near zero?"


def test_no_lesson_lets_anybody_work_alone():
    """The list of lessons, the path and the lesson about hazards say who decides, and that a
    trainee is supervised."""
    for name in ("lessons/index", "trainee", "lessons/hazards"):
        text = (SOURCE / f"{name}.md").read_text(encoding="utf-8").lower()
        assert "local electrical codes" in text and "supervis" in text, name


UNIT = r"(?:[pnµmkM]?(?:V|A|F|Hz|Ω|ohm)|°C|degC|%|counts?|:1|s)(?![A-Za-z])"
NUMBER = re.compile(rf"(?<![\w.])[−-]?\d+(?:[.,]\d+)?[\s\u00a0]*{UNIT}")

# What a lesson may say in typed numbers, and why. A value that a tag of the same lesson asks about
# needs no entry.
ALLOWED = {
    "hazards": {"30 V": "threshold of hazard, EN 61010-031:2015/A11 (read)",
                "42.4 V": "the same, as a peak", "60 V": "the same, DC"},
    "near-zero": {"10 %": "of the value applied: choice of this project",
                  "1 V": "near zero: choice of this project", "5 V": "the same, at most",
                  "500 V": "an AC function at a DC voltage: an example"},
    "categories": {"600 V": "a label", "1000 V": "a label", "300 V": "a label",
                   "230 V": "a supply", "6 kV": "impulse of CAT III 600 V and CAT II 1000 V: "
                   "IEC 61010-2-030 (from memory)"},
    "conditions": {"5 %": "a footnote", "30 s": "a footnote", "10 counts": "a footnote",
                   "1 V": "a footnote", "2 %": "a footnote", "75 %": "a footnote"},
    "counts": {"3.006 V": "a reading"}, "ranges": {"6 V": "what the question is about"},
    "every-digit": {"540.0 mV": "a line", "0.540 V": "a reading"},
    "zero-and-leads": {"0.2 Ω": "a reading", "50.3 Ω": "a reading"},
    "thermal-voltages": {"2 µV": "of copper leads and jacks (common practice)"},
    "loading": {"90 V": "a reading", "2 V": "a reading"},
    "crest": {"2 %": "a footnote", "25 V": "a level", "30 V": "threshold of hazard, as in hazards",
              "42.4 V": "the same, as a peak"},
    "capacitors": {"5 V": "threshold of the safety page"},
    "large-capacitors": {"5 V": "threshold of the safety page", "476.1 µF": "a reading",
                         "476.3 µF": "a reading", "477.4 µF": "a reading",
                         "476.2 µF": "the mean of the two", "1.2 µF": "above that mean"},
    "fuses-and-heat": {"3 s": "least wait of the sheets", "10 s": "time of a reading there"},
    "thermocouples": {"0 °C": "where printed tables have their reference junction",
                      "77 °C": "the difference of both temperatures"},
    "junction": {"23 °C": "on the wall"},
    "ratio": {"4:1": "a ratio of the picture", "1:1": "a ratio of the picture"},
    "poor-ratio": {"4:1": "asked about in tags as 4", "2:1": "as 2", "1:1": "as 1"},
    "decision": {"4:1": "asked about as 4"}, "drift": {"5 V": "where all meters went up"},
    "remarks": {"50 Hz": "of a remark", "400 Hz": "of a remark", "230 V": "of a remark",
                "2 V": "of a remark", "6 counts": "of a remark"},
}


def same(text: str) -> str:
    return re.sub(r"[\s\u00a0]", "",
                  text).replace("degC",
                                "°C").replace("ohm", "Ω").replace("u", "µ").replace("-", "−")


@pytest.mark.parametrize("name", ORDER)
def test_no_number_is_typed_that_could_be_computed(name):
    """A number with a unit outside a tag is a value that a tag of the lesson asks about, or stands
    in the list above."""
    text = text_of(name)
    asked = {same(item) for tag in TAG.findall(text) for item in re.split(r"[,:}]", tag)}
    typed = {" ".join(number.replace("\u00a0", " ").split())
             for number in NUMBER.findall(TAG.sub(" ", text))}
    allowed = ALLOWED.get(name, {})
    assert {number for number in typed if same(number) not in asked} - set(allowed) == set()
    assert set(allowed) <= typed, "an entry that nothing needs any more"


def test_a_typed_number_would_be_found():
    """The search itself finds what it is for."""
    assert NUMBER.findall(
        "up to 0.094 Ω, 4.5 counts, 3.177\u00a0mV and 2.3 %, at 10:1, on 18 to 28 °C") == [
            "0.094 Ω", "4.5 counts", "3.177\u00a0mV", "2.3 %", "10:1", "28 °C"]


def test_every_link_to_the_glossary_names_a_term():
    terms = set(re.findall(r"\{ #([a-z-]+) \}",
                           (SOURCE / "glossary.md").read_text(encoding="utf-8")))
    for page in [*(SOURCE / "lessons").glob("*.md"), *SOURCE.glob("*.md")]:
        assert set(re.findall(r"glossary\.md#([a-z-]+)",
                              page.read_text(encoding="utf-8"))) <= terms, page.name
    used = {term for page in (SOURCE / "lessons").glob("*.md")
            for term in re.findall(r"glossary\.md#([a-z-]+)", page.read_text(encoding="utf-8"))}
    assert len(used) >= 20


def test_the_path_names_every_lesson():
    """All lessons but the ones whose tables are about something else are in the trainee's path."""
    assert set(re.findall(r"lessons/([a-z-]+)\.md",
                          (SOURCE / "trainee.md").read_text(encoding="utf-8"))) == set(ORDER)


# ---------------------------------------------------------------- the same numbers as on the sheets

def test_a_plans_limits_are_those_of_its_sheet(shop):
    """Every point with limits of every demo plan, asked for as a lesson does."""
    tried = 0
    for name, procedure in shop.procedures.items():
        for point in procedure.points:
            planned = point.planned
            if not point.accept_from or planned.zero is not None:
                continue
            unit = planned.function.names[planned.range].unit.ascii
            value = point.apply.replace("\u00a0",
                                        " ").replace("−", "-").replace("Ω", "ohm").replace(
                                            "µ", "u").replace("°C", "degC")
            at = (f", {point.at.split(',')[0]}".replace("\u00a0", " ") if planned.hertz is not None
                  else "")
            more = f', range: {planned.function.names[planned.range]}' + (
                f", level: {planned.level}" if planned.level else "")
            shown = one(
                f'{{example: {name}, "{planned.function.title}", {value}{at}{more}, show: limits}}',
                shop)
            assert shown == f"{point.accept_from} to {point.accept_to}\u00a0{point.unit}", (
                name, point.id, unit)
            tried += 1
    assert tried > 150


@pytest.mark.parametrize("meter, function, value, frequency", [
    ("whimbrel-200", "DC voltage", "3 V", None), ("dunlin-60", "AC voltage", "5.4 V", "400 Hz"),
    ("turnstone-c", "AC current", "30 A", "50 Hz")])
def test_worked_lines_are_those_of_the_quick_answer(shop, meter, function, value, frequency):
    """A lesson's worked lines, line by line."""
    items = ", ".join(filter(None, (meter, function, value, frequency)))
    block = parse(one(f"{{example: {items}}}", shop)).one("div.worked-lines")
    assert [block.one("p").text, *(line.text for line in block.all("li"))] == [
        " ".join(line.split())
        for line in quick_answer.answer(contents.functions(shop, meter), function, value,
                                        frequency)[0]]


@pytest.mark.parametrize("tag, shown", [
    # by hand: 0.05 % of 3 V is 1.5 mV, three counts 3 mV
    ("whimbrel-200, DC voltage, 3 V, show: tolerance", "0.0045 V"),
    ("whimbrel-200, DC voltage, 3 V, show: counts", "4.5 counts"),
    ("whimbrel-200, DC voltage, 3 V, show: percent", "0.15 %"),
    ("whimbrel-200, DC voltage, 3 V, show: limits", "2.996 to 3.004 V"),
    ("whimbrel-200, DC voltage, 3 V, show: tolerance limits", "2.9955 V and 3.0045 V"),
    ("whimbrel-200, DC voltage, 3 V, show: percent term in counts", "1.5 counts"),
    # 5 degC beyond the band at a tenth per degC
    ("dunlin-60, DC voltage, 3 V, ambient: 33 degC, show: tolerance", "0.021 V"),
    ("dunlin-60, DC voltage, 3 V, ambient: 28 degC, show: growth", "1"),
    # 0.5 % of 50 V and two counts of 0.1 V
    ("dunlin-60, DC voltage, 50 V, range: 600 V, show: tolerance", "0.45 V"),
    # 1 m of 0.75 mm² twice at 28 degC is 53.6 mΩ, contacts 40 mΩ; rounded up
    ("dunlin-60-yearly, resistance, 50 ohm, show: leads", "0.094 Ω"),
    ("dunlin-60-yearly, capacitance, 5 nF, show: leads", "120 pF"),
    # CHECK-VALUES: second hand for 0 degC junctions, computed for 23 degC and for the rest
    ("thermocouple, K, 100 degC, show: voltage", "4.096 mV"),
    ("thermocouple, K, 100 degC, junction: 23 degC, show: to apply", "3.177 mV"),
    ("thermocouple, K, 500 degC, junction: 23 degC, show: to apply", "19.725 mV"),
    ("wave, square, show: mean-responding", "+11.1 %"),
    ("wave, triangle, show: mean-responding", "−3.81 %"),
    ("wave, square, 400 Hz, 1 kHz, show: lost", "10 %"),
    ("wave, square, 45 Hz, 1 kHz, show: lost", "0.92 %"),
    ("wave, triangle, show: crest factor", "1.73"),
    ("risk, 4, 95 %, show: false accept", "0.86 %"), ("risk, 1, 95 %, show: false reject", "13 %"),
    ("risk, 2, 95 %, show: false accept", "1.3 %"),
    ("resolution alone, 1, show: k", "1.65"),
    # 1/11 and 1/4; ½·(0.13 ± 0.09); ½CU², U²/R and RC·ln(U/60 V) as on the safety page
    ("loading, dunlin-60, DC voltage, 1 Mohm, 5 V, show: lost", "9.1 %"),
    ("loading, dunlin-60, low-impedance AC voltage, 1 kohm, 54 V, show: lost", "25 %"),
    ("reversal, 0.13 mV, -0.09 mV, show: half difference", "0.11 mV"),
    ("reversal, 0.13 mV, -0.09 mV, show: what stays", "0.02 mV"),
    ("four wires, 50 ohm, 50 mohm, 1 mA, show: two wires", "50.1 Ω"),
    ("charge, 100 uF, 400 V, show: energy", "8 J"),
    ("charge, 100 uF, 400 V, show: power", "160 W"),
    ("charge, 100 uF, 400 V, show: time", "0.19 s"),
    ("charge, 1 uF, 1000 V, through: 10 Mohm, show: time", "28 s"),
    # √(1 − 4/π²) and √(1 − 8/π²)
    ("rectified, half wave, show: lost", "23 %"), ("rectified, full wave, show: AC part", "44 %"),
    ("third harmonic, 20 %, show: in step", "+4.6 %"),
    ("third harmonic, 20 %, show: against", "−8.5 %"),
    ("risk, 4, 95 %, show: out that pass", "17 %"), ("risk, 2, 95 %, show: out that pass", "27 %"),
    ("risk, 1, 95 %, show: out that pass", "36 %"), ("risk, 4, 95 %, show: at the limit", "32 %"),
    # √(0.0989957² + 3 small parts²) and all but 0.0139563
    ('whimbrel-200-yearly, "temperature, type K", 100 degC, show: u without the largest part',
     "0.10 °C"),
])
def test_single_numbers(shop, tag, shown):
    """Worked out by hand, or read in the list of check values."""
    assert one(f"{{example: {tag}}}", shop).replace("\u00a0", " ") == shown


def test_another_rule_gives_what_a_plan_with_that_rule_gives(shop, tmp_path):
    """A lesson's 'rule: …' and a plan's own decision rule come to the same limits, risks and guard
    band."""
    shutil.copytree(ROOT / "procedures", tmp_path / "procedures", ignore=YEARS)
    path = tmp_path / "procedures/plans/whimbrel-200-yearly.yaml"
    path.write_text(
        path.read_text(encoding="utf-8").replace(
            "decision_rule: simple acceptance", "decision_rule: guard band of U"), encoding="utf-8")
    guarded = loading.load_shop(tmp_path / "procedures")
    for point in ("DC voltage, 10 V", "AC current, 180 uA, 1 kHz", "DC voltage, 0 mV"):
        for show in ("limits", "specific risk", "guard band", "false accept"):
            tag = f"{{example: whimbrel-200-yearly, {point}{{}}, show: {show}}}"
            assert one(tag.replace("{}", ", rule: guard band of U"),
                       shop) == one(tag.replace("{}", ""), guarded)


@pytest.mark.parametrize("of, shows",
                         [("whimbrel-200, AC voltage, 1.8 V, 1 kHz", MeterExample.SHOWS),
                          ("whimbrel-200-yearly, AC voltage, 1.8 V, 1 kHz", PlanExample.SHOWS)])
def test_everything_that_can_be_shown_is_shown_or_says_why_not(shop, of, shows):
    for what in shows:
        text, problems = fill(f"{{example: {of}, show: {what}}}", shop)
        assert problems or re.search(r"\w", text), what
        assert all(problem.hint for problem in problems), what


# ---------------------------------------------------------------- what no longer computes

STALE = {
    "example: whimbrel-201, DC voltage, 3 V, show: limits": (
        "there is no meter and no plan 'whimbrel-201'", "did you mean 'whimbrel-200'?"),
    "example: whimbrel-200, DC voltge, 3 V, show: limits": (
        "has no function 'DC voltge'", "did you mean 'DC voltage'?"),
    "example: whimbrel-200, DC voltage, 1 V, show: limit": (
        "'limit' can't be shown here", "did you mean 'limits'?"),
    "example: whimbrel-200, DC voltage, 2 A, show: limits": ("'2 A' is a current", ""),
    "example: whimbrel-200, DC voltage, 1001 V, show: limits": ("1001", ""),
    "example: whimbrel-200, DC voltage, 3 V, range: 30 V, show: limits": (
        "has no range '30 V'", "one of"),
    "example: whimbrel-200, DC voltage, 3 V, show: refusal": ("this point has limits", ""),
    "example: whimbrel-200, DC voltage, 3 V, shows: limits": (
        "worked lines and pictures need a line of their own", "give it one"),
    "example: whimbrel-200, AC voltage, 3 V, show: limits": (
        "AC voltage needs a frequency", "50 Hz"),
    "example: whimbrel-200, show: limits": ("too few or too many items stand here", "needed"),
    "example: whimbrel-200-yearly, DC voltage, 11 V, show: TUR": (
        "has no point of DC voltage at 11 V", "10.000"),
    "example: whimbrel-200-yearly, DC voltage, 10 V, rule: by eye, show: TUR": (
        "'by eye' is not a decision rule", "one of"),
    "example: whimbrel-200-yearly, DC voltage, 10 V, show: TUT": (
        "'TUT' can't be shown here", "TUR"),
    "example: thermocouple, X, 100 degC, show: voltage": ("there is no type 'X'", "K"),
    "example: risk, 0, 95 %, show: false accept": ("no risk is known", ""),
    "example: loading, dunlin-60, resistance, 1 kohm, 5 V, show: lost": (
        "states no input resistance", "show something else"),
    "example: charge, 1 uF, 50 V, to: 60 V, show: time": ("isn't below", "60 V"),
    "example: rectified, quarter wave, show: lost": ("there is no 'quarter wave'", "half wave"),
    "example: third harmonic, 50 %, show: in step": ("no sum is known", "a third"),
    'example: whimbrel-200-yearly, "temperature, 100 degC, show: limits': (
        "a quotation mark stands astray", "pair"),
    "exmaple: whimbrel-200, DC voltage, 3 V, show: limits": (
        "'exmaple:' is nothing that the builder fills in", "did you mean 'example'?"),
}


@pytest.mark.parametrize("content", STALE)
def test_a_stale_tag_is_a_problem_at_its_place(shop, content):
    """File, line, column and length, the reason and a hint; a mark in its place instead of a
    number."""
    sentence, hint = STALE[content]
    text, problems = fill(f"# Title\n\nIt may be off by {{{content}}} or so.\n", shop)
    (problem,) = problems
    at = problem.place
    assert (at.file, at.line, at.column,
            at.length) == ("site_src/lessons/x.md", 3, 18, len(content) + 2)
    assert sentence in problem.sentence and hint in problem.hint
    assert "no number" in text and content not in text


@pytest.mark.parametrize("content",
                         ["picture: acepted band, whimbrel-200, DC voltage, 3 V",
                          "picture: accepted band, whimbrel-200, DC voltage, 1000.1 V",
                          "picture: accepted band, dunlin-60, DC voltage, 5.4 V",
                          "picture: budget, whimbrel-200, DC voltage, 10 V",
                          "picture: guard band, whimbrel-200-yearly, DC voltage, 10 V",
                          "picture: drift, dunlin-60, DC voltage, 5.4 V, 2024 +1, 2025 +2",
                          "picture: drift, dunlin-60-yearly, DC voltage, 5.4 V, 2023 +1, 2024 +1, "
                          "2025 +2",
                          "picture: mornings, dunlin-60, DC voltage, 5.4 V, 5, 1, 1, 1, 1, 1, 2",
                          "picture: mornings, dunlin-60, DC voltage, 5.4 V, 3, 1, 0, 1, 1",
                          "example: dunlin-60, DC voltage, 3 V, given: 4",
                          "example: dunlin-60, DC voltage, 3 V, given: 0",
                          "example: dunlin-60, DC voltage, 3 V, lines: 0",
                          "picture: drift, dunlin-60, DC voltage, 5.4 V, 2023 +1, 2024 +1, x5 +2",
                          "example: thermocouple, K, 9100 degC", "example: charge, 5 V, 5 uF",
                          "example: charge, 1 uF, 100 V, through: 0 ohm",
                          "example: dunlin-60, DC voltage, 3 V, lines: 2, given: 2",
                          "example: resolution alone, 2",
                          "example: flicker, dunlin-60-yearly, capacitance, 5 uF, 4.906",
                          "example: years, dunlin-60, DC voltage, 5.4 V, 2023 +1, 2024 +1, 2025 +1",
                          "example: mornings, dunlin-60, DC voltage, 5.4 V, 5, 1, 1, 1, 1, 1, 2",
                          "example: flicker, dunlin-60, capacitance, 5 nF, 4.906/4.908",
                          'example: parts, whimbrel-200-yearly, "temperature, type K", 100 degC',
                          "picture: drift, dunlin-60, DC voltage, 5.4 V, 2023 +1, 2024 +2, "
                          "\u200b2025 +3",
                          "picture: record line, whimbrel-200-yearly, DC voltage, 18 V, 1.0, "
                          "99.000", "picture: square wave, 400 Hz"])
def test_a_picture_that_cant_be_drawn_is_a_problem(shop, content):
    (problem,) = fill(f"{{{content}}}\n", shop)[1]
    assert problem.place.line == 1 and problem.hint


def test_a_meter_that_is_gone_is_said_once_a_page(tmp_path):
    """Neither the shop nor the demo has it: once, wherever it stands."""
    text = re.sub(r"(whimbrel-200|dunlin-60)(-yearly)?", "sandpiper-9", text_of("limits"))
    (problem,) = fill(text, contents.Shop())[1]
    assert "there is no meter and no plan 'sandpiper-9'" in problem.sentence


def test_a_question_stands_before_its_answer_and_the_answers_again_at_the_end(shop):
    """Closed below the question without a script, numbered; on paper a list at the end. Lines of
    an example that are kept back are asked for in the same way, by what they work out."""
    text = ("{ask: How *much* is {example: dunlin-60, DC voltage, 3 V, show: tolerance} < 1 V?}\n"
            "{answer: {example: dunlin-60, DC voltage, 3 V, show: counts}.}\n\n"
            "{example: dunlin-60, DC voltage, 3 V, lines: 3, given: 1}\n")
    filled = parse(one(text, shop).replace("\u00a0", " "))
    asked = filled.all("details.ask")
    assert [each.one("summary").text for each in asked] == [
        "1 How much is 0.014 V < 1 V?", "2 Tolerance?", "3 Tolerance limits?"]
    assert all(each["open"] is None for each in asked)
    answers = [item.text for item in filled.one("div.answers-last").all("li")]
    assert answers == [each.one("p").text for each in asked] and answers[0] == "14 counts."


def test_of_two_extremes_the_one_farther_from_the_middle_is_judged(shop):
    """The middle of 4.907 and 5.117 is 5.012, from which 5.005 lies farther than 5.008, though it
    is nearer to the round 5; 18.014 is beyond 18.012, and goes into no history."""
    capacitor = "example: flicker, dunlin-60-yearly, capacitance, 5 uF, 5.005/5.008, show:"
    voltage = "example: flicker, whimbrel-200-yearly, DC voltage, 18 V, 18.011/18.014, show:"
    for tag, what, wanted in (
            (capacitor, "middle", "5.012 µF"), (capacitor, "judged", "5.005 µF"),
            (capacitor, "verdict", "pass"), (voltage, "judged", "18.014 V"),
            (voltage, "verdict", "fail"), (voltage, "history", "18.0125 V")):
        assert one(f"{{{tag} {what}}}", shop).replace("\u00a0", " ") == wanted


def test_the_parts_of_an_uncertainty_add_up_by_squares(shop):
    """By hand: 0.00055/2 and 0.0005/√3 make 0.000275 and 0.00028868, together 0.0003987."""
    lines = one("{example: parts, whimbrel-200-yearly, DC voltage, 10 V}", shop)
    items = [each.text.replace("\u00a0", " ") for each in parse(lines).all("li")]
    assert [each.partition(": ")[2] for each in items[:2]] == ["0.000275000 V", "0.000288675 V"]
    assert items[2].endswith("= 0.00039870 V") and "0.000550000 V / 2" in items[0]


def answers_of(tag: str, shop) -> list[str]:
    """What each line of an example comes to."""
    return [each.text.replace("\u00a0", " ").rpartition(": ")[2].rpartition("= ")[2]
            for each in parse(one(f"{{{tag}}}", shop)).all("li")]


def test_years_and_mornings_come_to_what_a_pencil_gives(shop):
    """The Dunlin's 0.4 % + 2 counts are 23.6 counts at 54 V; by four counts a year from −15 it is
    8.6 and 2.15 years. The deviations of 1, 0, 2, 1, 1 are 0, 1, 1, 0, 0: √(2/4). What is divided
    is what is printed: 7.4 by 4.5 are 1.6, though their numbers unrounded give 1.7."""
    years = "example: years, dunlin-60, DC voltage, 54 V, 2022 -3, 2023 -7, 2024 -11, 2025 -15"
    assert answers_of(years, shop) == ["−23.6", "4.0", "8.6", "2.2"]
    rounded = "example: years, dunlin-60, DC voltage, 5.4 V, 2023 +7, 2024 +12, 2025 +16"
    assert answers_of(rounded, shop)[1:] == ["4.5", "7.4", "1.6"]
    mornings = "example: mornings, whimbrel-200-yearly, DC voltage, 10 V, 5, 1, 0, 2, 1, 1, "
    assert answers_of(mornings + "3", shop) == ["1.0", "0.71", "−1.1 and 3.1", "within"]
    assert answers_of(mornings + "4", shop)[-1] == "out"


@pytest.mark.parametrize("text, line", [
    ("{ask: Why?}\n\n{answer: So.}\n", 1), ("Text\n{answer: So.}\n", 2), ("{ask: Why?}", 1)])
def test_a_question_without_its_answer_is_a_problem(shop, text, line):
    problems = fill(text, shop)[1]
    assert problems[0].place.line == line and "{answer: …}" in problems[0].hint


def test_a_lesson_says_where_it_stands_among_the_others(shop):
    """With the way back to their list, in the order of that list."""
    pages, _ = tags.read(SOURCE, shop)
    for number, name in enumerate(ORDER, 1):
        where = parse(pages[f"lessons/{name}.md"]).one("p.where")
        assert where.text == f"Lessons › {number} of {len(ORDER)}"
        assert where.one("a")["href"] == "index.html"
    assert 'class="where"' not in pages["lessons/index.md"]


def test_code_and_attributes_are_no_tags(shop):
    """Braces of Markdown's own stay."""
    text = "[Next](x.md){ .tap .screen }\n**Count**{ #count }\n{: .note }\n"
    assert fill(text, shop) == (text, [])


# ------------------------------------------------------- on the site, in the check and in an export

@pytest.fixture
def learning(tmp_path):
    """The demo's meters, standards and plans as a project, with its lessons."""
    from tests.conftest import forget_plugins
    forget_plugins()
    yield demo_project(tmp_path / "learning", without=YEARS)
    forget_plugins()


def test_the_pages_of_the_site_are_filled_in(demo):
    for name in LESSONS:
        article = demo.page(name).one("article")
        for unfilled in ("{example", "{picture", "no number"):
            assert unfilled not in article.text, name
        asked_for = text_of(name.partition("/")[2]).count("{picture:")
        assert len(article.all("svg.lesson")) == asked_for, name
    assert "2.996 to 3.004 V" in demo.page("lessons/limits").one(
        "article").text or "2.996 V to 3.004 V" in demo.page("lessons/limits").one("article").text


def test_a_sheet_leads_to_the_glossary(demo):
    """By one link in the line that isn't printed."""
    (link,) = [a for a in demo.page("procedures/whimbrel-200-yearly").one("p.where").all("a")
               if a.text == "Glossary"]
    assert link["href"] == "../glossary.html"


def test_a_stale_lesson_is_told_and_has_a_mark_at_its_place(learning):
    """The build ends with the place, and exit code 1; the other lessons have their numbers."""
    path = learning.root / "site_src/lessons/counts.md"
    path.write_text(
        path.read_text(encoding="utf-8").replace(
            "dunlin-60, DC voltage, 3 V, show: counts", "dunlin-60, DC voltage, 3 A, show: counts",
            1), encoding="utf-8")
    with pytest.raises(Abort) as stopped:
        learning.build()
    assert re.search(r"site_src/lessons/counts\.md:\d+:\d+: error: '3 A' is a current",
                     str(stopped.value))
    assert len(learning.page("lessons/counts").all("b.fault")) == 1
    assert learning.page("lessons/limits").all("b.fault") == []


def test_a_changed_meter_changes_the_lesson_or_is_told(learning):
    """A new accuracy shows at once in the text; a point that is refused from then on is a
    problem."""
    meter = learning.procedures / "meters/whimbrel-200.yaml"
    good = meter.read_text(encoding="utf-8")
    meter.write_text(good.replace("{range: 20 V, resolution: 1 mV, accuracy: 0.05 % + 3 counts}",
                                  "{range: 20 V, resolution: 1 mV, accuracy: 0.05 % + 6 counts}"),
                     encoding="utf-8")
    assert "0.0075 V" in learning.build().page("lessons/limits").one("article").text
    meter.write_text(good.replace("{range: 20 V, resolution: 1 mV, accuracy: 0.05 % + 3 counts}",
                                  "{range: 20 V, resolution: 1 mV, accuracy: 0.05 % + 90000 "
                                  "counts}"), encoding="utf-8")
    with pytest.raises(Abort, match="site_src/lessons/"):
        learning.build()


def test_while_serving_a_stale_lesson_shows_among_the_problems(learning):
    (learning.root / "site_src/lessons/inside.md").write_text(
        "# Inside\n\n{example: dunlin-61, DC voltage, 3 V}\n", encoding="utf-8")
    learning.build(serving=True)
    assert ("site_src/lessons/inside.md:3:1: error: there is no meter and no plan 'dunlin-61'"
            in learning.page("problems").one("pre.problems").text)
    assert learning.page("lessons/inside").all("b.fault")


def test_a_shop_has_the_lessons_with_the_demos_numbers(project):
    """They come with the builder, with none of the demo's pages. A lesson of the shop's own takes
    the place of one of the same name: its numbers are the shop's, and the demo's for names that
    the shop hasn't."""
    from tests.pages.test_render import SMALL
    made = project().write(**SMALL)
    settings = made.root / "mkdocs.yml"
    settings.write_text(settings.read_text("utf-8").replace(": {lessons: no}", ""), "utf-8")
    (made.root / "site_src/lessons").mkdir()
    (made.root / "site_src/lessons/counts.md").write_text(
        "# Ours\n\n{example: lapwing-1, DC voltage, 3 V, show: limits} beside "
        "{example: whimbrel-200, DC voltage, 3 V, show: limits}\n", "utf-8")
    made.build()
    assert "2.996 V to 3.004 V" in made.page("lessons/limits").one("article").text
    own = made.page("lessons/counts").one("article").text
    assert own.startswith("Ours") and "2.986 to 3.014 V beside 2.996 to 3.004 V" in own
    assert not (made.site / "procedures/whimbrel-200-yearly.html").exists()


def test_check_lists_a_stale_lesson(learning, monkeypatch, capsys):
    monkeypatch.setattr(cli, "PROCEDURES", learning.procedures)
    assert cli.main(["check"]) == 0
    path = learning.root / "site_src/lessons/ac.md"
    path.write_text(path.read_text(encoding="utf-8") + "\n{example: dunlin-60, DC volts, 3 V}\n",
                    encoding="utf-8")
    capsys.readouterr()
    assert cli.main(["check", "--format", "json"]) == 1
    (problem,) = json.loads(capsys.readouterr().out)
    assert (problem["file"], problem["code"],
            problem["column"]) == ("site_src/lessons/ac.md", "lesson", 1)
    assert problem["hint"]


def test_an_export_has_its_lessons_filled_in(tmp_path):
    assert cli.main(["export", str(tmp_path / "out")]) == 0
    text = (tmp_path / "out/lessons/limits.md").read_text(encoding="utf-8")
    assert not TAG.search(text) and text.startswith(
        "---\ntitle: ") and '<svg class="lesson"' in text
    assert TAG.search(text_of("limits")), "the source keeps its tags"


def test_a_project_without_lessons_builds(project):
    """Nobody needs to have them; the glossary, to which sheets lead, stays."""
    from tests.pages.test_render import SMALL
    made = project().write(**SMALL).build()
    assert not (made.site / "lessons").exists() and (made.site / "glossary.html").exists()
    assert "Glossary" in made.page("procedures/lapwing-yearly").one("article").text


# ---------------------------------------------------------------- a line over the years

@pytest.mark.parametrize("readings, line, meets", [
    ([(2022, 0, None), (2023, 5, None), (2024, 10, None)], ((2022, 0), (2026, 20)), True),
    ([(2022, 0, None), (2023, -5, None), (2024, -10, None)], ((2022, 0), (2026, -20)), True),
    ([(2022, 18, 0), (2023, 5, None), (2024, 10, None)], ((2022, 0), (2026, 20)), True),
    ([(2022, 3, None), (2023, 3, None), (2024, 3, None)], ((2022, 3), (2024, 3)), False),
    ([(2022, 3, None), (2023, 3, None), (2024, 18, 1)], None, False),
    ([(2022, 1, None), (2023, 1, None), (2024, 2, None)], ((2022, 5 / 6), (2024, 11 / 6)), False),
    # slope 4.7 by hand: (1.5·7 + 0.5·5 + …)/5; it meets between the years, not at one
    ([(2021, 15, None), (2022, 20, 2), (2023, 7, None), (2024, 12, None), (2025, 16, None)],
     ((2022, 2.2), (2022 + (20 - 2.2) / 4.7, 20)), True)])
def test_the_line_has_its_true_slope_and_meets_the_limit_where_it_does(readings, line, meets):
    """A straight line through what came after the last adjustment, up to the limit; to the last
    reading where it is flat or far off, and none of a single point."""
    found, does = trend(readings, 20)
    assert does is meets and (found is None) is (line is None)
    for end, wanted in zip(found or (), line or (), strict=True):
        assert end == pytest.approx(wanted)


def test_every_kind_of_picture_is_used():
    used = {name for page in Path(SOURCE / "lessons").glob("*.md")
            for name in re.findall(r"\{picture: ([a-z ]+)", page.read_text(encoding="utf-8"))}
    assert used == set(PICTURES)
