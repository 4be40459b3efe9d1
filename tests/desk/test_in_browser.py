"""A paper sheet typed in at the desk, in Chromium: from the serial number to the record, without a
terminal and without a mouse where there is something to type."""

import json
import shutil
import threading
from socketserver import ThreadingMixIn
from wsgiref.simple_server import WSGIRequestHandler, WSGIServer, make_server

import pytest
from werkzeug.exceptions import NotFound
from werkzeug.middleware.shared_data import SharedDataMiddleware

from builder.desk.app import Desk
from builder.shop import loading

pytestmark = pytest.mark.browser
DUNLIN = "dunlin-60-yearly"
# What stands on the paper at the place that has the focus, and of what kind that is.
AT = """() => {
  const place = document.activeElement;
  if (place.closest('.blanks.verdict')) return ['end', ''];
  const row = place.closest('tr');
  if (place.matches('.reads')) {
    const point = Bench.sheet.points.get(row.id);
    return ['reading', (point.accept ? point.accept.low : point.apply).split(' ')[0]];
  }
  if (place.matches('[type=checkbox], .answer')) return ['tick', ''];
  if (!place.matches('input.typed') || place.value) return ['', ''];
  const step = row && row.querySelector('td.step');
  const check = step && Bench.sheet.data.checks.find(
    one => one.step === step.firstChild.textContent.trim());
  if (check) return ['reading', check.at_least || check.at_most || '5'];
  return /initials/.test(place.getAttribute('aria-label')) ? ['', ''] : ['text', '5'];
}"""


class Threads(ThreadingMixIn, WSGIServer):
    daemon_threads = True


class Quiet(WSGIRequestHandler):
    def log_message(self, *_):
        pass


@pytest.fixture
def desk(demo, tmp_path):
    """A desk on a copy of the demo, around its built site; the shop's folder and the address."""
    shutil.copytree(demo.procedures, tmp_path / "procedures")
    site = SharedDataMiddleware(NotFound(), {"/": str(demo.site)})
    with make_server("127.0.0.1", 0, Desk(tmp_path, site), server_class=Threads,
                     handler_class=Quiet) as server:
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02})
        thread.start()
        yield tmp_path, f"http://127.0.0.1:{server.server_port}/desk/"
        server.shutdown()
        thread.join()


@pytest.fixture
def paper(desk, tab):
    """The Dunlin's sheet for finished paper, opened by a serial number typed at the desk."""
    page = tab(viewport={"width": 1280, "height": 900})
    page.goto(desk[1])
    page.keyboard.type("0147")
    page.get_by_role("button", name="Type in its paper sheet").click()
    page.locator(".desk li a").first.click()
    page.locator("p.from-paper").wait_for()
    assert page.locator('[data-field="serial"] input').input_value() == "0147"
    page.wait_for_function("() => document.activeElement.closest('[data-field=\"date\"]')")
    page.keyboard.type("2026-11-30")
    for _ in ("as found", "as left", "ambient"):
        page.keyboard.press("Enter")
    assert page.evaluate("() => document.activeElement.closest('[data-field]').dataset.field"
                         ) == "ambient"
    page.locator('[data-group="1"] .answer').first.focus()
    page.evaluate("""() => {
      window.pressed = 0;
      addEventListener('keydown', () => pressed++, true);
    }""")
    return page


def type_on(page, most: int = 400) -> dict[str, list[str]]:
    """Types what stands on the paper, a reading at its lower limit, and goes on with Enter, up to
    the verdict or for so many places; what was typed, by its kind."""
    typed: dict[str, list[str]] = {}
    for _ in range(most):
        kind, text = page.evaluate(AT)
        if kind == "end":
            break
        typed.setdefault(kind, []).append(text)
        if text:
            page.keyboard.type(text)
        page.keyboard.press("Enter")
    return typed


def saved(page):
    said = page.locator(".desk-saved")
    for _ in range(200):
        if said.text_content().startswith("Saved as"):
            return
        page.wait_for_timeout(100)
    raise AssertionError(said.text_content())


def records(root) -> list[dict]:
    return [json.loads(path.read_text(encoding="utf-8")) for path in sorted(
        (root / "procedures/records").glob("20??-??-??-????????.json"))]


@pytest.mark.long
def test_a_paper_sheet_from_serial_number_to_record(desk, paper):
    """Enter leads through all of it with few keys; it is saved meanwhile, the shop reads it without
    a mistake, and it is found again after the page was gone."""
    typed = type_on(paper)
    pressed = paper.evaluate("() => pressed")
    readings, ticks, texts = (typed.get(kind, []) for kind in ("reading", "tick", "text"))
    signs = sum(map(len, readings + texts))
    digits = sum(one.isdigit() for text in readings + texts for one in text)
    print(f"{pressed} keys: {len(readings)} readings, {len(ticks)} ticks, {len(texts)} texts of "
          f"{signs} signs, {digits} of them digits; {pressed / (signs + len(ticks)):.2f} keys a "
          f"sign or tick, beside the digits "
          f"{(pressed - digits) / (len(readings) + len(ticks)):.2f} keys a reading or tick")
    assert len(readings) > 60 and pressed <= 1.3 * (signs + len(ticks))
    assert pressed - signs <= 1.3 * (len(readings) + len(ticks) + len(texts))
    saved(paper)
    for _ in range(100):
        (record,) = records(desk[0])
        if all(point["readings"] for point in record["points"]):
            break
        paper.wait_for_timeout(200)
    assert (record["serial"], record["date"], record["from_paper"]) == ("0147", "2026-11-30", True)
    assert all(point["readings"] for point in record["points"])
    shop = loading.load_shop(desk[0] / "procedures")
    assert record["record"] in shop.records
    before = paper.locator("input.reads").first.input_value()
    paper.reload()
    paper.locator("p.from-paper").wait_for()
    assert paper.locator("input.reads").first.input_value() == before


def test_a_few_steps_from_paper_are_saved_and_found_again(desk, paper):
    """By keys alone. A tick beside a number that is a no is not saved: the page says the step, and
    after a no it is. Today leads to it again."""
    typed = type_on(paper, most=40)
    on_paper = sum(map(len, typed["reading"])) + len(typed["tick"])
    assert len(typed["reading"]) > 5 and paper.evaluate("() => pressed") <= 1.3 * on_paper
    saved(paper)
    step = paper.evaluate("() => Bench.sheet.data.checks.find(one => one.at_least).step")
    row = paper.locator("table.checks tr", has=paper.locator(f'[aria-label^="Step {step},"]'))
    row.locator("td.write input").fill("0,1")
    if row.locator(".answer").first.get_attribute("aria-pressed") == "false":
        row.locator(".answer").first.click()
    paper.locator(".desk-saved").filter(
        has_text=f"Not saved at the desk yet: Step {step} is ticked good, and its number, 0,1, is "
        "not what the check asks for").wait_for(timeout=10000)
    row.locator(".answer").nth(1).click()
    saved(paper)
    (record,) = records(desk[0])
    (check,) = (one for one in record["checks"] if one["step"] == step)
    assert [one["answer"] for one in check["answers"]] == ["yes", "no"]
    shop = loading.load_shop(desk[0] / "procedures")
    assert shop.records[record["record"]].entries.answers[step].good is False
    read = [one.input_value() for one in paper.locator("input.reads").all()]
    paper.goto(desk[1])
    paper.get_by_role("link", name="Go on").click()
    paper.locator("p.from-paper").wait_for()
    assert [one.input_value() for one in paper.locator("input.reads").all()] == read
