"""What a phone with the other engine does at the bench: WebKit, as Debian has it, through its own
driver. Only what engines do each in their own way: keys, focus, storage, sizes, the looks on paper.

What can't be had there: a touch screen and its keyboard, a file that is saved, a print (the driver
has no such command; what is looked at is the page under the rules for paper), the looks of a phone
of another maker."""

from __future__ import annotations

import contextlib
import os
import shutil
import subprocess
import time
from pathlib import Path

import pytest

from tests.conftest import needed

pytestmark = pytest.mark.browser
SHEET = "procedures/whimbrel-200-yearly.html"
FIELD = "return document.querySelector(`[id='${arguments[0]}'] input.reads`)"
SAYS = "return document.querySelector(`[id='${arguments[0]}'] output.says`).textContent"


def mini_browser() -> str | None:
    return next((str(path) for path in sorted(Path("/usr").glob(
        "lib*/**/webkit2gtk-4.*/MiniBrowser"), reverse=True)), None)


@contextlib.contextmanager
def display():
    """A screen: the machine's own, or one that nobody sees."""
    if os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"):
        yield
        return
    needed(shutil.which("Xvfb"), "Xvfb, or a screen,")
    read, write = os.pipe()
    with subprocess.Popen(["Xvfb", "-displayfd", str(write), "-screen", "0", "1280x900x24",
                           "-nolisten", "tcp"], pass_fds=[write], stderr=subprocess.DEVNULL) as own:
        os.close(write)
        with os.fdopen(read) as said:
            os.environ["DISPLAY"] = f":{said.readline().strip()}"
        yield
        del os.environ["DISPLAY"]
        own.terminate()


@pytest.fixture(scope="module")
def webkit():
    """One browser for all of them."""
    driver, browser = shutil.which("WebKitWebDriver"), mini_browser()
    needed(driver and browser, "WebKit's driver (Debian's webkit2gtk-driver)")
    try:
        from selenium import webdriver
        from selenium.webdriver.webkitgtk.service import Service
    except ImportError:
        needed(None, "Selenium")
    options = webdriver.WebKitGTKOptions()
    options.binary_location = browser
    options.add_argument("--automation")
    with display():
        made = webdriver.WebKitGTK(options=options, service=Service(driver))
        made.set_script_timeout(20)
        yield made
        made.quit()


class Bench:
    """The demo's largest sheet, its holds aside."""

    def __init__(self, driver, address: str):
        self.driver = driver
        driver.set_window_rect(width=400, height=740)
        driver.get(address + SHEET)
        self.ready()
        self.points = [one for one in self.run("return Bench.sheet.data.points")
                       if one["kind"] == "source" and not one["hazard"]]

    def run(self, script: str, *given):
        return self.driver.execute_script(script, *given)

    def until(self, script: str, *given) -> None:
        end = time.monotonic() + 20
        while not self.run(script, *given):
            assert time.monotonic() < end, script
            time.sleep(0.05)

    def ready(self) -> None:
        self.until("return Boolean(window.Bench && document.body.matches('.bench-on'))")
        self.run("Bench.record.waiting = () => []; Bench.sheet.refresh()")

    def point(self, below_zero: bool = False) -> dict:
        return next(one for one in self.points if one["function"] == "DC voltage"
                    and one["apply"].startswith("-") == below_zero)

    def field(self, point: dict):
        return self.run(FIELD, point["id"])

    def active(self) -> str:
        return self.run("return document.activeElement.getAttribute('aria-label') || ''")

    def end(self) -> None:
        """The next test finds no record of this one."""
        self.run("return Promise.all([...arguments[0]].map(Bench.store.remove))",
                 [one["record"]["id"] for one in self.run("return Bench.store.list()")])
        self.run("sessionStorage.clear(); localStorage.clear()")


@pytest.fixture
def bench(webkit, served):
    made = Bench(webkit, served)
    yield made
    made.end()


def test_a_reading_below_zero_with_a_decimal_comma(bench):
    """As a keyboard types it, with either minus, and by the key of the row."""
    point = bench.point(below_zero=True)
    typed = point["apply"].split(" ")[0].replace(".", ",")
    field = bench.field(point)
    for text in (typed, typed.replace("-", "−"), typed.removeprefix("-")):
        field.clear()
        field.send_keys(text)
        if not text.startswith(("-", "−")):
            assert "is the sign right?" in bench.run(SAYS, point["id"])
            bench.run("document.querySelector(`[id='${arguments[0]}'] .key[aria-label^=Change]`)"
                      ".click()", point["id"])
            assert field.get_attribute("value") == typed and bench.active().startswith("Reading")
        assert bench.run(SAYS, point["id"]).startswith("✓ within")


def test_the_focus_goes_from_reading_to_reading(bench):
    """With Enter on the page; in the bench view the keys of the page type, and the field keeps the
    focus."""
    from selenium.webdriver.common.by import By
    from selenium.webdriver.common.keys import Keys
    point = bench.point()
    following = bench.points[bench.points.index(point) + 1]
    bench.field(point).click()
    bench.field(point).send_keys(point["apply"].split(" ")[0], Keys.ENTER)
    assert f"step {following['step']}," in bench.active()
    bench.driver.find_element(By.CSS_SELECTOR, ".view-way").click()
    bench.until("return document.body.matches('.bench-view') && Boolean(Bench.view.at())")
    bench.run("Bench.view.show(Bench.view.stops.find(one => one.point?.id === arguments[0]))",
              following["id"])
    for key in (*following["apply"].split(" ")[0], "−", "−"):
        bench.driver.find_element(By.XPATH, "//button[contains(@class, 'pad-key')]"
                                  f"[normalize-space() = '{key.replace('-', '−')}']").click()
        assert f"step {following['step']}," in bench.active()
    assert bench.run(SAYS, following["id"]).startswith("✓ within")
    covered = bench.run("""const says = document.querySelector(`[id='${arguments[0]}'] .says b`)
      .getBoundingClientRect(), pad = document.querySelector('.pad').getBoundingClientRect();
      return says.bottom > pad.top || says.top < 0""", following["id"])
    assert not covered
    bench.driver.find_element(By.CSS_SELECTOR, ".pad-main").click()
    bench.until("return Bench.view.at().point?.id !== arguments[0]", following["id"])


def test_what_was_typed_is_there_after_a_reload(bench):
    point = bench.point()
    bench.field(point).send_keys("1,2")
    bench.until("return Boolean(Bench.sheet.kept)")
    bench.field(point).send_keys("3")
    bench.run("return new Promise(done => setTimeout(done, 200))")
    bench.driver.refresh()
    bench.ready()
    assert bench.field(point).get_attribute("value") == "1,23"
    assert bench.run("return Bench.store.trouble") == ""


def test_nothing_goes_out_sideways(bench):
    """On the page and in the bench view, at a phone's width and lying down."""
    wide = "return document.scrollingElement.scrollWidth - innerWidth"
    for width, height in ((400, 740), (740, 400)):
        bench.driver.set_window_rect(width=width, height=height)
        bench.until("return Math.abs(innerWidth - arguments[0]) < 60", width)
        assert bench.run(wide) <= 0


# The rules for paper for the screen, and those for the screen for nothing.
ON_PAPER = """const walk = rules => [...rules].forEach(rule => {
  if (rule.media) {
    const text = rule.media.mediaText;
    if (/print/.test(text)) rule.media.mediaText = text.replace(/print/g, 'all');
    else if (/screen/.test(text)) rule.media.mediaText = 'not all';
    else if (/width/.test(text)) rule.media.mediaText = 'not all';
  }
  if (rule.cssRules) walk(rule.cssRules);
});
for (const sheet of document.styleSheets) walk(sheet.cssRules);
document.body.style.width = '718px';"""


def test_the_sheet_on_paper_has_every_column_and_what_was_typed(bench):
    """A4 between its margins, laid out by the rules for paper."""
    point = bench.point()
    bench.field(point).send_keys("1.23")
    bench.driver.set_window_rect(width=900, height=740)
    bench.run(ON_PAPER)
    found = bench.run("""const seen = one => one.getBoundingClientRect().width > 0;
      const right = Math.max(...[...document.querySelectorAll('table.points, table.checks')]
        .map(one => one.getBoundingClientRect().right));
      const { left } = document.querySelector('article').getBoundingClientRect();
      const first = 'tbody tr:not(.between):first-of-type td';
      return { columns: [...document.querySelectorAll('table.points')].map(table =>
          [...table.querySelectorAll(first)].filter(seen).length),
        wide: right - left, bar: seen(document.querySelector('.bench-bar')),
        keys: [...document.querySelectorAll('.keys')].filter(seen).length,
        typed: seen(document.querySelector(`[id='${arguments[0]}'] input.reads`)) }""", point["id"])
    assert min(found["columns"]) >= 8 and found["wide"] <= 720
    assert not found["bar"] and not found["keys"] and found["typed"]
