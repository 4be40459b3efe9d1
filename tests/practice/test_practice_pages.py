"""Exercises on pages, on paper, on a phone and in a terminal; whether their answers are right is in
test_exercise_sets.py."""

from __future__ import annotations

import json
import re

import pytest

from builder import cli
from builder.practice import practice_pages
from builder.practice.exercise_sets import HIGHEST
from tests import small_shop as shop

SETS = practice_pages.SEEDS


@pytest.fixture(scope="module")
def made(demo_shop):
    return practice_pages.sets(demo_shop)


def data(page) -> dict:
    return json.loads(page.by_id("practice").raw)


# ---------------------------------------------------------------- pages

def test_the_list_leads_to_every_set(demo):
    """practice.html names the kinds and links each set, and each set its answers."""
    page = demo.page("practice")
    assert [link["href"]
            for link in page.one("nav.sets").all("a")] == [f"practice/{n}.html" for n in SETS]
    assert len(page.one("ul.kinds").all("li")) == len(practice_pages.KINDS)
    for n in SETS:
        assert f"{n}-answers.html" in [link["href"]
                                       for link in demo.page(f"practice/{n}").all("a.tap")]


@pytest.mark.parametrize("seed", [SETS[0], SETS[-1]])
def test_a_set_is_complete_without_a_script(demo, made, seed):
    """Every exercise with all its choices on its page, and every answer with its reasons on the
    other, which has the same seed and edition; the page of exercises shows no reason."""
    one, page, answers = made[seed - 1], demo.page(f"practice/{seed}"), demo.page(
        f"practice/{seed}-answers")
    text, said = page.one("article").text, answers.one("article").text
    for both in (text, said):
        assert f"Seed {seed}, edition {one.edition}" in both
    cards = page.all("fieldset.exercise")
    assert len(cards) == len(one.exercises) == len(answers.all("div.answer"))
    for e, card, answer in zip(one.exercises, cards, answers.all("div.answer"), strict=True):
        assert card.one("legend").text.endswith(
            practice_pages.title(e) + (" live" if e.live else ""))
        radios = card.all("input")
        assert len(radios) == (0 if e.typed else len(e.choices)) and len(
            {radio["name"] for radio in radios}) <= 1
        assert all(radio.parent.tag == "label" and radio["checked"] is None for radio in radios)
        for choice in e.choices if not e.typed else ():
            for cell in choice.cells or ([] if choice.connection else [choice.text]):
                assert " ".join(cell.split()) in card.text
        assert len(card.all("svg.connection")) == (len(e.choices) if e.kind == "drawing" else 0)
        assert " ".join(practice_pages.answer(e).split()) in answer.text
        for line in (*e.reasons, *(why for _, why in practice_pages.wrong(e))):
            assert " ".join(line.split()) in answer.text
            assert " ".join(line.split()) not in text or e.kind in (
                "steps", "groups", "drawing"), line


def test_the_script_knows_the_same_answers(demo, made):
    """The data in a page has the right answer of each exercise and a sentence for every other."""
    for one in made:
        found = data(demo.page(f"practice/{one.seed}"))
        assert found == json.loads(json.dumps(practice_pages.script(one)))
        assert 1 <= found["next"] <= len(SETS) and found["next"] != one.seed
        for e in found["exercises"]:
            assert [bool(why) for why in e["why"]] == [bool(name) for name in e["mistakes"]] == [
                n != e["right"] for n in range(len(e["why"]))]


def test_pages_stay_small(demo):
    """A set with its script and style is at most 60 kB, and its answers less."""
    beside = sum(len(demo.files()[f"assets/practice.{kind}"]) for kind in ("js", "css"))
    assert max(len(demo.files()[f"practice/{n}.html"]) for n in SETS) + beside <= 60_000
    assert max(len(demo.files()[f"practice/{n}-answers.html"]) for n in SETS) <= 40_000


def test_a_small_shop_has_practice_or_a_sentence(project):
    """One meter with one function gets sets and says what they lack; no meter at all gets the
    sentence, and no set."""
    made = project().write(
        meter=shop.meter(shop.function("DC voltage",
                                       shop.range_("6 V", "1 mV", "0.4 % + 2 counts"))),
        standard=shop.standard()).build()
    assert len(made.page("practice/3").all("fieldset.exercise")) >= 4
    assert "“Choose the range” is left out: it needs a function with several ranges." in made.page(
        "practice/3").one("article").text
    empty = project().write(**{"plans/.keep": ""}).build()
    assert "No exercises yet: they are made from the meters" in empty.page("practice").one(
        "article").text
    assert not [name for name in empty.files() if name.startswith("practice/")]


# ---------------------------------------------------------------- in a terminal

def test_a_terminal_prints_a_set(capsys):
    """Any seed; the answers only when asked for, on a page of their own."""
    assert cli.parse(["practice", str(HIGHEST)]).seed == HIGHEST
    assert cli.main(["practice", "4711"]) == 0
    out = capsys.readouterr().out
    assert out.startswith(
        "Practice, set 4711 (edition ") and "\f" not in out and "Answers" not in out
    assert cli.main(["practice", "4711", "--answers"]) == 0
    both = capsys.readouterr().out
    first, second = both.split("\f")
    assert first == out and second.startswith("Answers to practice, set 4711 (edition ")
    assert re.findall(r"(?m)^\d+\. ", first) == re.findall(r"(?m)^\d+\. (?=[PFJCSR])", second)[:10]


@pytest.mark.parametrize("arguments",
                         [[], ["x"], ["0"], ["-1"], [str(HIGHEST + 1)], ["1", "2"], ["--answers"],
                          ["٣"]],
                         ids=str)
def test_what_is_no_seed_gets_the_usage(capsys, arguments):
    """Exit code 2."""
    assert cli.main(["practice", *arguments]) == 2
    said = capsys.readouterr().err
    assert said.startswith("usage: python3 -m builder practice [-h] [--shop DIR] [--answers] SEED")
    assert "SEED" in said.splitlines()[-1] or "unrecognized" in said


# ---------------------------------------------------------------- in a browser

@pytest.fixture
def phone(tab):
    return tab(viewport={"width": 360, "height": 740}, is_mobile=True, has_touch=True)


def card_of(page):
    return page.locator("fieldset.exercise:visible")


def answer(page, known: dict, right: bool) -> int:
    """Gives the right answer, or the first wrong one; returns which."""
    card = card_of(page)
    n = (known["right"] if right
         else next(n for n in range(len(known["why"])) if n != known["right"]))
    if "fields" in known:
        for field, text in zip(card.locator("input.typed").all(), known["fields"][n], strict=True):
            field.fill(text.replace(".", ",") + " " + known["unit"])
    else:
        card.locator("input[type=radio]").nth(n).check()
    card.get_by_role("button", name="Check").tap()
    return n


@pytest.mark.browser
@pytest.mark.parametrize("right", [True, False])
def test_a_set_on_a_phone(phone, demo, right):
    """From a folder: one card at a time, the verdict with its reasons after the try, progress in
    words, and at the end what went wrong."""
    failed = []
    phone.on("pageerror", lambda error: failed.append(str(error)))
    phone.goto((demo.site / "practice/3.html").as_uri())
    known = data(demo.page("practice/3"))["exercises"]
    for n, one in enumerate(known):
        assert card_of(phone).count() == 1
        assert phone.locator(".going").inner_text().startswith(f"Exercise {n + 1} of {len(known)}")
        card_of(phone).get_by_role("button", name="Check").tap()  # without an answer
        assert re.search("Choose an answer|Type both", card_of(phone).locator(".told").inner_text())
        chosen = answer(phone, one, right)
        told = card_of(phone).locator(".told").inner_text()
        assert told.startswith("Right." if right
                               else f"Not right: {one['mistakes'][chosen]}. "
                               f"{one['why'][chosen]}"), told
        assert all(line in told for line in one["reasons"])
        assert phone.evaluate("document.documentElement.scrollWidth") <= 360
        small = phone.evaluate("""[...document.querySelectorAll(
            "fieldset:not(.away) :is(label, button, input.typed)")]
            .filter(one => one.getBoundingClientRect().height < 43.9).map(one => one.outerHTML)""")
        assert small == []
        # the look of a sheet adds no words of its own, such as "on the … range"
        assert card_of(phone).evaluate(
            "one => ['::before', '::after'].map(which => getComputedStyle(one, which).content)"
        ) == ["none", "none"]
        card_of(phone).locator("button.go").tap()
    assert f"Set 3: {len(known) if right else 0} of {len(known)} right." in phone.locator(
        ".the-end").inner_text()
    assert phone.locator(".the-end li").count() == (0 if right else len(known))
    phone.get_by_role("button", name="Once more").tap()
    assert phone.locator(".going").inner_text() == f"Exercise 1 of {len(known)}." and phone.locator(
        "input:checked").count() == 0
    assert failed == []


@pytest.mark.browser
def test_print_and_no_script_show_the_whole_sheet(tab, demo):
    """Without a script all exercises stand on the page; in print they do with one too, without what
    was tried."""
    address = (demo.site / "practice/3.html").as_uri()
    plain = tab(java_script_enabled=False)
    plain.goto(address)
    assert card_of(plain).count() == 10
    page = tab()
    page.goto(address)
    answer_first = page.locator("fieldset:visible input[type=radio]").first
    answer_first.check()
    page.get_by_role("button", name="Check").click()
    page.emulate_media(media="print")
    assert card_of(page).count() == 10
    assert page.locator(":is(.told, .going, .note-of, .actions, input):visible").count() == 0


@pytest.mark.browser
def test_what_is_typed_is_read_as_an_exact_number(phone, demo):
    """Signs, commas, units and zeros as people type them; no number is rounded, and what is none is
    refused."""
    phone.goto((demo.site / "practice/3.html").as_uri())
    read = "([text, unit]) => Bench.typedDecimal(text, unit)"
    same = [("2.986", "V", "2.986"), ("2,986", "V", "2.986"), (" 2.9860 V ", "V", "2.986"),
            ("−3.014", "V", "-3.014"), ("-0.0", "V", "0"), ("+5", "Ω", "5"),
            ("0005.10", "Ω", "5.1"),
            (".5", "V", "0.5"), ("500.", "kΩ", "500"),
            ("0.10000000000000000001", "V", "0.10000000000000000001"),
            ("12\u00a0345.6", "Ω", "12345.6"), ("100 %", "%", "100"),
            ("", "V", None), ("V", "V", None), ("2.986 mV", "V", None), ("a", "V", None),
            ("1.2.3", "V", None), ("-", "V", None), (".", "V", None), ("1e3", "V", None)]
    for text, unit, value in same:
        assert phone.evaluate(read, [text, unit]) == value, text


@pytest.mark.browser
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_set_fits_its_paper(tab, demo, paper, tmp_path):
    """At most three pages a set and two its answers, each with its seed at the foot, and no
    exercise torn."""
    pypdf = pytest.importorskip("pypdf")
    for name, most in (("practice/3", 3), ("practice/11", 3), ("practice/3-answers", 2)):
        page = tab()
        page.goto((demo.site / f"{name}.html").as_uri())
        path = tmp_path / "set.pdf"
        page.pdf(path=str(path), format=paper, prefer_css_page_size=False)
        sheets = pypdf.PdfReader(path).pages
        assert len(sheets) <= most, name
        assert all(f"seed {re.search('[0-9]+', name)[0]}" in sheet.extract_text()
                   for sheet in sheets)
