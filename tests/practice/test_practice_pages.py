"""Exercises on pages, on paper, on a phone and in a terminal; whether their answers are right is in
test_exercise_sets.py."""

from __future__ import annotations

import json
import re

import pytest

from builder import cli
from builder.practice import practice_pages
from builder.practice.criteria import CRITERIA
from builder.practice.exercise_sets import HIGHEST
from builder.practice.bench_words import SLIPS
from builder.practice.mistake_words import LESSONS, MISTAKES
from tests import small_shop as shop

SETS = practice_pages.SEEDS


@pytest.fixture(scope="module")
def made(demo_shop):
    return practice_pages.sets(demo_shop)


def data(page) -> dict:
    return json.loads(page.by_id("practice").raw)


def answers(demo, seed: int) -> dict:
    """What the script of a set's answers says."""
    text = demo.files()[f"practice/{seed}.js"].decode()
    return json.loads(text.removeprefix("Bench.practice.answers=").strip().removesuffix(";"))


# ---------------------------------------------------------------- pages

def test_the_list_leads_to_every_set(demo):
    """practice.html names the kinds and links each set, and each set its answers."""
    page = demo.page("practice")
    assert [link["href"]
            for link in page.one("nav.sets").all("a")] == [f"practice/{n}.html" for n in SETS]
    assert [one["data-number"] for one in page.one("ul.criteria").all("li")] == [
        one.number for one in CRITERIA]
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
        assert len(radios) == (0 if e.typed or e.ordered else len(e.choices)) and len(
            {radio["name"] for radio in radios}) <= 1
        assert all(radio.parent.tag == "label" and radio["checked"] is None for radio in radios)
        assert len(card.all("p.to-order")) == bool(e.ordered)
        for text_of_item in e.items:
            assert " ".join(text_of_item.split()) in card.text
        for choice in e.choices if not e.typed else ():
            for cell in choice.cells or ([] if choice.connection else [choice.text]):
                assert " ".join(cell.split()) in card.text
        assert len(card.all("svg.connection")) == (len(e.choices) if e.kind == "drawing" else 0)
        assert " ".join(practice_pages.answer(e).split()) in answer.text
        for line in (*e.reasons, *(why for _, why, _ in practice_pages.wrong(e))):
            assert " ".join(line.split()) in answer.text
            assert " ".join(line.split()) not in text or e.kind == "drawing", line


def test_a_page_knows_no_answer(demo, made):
    """The answers stand in a script of their own, with the edition of the page, which loads it
    nowhere; a page's own data says of an exercise its kind alone, and how to type."""
    for one in made:
        page = data(demo.page(f"practice/{one.seed}"))
        assert page == json.loads(json.dumps(practice_pages.script(one)))
        assert 1 <= page["next"] <= len(SETS) and page["next"] != one.seed
        assert all(set(e) <= {"kind", "unit", "minus"} for e in page["exercises"])
        known = answers(demo, one.seed)
        assert (known["seed"], known["edition"]) == (one.seed, page["edition"])
        assert f'"{one.seed}.js"' not in demo.files()[f"practice/{one.seed}.html"].decode()
        for e, said in zip(one.exercises, known["exercises"], strict=True):
            if e.ordered:
                assert said["order"] == list(e.ordered.right) and said["rules"]
            else:
                assert [bool(why) for why in said["why"]] == [
                    bool(code) for code in said["mistakes"]] == [
                    n != e.right == said["right"] for n in range(len(e.choices))]


def test_each_mistake_leads_to_a_paragraph(demo):
    """The lesson is there under its title, and its heading has the anchor."""
    for mistake, (_, (lesson, anchor)) in (MISTAKES | SLIPS).items():
        page = demo.page(f"lessons/{lesson}")
        assert page.one("h1").text.startswith(LESSONS[lesson]), mistake
        assert not anchor or page.by_id(anchor).tag == "h2", mistake
    answers_page = demo.page("practice/3-answers").one("article")
    links = [link["href"] for line in answers_page.all("dd") for link in line.all("a")]
    assert links and all(link.startswith("../lessons/") for link in links)


def test_the_trainees_path_asks_by_number(demo):
    """What it says of each criterion is what the scripts count."""
    text = demo.page("trainee").one("article").text
    for one in CRITERIA:
        assert f"{one.number} {one.when}: {one.asked}" in text
    assert "trainee.html" in [link["href"] for link in demo.page("index").all("a.tap")]


def test_pages_stay_small(demo):
    """A set with its scripts and style is at most 80 kB, and its answers less."""
    beside = sum(len(demo.files()[f"assets/{name}"])
                 for name in ("practice.js", "memory.js", "practice.css"))
    assert max(len(demo.files()[f"practice/{n}.html"]) for n in SETS) + beside <= 80_000
    assert max(len(demo.files()[f"practice/{n}.js"]) for n in SETS) <= 20_000
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


def give(card, known: dict, right: bool) -> int | None:
    """Gives the right answer, or a wrong one; returns which choice that was."""
    if "order" in known:
        order = known["order"] if right else known["order"][::-1]
        for n in order:
            card.locator(".tapped").nth(n).tap()
        return None
    n = (known["right"] if right
         else next(n for n in range(len(known["why"])) if n != known["right"]))
    if "fields" in known:
        for field, text in zip(card.locator("input.typed").all(), known["fields"][n], strict=True):
            field.fill(text.replace(".", ","))
    else:
        card.locator("input[type=radio]").nth(n).check()
    return n


def check(card, sure: bool = True) -> str:
    """What is said of the answer."""
    card.get_by_role("button", name="Check: I am sure" if sure else "Check: a guess").tap()
    card.locator(".told p").first.wait_for()
    return card.locator(".told").inner_text()


@pytest.mark.browser
@pytest.mark.parametrize("right", [True, False])
def test_a_set_on_a_phone(phone, demo, right):
    """From a folder: one card at a time, the verdict with its reasons after the try and the way on
    behind them, progress in words, at the end what went wrong; all of it is remembered."""
    failed = []
    phone.on("pageerror", lambda error: failed.append(str(error)))
    phone.goto((demo.site / "practice/3.html").as_uri())
    kinds = [one["kind"] for one in data(demo.page("practice/3"))["exercises"]]
    all_known = answers(demo, 3)["exercises"]
    for n, known in enumerate(all_known):
        card = card_of(phone)
        assert card.count() == 1
        assert phone.locator(".going").inner_text().startswith(f"Exercise {n + 1} of 10")
        assert re.search("Choose an answer|Type both|Put all", check(card))     # without an answer
        chosen = give(card, known, right)
        told = check(card, sure=n % 2 == 0)
        if right:
            assert told.startswith("Right.")
        elif chosen is None:
            assert any(rule[3] in told for rule in known["rules"]), told
        else:
            assert told.startswith(f"Not right. {known['why'][chosen]}"), told
            assert f"Right is {known['answer']}." in told.replace("\u202f", " ") or "\u202f" in told
        assert all(line in told for line in known["reasons"])
        links = card.locator(".told a").all()
        assert len(links) == (0 if right else 1)
        assert phone.evaluate("document.documentElement.scrollWidth") <= 360
        small = phone.evaluate("""[...document.querySelectorAll(
            "fieldset:not(.away) :is(label, button, input.typed)")]
            .filter(one => one.getBoundingClientRect().height < 43.9).map(one => one.outerHTML)""")
        assert small == []
        # the look of a sheet adds no words of its own, such as "on the … range"
        assert card.evaluate(
            "one => ['::before', '::after'].map(which => getComputedStyle(one, which).content)"
        ) == ["none", "none"]
        assert card.evaluate("""card => card.querySelector('.after').getBoundingClientRect().top
            >= card.querySelector('.told').getBoundingClientRect().bottom""")
        card.locator(".after button").tap()
    end = phone.locator(".the-end")
    assert f"Set 3: {10 if right else 0} of 10 right." in end.inner_text()
    assert end.locator(".slips li").count() == (0 if right else 10)
    assert end.locator(".counts li").all_inner_texts() == (
        ["5 right and sure", "5 right by a guess: not learned yet"] if right
        else ["5 wrong and sure: read these first", "5 wrong, and it was a guess"])
    kept = phone.evaluate("Bench.memory.all()")
    assert [(one["kind"], one["right"], one["sure"]) for one in kept] == [
        (kind, right, n % 2 == 0) for n, kind in enumerate(kinds)]
    phone.get_by_role("button", name="Once more").tap()
    assert phone.locator(".going").inner_text() == "Exercise 1 of 10."
    assert phone.locator("input:checked, .tapped[aria-pressed=true]").count() == 0
    assert failed == []


@pytest.mark.browser
def test_a_set_that_was_left_goes_on(phone, demo):
    """After a reload at the first exercise that has no answer; with some kinds alone only those
    are asked."""
    address = (demo.site / "practice/3.html").as_uri()
    phone.goto(address)
    known = answers(demo, 3)["exercises"]
    for one in known[:2]:
        give(card_of(phone), one, True)
        check(card_of(phone))
        card_of(phone).locator(".after button").tap()
    phone.reload()
    assert phone.locator(".going").inner_text() == "Exercise 3 of 10, 2 of 2 right so far."
    phone.get_by_role("button", name="From the first exercise").tap()
    assert phone.locator(".going").inner_text() == "Exercise 1 of 10."
    phone.goto("about:blank")
    phone.goto(address + "#kinds=judge,limits")
    assert phone.locator(".going").inner_text() == "Exercise 1 of 4."


TYPED = """([known, unit, texts]) => {
  const {right, mistake, said, again} = Bench.practice.judged(known, unit, texts);
  return again ? `again: ${again}` : right ? 'right' : `${mistake}: ${said}`;
}"""


@pytest.mark.browser
def test_what_is_said_of_typed_limits_and_of_orders(phone, demo):
    """One right limit is said to be right, exchanged ones and missing digits may be mended, a
    mistake is named where it alone gives these; of an order the rules that it breaks, and any other
    is right."""
    phone.goto((demo.site / "practice/3.html").as_uri())
    typed = {"fields": [["2.986", "3.014"], ["2.988", "3.012"]], "right": 0,
             "mistakes": ["", "counts"], "why": ["", "Whoever forgets the counts."]}

    def of(*texts, known=typed, unit="V") -> str:
        return phone.evaluate(TYPED, [known, unit, list(texts)])

    assert of("2.986", "3,014 V") == "right"
    assert of("2.988", "3.012") == "counts: Whoever forgets the counts."
    assert of("2.986", "3.015") == ": The lower limit is right, the upper one is not."
    assert of("2.985", "3.014") == ": The upper limit is right, the lower one is not."
    assert of("2.900", "3.100").startswith(": No mistake that is known here")
    assert "the other way round" in of("3.014", "2.986")
    for text in ("3.0140", "3.01", "3"):
        assert "3 digits behind the point: write every digit" in of("2.986", text)
    assert of("", "3.014").startswith("again: Type both")
    whole = {"fields": [["540", "560"]], "right": 0, "mistakes": [""], "why": [""]}
    assert of("540", "560", known=whole) == "right"
    assert "no digits behind" in of("540.0", "560", known=whole)
    order = {"order": [2, 0, 1], "rules": [[2, 0, "standby", "Not yet."], [2, 1, "early", "So."]]}

    def ordered(*items) -> str:
        return phone.evaluate(TYPED, [order, "", list(items)])

    assert ordered(2, 0, 1) == ordered(2, 1, 0) == "right"
    assert ordered(0, 1, 2) == "standby: Not yet. So."
    assert ordered(1, 2, 0) == "early: So."
    assert ordered(2, 0).startswith("again: Put all")


@pytest.mark.browser
def test_answers_that_do_not_come(phone, demo, served):
    """Where the script of the answers is missing, or of another edition than the page, that is
    said; nothing counts, and the answer can be checked again."""
    known = answers(demo, 3)
    spoilt = f"Bench.practice.answers={json.dumps(known | {'edition': 'x'})};"
    phone.goto(f"{served}practice/3.html")
    card = card_of(phone)
    give(card, known["exercises"][0], True)
    phone.route("**/3.js", lambda route: route.abort())
    assert "can’t be loaded" in check(card)
    phone.unroute("**/3.js")
    phone.route("**/3.js", lambda route: route.fulfill(
        body=spoilt, content_type="text/javascript"))
    card.get_by_role("button", name="Check: a guess").tap()
    card.get_by_text("older than its answers").wait_for()
    phone.unroute("**/3.js")
    assert phone.evaluate("Bench.memory.all()") == []
    card.get_by_role("button", name="Check: a guess").tap()
    card.locator(".after").wait_for()
    assert [one["sure"] for one in phone.evaluate("Bench.memory.all()")] == [False]


@pytest.mark.browser
def test_keys_alone_are_enough(tab, demo):
    """Steps put in order, a choice and typed limits without a pointer; what happens is told to a
    screen reader."""
    page = tab(viewport={"width": 360, "height": 740})
    page.goto((demo.site / "practice/3.html").as_uri())
    all_known = answers(demo, 3)["exercises"]
    for known in all_known:
        card = card_of(page)
        if "order" in known:
            for n in known["order"]:
                card.locator(".tapped").nth(n).focus()
                page.keyboard.press("Enter")
            assert card.locator(".order-heard").inner_text() == (
                f"Number {len(known['order'])} of {len(known['order'])}.")
        elif "fields" in known:
            card.locator("input.typed").first.focus()
            page.keyboard.type(known["fields"][0][0])
            page.keyboard.press("Enter")
            page.keyboard.type(known["fields"][0][1])
        else:
            card.locator("input[type=radio]").first.focus()
            for _ in range(known["right"]):
                page.keyboard.press("ArrowDown")
            page.keyboard.press("Space")
        if "fields" in known:
            page.keyboard.press("Enter")
        else:
            card.get_by_role("button", name="Check: I am sure").focus()
        page.keyboard.press("Enter")
        card.locator(".after").wait_for()
        assert card.locator(".told[role=status]").inner_text().startswith("Right.")
        assert page.evaluate("document.activeElement.matches('.told')")
        page.keyboard.press("Tab")
        page.keyboard.press("Enter")
    assert "10 of 10 right" in page.locator(".the-end").inner_text()


@pytest.mark.browser
def test_what_is_due_and_what_is_met(phone, demo):
    """The list of sets says what is due again and leads to it, counts kinds and mistakes with their
    paragraphs, and holds what was answered to the trainee's path."""
    phone.goto((demo.site / "practice.html").as_uri())
    assert "Nothing was practised" in phone.locator(".practised").inner_text()
    days = ["2026-01-01", "2026-01-03", "2026-01-04"]
    phone.evaluate("""days => {
      for (const day of days)
        for (const [n, kind] of ['steps', 'missing', 'judge'].entries())
          Bench.memory.done({ kind, right: kind !== 'judge', mistake: 'percent', seed: 7, day, n });
      for (const day of days.slice(1))
        for (let n = 0; n < 10; n++)
          Bench.memory.done({ kind: 'range', right: n > 0, mistake: 'tolerance', seed: 5, day, n,
            run: day, of: 10 });
    }""", days)
    phone.reload()
    shown = phone.locator(".practised").inner_text()
    assert "Due again: Judge the reading (last 2026-01-04)" in shown
    assert phone.get_by_text("What is due, from set 1").get_attribute("href").startswith(
        "practice/1.html#kinds=")
    assert "percent forgotten: 3 ×" in shown
    assert phone.locator(".practised .slips a").first.get_attribute("href") == (
        "lessons/accuracy-table.html#two-kinds-of-error-in-one-line")
    assert "29 answers on 3 days, 2026-01-01 to 2026-01-04: 24 right; met: P1, P2." in shown
    so_far = {one.get_attribute("data-number"): one.locator(".so-far").inner_text()
              for one in phone.locator(".criteria li").all()}
    assert so_far["P1"] == ("✓ met: set 5: 9 right, 2026-01-03; set 5: 9 right, 2026-01-04.")
    assert so_far["P2"].startswith("✓ met: 6 of the last 6 right and sure, on 3 days")
    assert so_far["P3"] == "Not yet: nothing yet."
    assert so_far["P4"].startswith("Not yet: 0 of the last 3 right and sure")
    phone.evaluate("""Bench.memory.done({ kind: 'bench-fault', right: false,
      mistake: 'bench-wrong-fault', seed: 2, day: '2026-01-05' })""")
    phone.reload()
    assert "find the fault (last 2026-01-05)" in phone.locator(".practised .due").inner_text()
    assert [link.get_attribute("href") for link in phone.locator(".practised a[href*=bench]").all(
        )] == ["practice/bench.html#task=fault&seed=3",
               "lessons/failed-point.html#is-it-the-bench"]
    assert phone.evaluate("document.documentElement.scrollWidth") <= 360
    phone.on("dialog", lambda dialog: dialog.accept())
    phone.get_by_role("button", name="Forget all of it").tap()
    assert "Nothing was practised" in phone.locator(".practised").inner_text()


@pytest.mark.browser
def test_a_class_puts_its_files_together(phone, demo, tmp_path):
    """A result is handed over as a file, and the class's page lists many, without names if wished;
    what is no such file is named."""
    phone.goto((demo.site / "practice/class.html").as_uri())
    for name, rights in (("Ann", [True, True]), ("Bo", [False, True])):
        text = phone.evaluate("""([name, rights]) => Bench.practice.resultsFile(name,
          [...rights.map(right => ({ kind: 'judge', right, mistake: right ? '' : 'edge',
            sure: true, seed: 7, day: '2026-01-01' })),
           ...(name === 'Bo' ? [{ kind: 'bench-fault', right: false, mistake: 'bench-wrong-fault',
            sure: false, seed: 3, day: '2026-01-01' }] : [])])""", [name, rights])
        (tmp_path / f"{name}.json").write_text(text, encoding="utf-8")
    (tmp_path / "x.json").write_text('{"format": 1}', encoding="utf-8")
    phone.locator("input[type=file]").set_input_files(
        [tmp_path / name for name in ("Bo.json", "Ann.json", "x.json")])
    shown = phone.locator(".results")
    shown.get_by_text("Ann").wait_for()
    assert "x.json is no file of results." in shown.inner_text()
    rows = shown.locator("tbody tr")
    assert rows.locator("th").all_inner_texts() == ["Ann", "Bo"]
    assert "2 of 2" in rows.nth(0).inner_text() and "1 of 3" in rows.nth(1).inner_text()
    assert "limit itself refused: 1 of 2" in shown.inner_text()
    phone.get_by_label("without names").check()
    assert rows.locator("th").all_inner_texts() == ["1", "2"] and "Ann" not in shown.inner_text()
    phone.locator("select").select_option("3")      # number 3 at the bench is no set 3
    assert "No results yet." in shown.inner_text()
    phone.locator("select").select_option(label="At the bench: find the fault")
    assert rows.count() == 1 and "At the bench: find the fault (1 wrong)" in rows.inner_text()
    assert phone.evaluate("document.documentElement.scrollWidth") <= 360


@pytest.mark.browser
def test_print_and_no_script_show_the_whole_sheet(tab, demo):
    """Without a script all exercises stand on the page; in print they do with one too, without what
    was tried."""
    address = (demo.site / "practice/3.html").as_uri()
    plain = tab(java_script_enabled=False)
    plain.goto(address)
    assert card_of(plain).count() == 10
    page = tab(has_touch=True)
    page.goto(address)
    give(card_of(page), answers(demo, 3)["exercises"][0], False)
    check(card_of(page))
    page.locator(".after").wait_for()
    page.emulate_media(media="print")
    assert card_of(page).count() == 10
    assert page.locator(
        ":is(.told, .going, .note-of, .actions, .to-tap, input):visible").count() == 0


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


def test_a_printed_code_gives_a_class_its_set(demo_at_address):
    """Where the site has an address, each set has it on its page, with a code to scan."""
    for seed in (1, 20):
        code = demo_at_address.page(f"practice/{seed}").one("div.practice-head").one("div.scan")
        assert code.text.endswith(f"/practice/{seed}.html") and code.all("svg")


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
