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

pytestmark = [pytest.mark.browser, pytest.mark.long]
DUNLIN = "dunlin-60-yearly"


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


def type_on(page) -> tuple[int, int]:
    """Types a reading at its lower limit at each and goes on with Enter, up to the verdict; how
    many keys that took, and how many signs and ticks there are on the paper."""
    keys = signs = 0
    for _ in range(400):
        kind, step = page.evaluate("""() => {
          const place = document.activeElement;
          if (place.closest('.blanks.verdict')) return ['end', ''];
          if (place.matches('.reads')) return ['reading', place.closest('tr').id];
          if (place.matches('[type=checkbox], .answer')) return ['tick', ''];
          const empty = place.matches('input.typed') && !place.value;
          return [empty && !/initials/.test(place.getAttribute('aria-label')) ? 'text' : '', ''];
        }""")
        if kind == "end":
            break
        text = {"reading": lambda step=step: page.evaluate("""id => {
          const point = Bench.sheet.points.get(id);
          return (point.accept ? point.accept.low : point.apply).split(' ')[0];
        }""", step), "text": lambda: "5"}.get(kind, str)()
        if text:
            page.keyboard.type(text)
        page.keyboard.press("Enter")
        keys, signs = keys + len(text) + 1, signs + len(text) + (kind == "tick")
    return keys, signs


def test_a_paper_sheet_from_serial_number_to_record(desk, tab):
    """The serial number opens it; Enter leads through it; it is saved meanwhile, and found again
    after the page was gone."""
    root, address = desk
    page = tab(viewport={"width": 1280, "height": 900})
    page.goto(address)
    page.keyboard.type("0147")
    page.get_by_role("button", name="Type in its paper sheet").click()
    page.locator(".desk li a").first.click()
    page.locator("p.from-paper").wait_for()
    assert page.locator('[data-field="serial"] input').input_value() == "0147"
    page.locator('[data-field="date"] input').focus()
    page.keyboard.type("2026-11-30")
    page.locator('[data-group="1"] .answer').first.focus()
    keys, signs = type_on(page)
    print(f"{keys} keys for {signs} signs and ticks on the paper: {keys / signs:.2f}")
    assert signs > 400 and keys <= 1.3 * signs
    page.locator(".desk-saved", has_text="Saved as").wait_for(timeout=20000)
    (path,) = (root / "procedures/records").glob("20??-??-??-????????.json")
    for _ in range(100):
        record = json.loads(path.read_text(encoding="utf-8"))
        if all(point["readings"] for point in record["points"]):
            break
        page.wait_for_timeout(200)
    assert (record["serial"], record["date"], record["from_paper"]) == ("0147", "2026-11-30", True)
    assert all(point["readings"] for point in record["points"])
    before = page.locator("input.reads").first.input_value()
    page.reload()
    page.locator("p.from-paper").wait_for()
    assert page.locator("input.reads").first.input_value() == before
