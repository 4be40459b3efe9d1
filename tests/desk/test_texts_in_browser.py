"""A meter written at the desk in Chromium by keys alone: problems, what fits, limits, saving."""

import pytest

from tests.desk.test_in_browser import desk
from tests.pages.test_access import LEVELS, asked, colored

__all__ = ["desk"]
pytestmark = [pytest.mark.browser, pytest.mark.long]


def caret(page, behind: str) -> None:
    """Puts the cursor behind a part of the text."""
    page.evaluate("""behind => {
      const text = document.getElementById('text');
      const place = text.value.indexOf(behind) + behind.length;
      text.focus();
      text.setSelectionRange(place, place);
    }""", behind)


def test_a_meter_is_written_by_keys(desk, tab):
    """A slip is told while it stands there, and its line is found; a key is taken from the list;
    limits follow; it is saved."""
    root, address = desk
    path = root / "procedures/meters/dunlin-60.yaml"
    before = path.read_text(encoding="utf-8")
    page = tab(viewport={"width": 1280, "height": 900})
    page.goto(f"{address}text?file=meters/dunlin-60")
    shown = page.locator("#beside")
    assert "This file holds no mistakes." in shown.inner_text()
    assert "5.377 to 5.423" in shown.inner_text()

    caret(page, "- {range: 6 V, resolution: 1 mV, accuracy: 0.4 % + ")
    page.keyboard.press("Delete")
    page.keyboard.type("x")
    line = page.get_by_role("button", name="Line ")
    line.wait_for()
    assert page.get_by_role("status").inner_text().startswith("Problems (")
    assert "error" in shown.inner_text() and path.read_text(encoding="utf-8") == before
    line.focus()
    page.keyboard.press("Enter")
    chosen = page.evaluate("""() => {
      const text = document.activeElement;
      return text.value.slice(text.selectionStart, text.selectionEnd);
    }""")
    assert "0.4 % + x" in chosen
    caret(page, "- {range: 6 V, resolution: 1 mV, accuracy: 0.4 % + x")
    page.keyboard.press("Backspace")
    page.keyboard.type("10")
    shown.get_by_text("5.369 to 5.431").wait_for()

    caret(page, "- {range: 6 V, ")
    page.keyboard.type("con")
    page.keyboard.press("Control+Space")
    page.get_by_role("option", name="confirmed:").wait_for()
    page.keyboard.press("Enter")
    page.keyboard.type("yes, ")
    assert "{range: 6 V, confirmed: yes, resolution" in page.locator("#text").input_value()
    page.keyboard.press("Control+Space")
    page.locator("#fits [role=option]").nth(1).wait_for()
    page.keyboard.press("ArrowDown")
    assert page.locator("#fit-1").get_attribute("aria-selected") == "true"
    page.keyboard.press("Escape")
    assert page.locator("#fits").is_hidden()

    page.get_by_role("button", name="Check and save").press("Enter")
    page.get_by_role("alert").get_by_text("was saved").wait_for()
    assert path.read_text(encoding="utf-8") == before.replace(
        "- {range: 6 V, resolution: 1 mV, accuracy: 0.4 % + 2",
        "- {range: 6 V, confirmed: yes, resolution: 1 mV, accuracy: 0.4 % + 10", 1)


def test_what_was_only_looked_at_is_not_left_by_mistake(desk, tab):
    """A text that was checked, and not saved, asks before it is left, as one that is typed does;
    one that says what the file says doesn't."""
    root, address = desk
    page = tab(viewport={"width": 1280, "height": 900})
    asked_before = []
    page.on("dialog", lambda one: (asked_before.append(one.type), one.accept()))
    page.goto(f"{address}text?file=meters/dunlin-60")
    caret(page, "- {range: 6 V")
    page.goto(f"{address}files")
    assert not asked_before
    page.goto(f"{address}text?file=meters/dunlin-60")
    caret(page, "- {range: 6 V")
    page.keyboard.type("x")
    page.get_by_role("button", name="Check only").click()
    page.locator("#text[data-unsaved]").wait_for()
    assert not asked_before and "range: 6 Vx" in page.locator("#text").input_value()
    page.keyboard.press("Tab")
    page.goto(f"{address}files")
    assert asked_before == ["beforeunload"]


def test_what_fitted_at_an_earlier_cursor_is_not_shown(desk, tab):
    """An answer that comes after that to the next key would replace too few letters."""
    _, address = desk
    page = tab(viewport={"width": 1280, "height": 900})
    page.goto(f"{address}text?file=meters/dunlin-60")
    page.evaluate("""() => {
      const { fetch } = window;
      let n = 0;
      window.late = 0;
      window.fetch = async (...given) => {
        const answer = await fetch(...given);
        if (!String(given[0]).endsWith('fits')) return answer;
        n += 1;
        if (n !== 2) return answer;
        await new Promise(done => setTimeout(done, 1500));
        setTimeout(() => { window.late = 1; }, 100);
        return answer;
      };
    }""")
    caret(page, "- {range: 6 V, ")
    page.keyboard.press("Control+Space")
    page.get_by_role("option").first.wait_for()
    page.keyboard.type("co")
    page.wait_for_function("window.late")
    page.keyboard.press("Enter")
    assert "{range: 6 V, confirmed: resolution" in page.locator("#text").input_value()


PAGES = ("files", "values?file=register", "values?file=register&entry=2",
         "values?file=register&entry=8", "values?file=standards/fulmar",
         "text?file=meters/dunlin-60", "text?file=plans/dunlin-60-yearly")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing(desk, tab, scheme):
    """On any page about files, and with the list of what fits open."""
    _, address = desk
    page = tab(viewport={"width": 360, "height": 740}, reduced_motion="reduce")
    for name in PAGES:
        page.goto(address + name)
        colored(page, scheme)
        assert asked(page, LEVELS) == [], name
    caret(page, "standards: [fulmar, ")
    page.keyboard.press("Control+Space")
    page.get_by_role("option").first.wait_for()
    assert asked(page, LEVELS) == []


@pytest.mark.parametrize("width", [320, 360, 768, 1280, 1920])
def test_nothing_overflows(desk, tab, width):
    """Every page about files, on a phone and on a wide screen."""
    _, address = desk
    page = tab(viewport={"width": width, "height": 800})
    for name in PAGES:
        page.goto(address + name)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, name
