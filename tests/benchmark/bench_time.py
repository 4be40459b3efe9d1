"""How light the largest sheet is at the bench, beside what it was before it had a bench view.

    python tests/benchmark/bench_time.py [--runs 5] [--before COMMIT] [--sites OLD NEW]

Builds this tree and, with packages of its own, the tree of an earlier commit; or takes two sites
that are built already. Then, in one run and in turns, so that a machine that slows down slows both,
Chromium opens the sheet of each as a phone with a processor four times as slow does, and types a
reading:

first view     kB on the way for the first look at it, gzip as a common host packs it
ready          ms from the address to the frame from which on the sheet takes keys
key            ms from a key to the frame that shows its verdict, the middle one of a visit
bench key      the same in the bench view, which the earlier one has not: beside its page
thread, key    ms of the processor's time for such a key, which other work leaves alone
thread, bench  the same in the bench view

Each number is the median of the visits. Last: the bytes of bodies that a look at a sheet that the
device keeps transfers. Needs Chromium and, for the earlier commit, a network for pip. """

from __future__ import annotations

import argparse
import contextlib
import json
import os
import subprocess
import sys
import tempfile
import venv
from pathlib import Path
from statistics import median

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from playwright.sync_api import Page, sync_playwright  # noqa: E402

from tests.conftest import FLAGS, WORKER, chromium, wait_for_function  # noqa: E402
from tests.main_thread import MainThread  # noqa: E402
from tests.pages.test_offline import Host, complete  # noqa: E402
from tests.phone_bench import NO_HOLDS, PHONE  # noqa: E402

BEFORE = "fb5f440"
SHEET = "procedures/whimbrel-200-yearly.html"
KEYS = ("1", ".", "7", "9", "9", "Backspace", "8", "Backspace", "7")
SLOWER = 4
MOST_KB = 120
MOST = {"ready": 0.6, "key": 0.5, "bench key": 0.5}    # of the earlier one's

# From the address to the frame behind the one in which the sheet said that it takes keys.
READY = """new MutationObserver((_, watch) => {
  if (!document.body || !document.body.classList.contains('bench-on')) return;
  watch.disconnect();
  requestAnimationFrame(() => requestAnimationFrame(() => { window.ready = performance.now() }));
}).observe(document, { subtree: true, childList: true, attributeFilter: ['class'] })"""
TOOK = """() => { window.took = []; addEventListener('keydown', event => {
  requestAnimationFrame(() => { const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => took.push(performance.now() - event.timeStamp);
    port2.postMessage(0) }) }, true) }"""


def build(tree: Path, site: Path, python: Path) -> None:
    own = {"PYTHONPATH": str(tree), "NO_MKDOCS_2_WARNING": "1"}
    subprocess.run([python, "-m", "mkdocs", "build", "-q", "--site-dir", site], cwd=tree,
                   check=True, env=os.environ | own)


def build_both(commit: str, folder: Path) -> tuple[Path, Path]:
    """The sites of an earlier commit and of this tree."""
    tree, packages = folder / "tree", folder / "packages"
    tree.mkdir()
    packed = subprocess.run(["git", "archive", commit], cwd=ROOT, check=True, capture_output=True)
    subprocess.run(["tar", "-x"], cwd=tree, input=packed.stdout, check=True)
    venv.create(packages, with_pip=True)
    python = packages / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    subprocess.run([python, "-m", "pip", "install", "-q", tree], check=True)
    build(tree, folder / "old", python)
    build(ROOT, folder / "new", Path(sys.executable))
    return folder / "old", folder / "new"


class Visits:
    """What was measured at one site, a list for each name."""

    def __init__(self, browser, host: Host):
        self.browser, self.host, self.found = browser, host, {}

    def add(self, name: str, value: float) -> None:
        self.found.setdefault(name, []).append(value)

    @contextlib.contextmanager
    def page(self, **more):
        context = self.browser.new_context(**PHONE | {"service_workers": "block"} | more)
        context.add_init_script(READY)
        context.add_init_script(NO_HOLDS)
        yield context.new_page()
        context.close()

    def first_view(self) -> None:
        with self.page() as page:
            page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate",
                                                    {"rate": SLOWER})
            self.host.asked.clear()
            page.goto(self.host.home + SHEET, wait_until="networkidle")
            page.wait_for_function("window.ready")
            self.add("first view", sum(size for *_, size in self.host.asked) / 1000)
            self.add("ready", page.evaluate("window.ready"))

    def typed(self, view: str) -> None:
        """A reading at the last step that is not live, on the page or in the bench view."""
        with self.page() as page:
            page.goto(self.host.home + SHEET)
            page.wait_for_function("window.ready")
            data = json.loads(page.locator("#procedure-data").text_content())
            point = [one["id"] for one in data["points"]
                     if one["kind"] == "source" and not one["hazard"]][-1]
            if view:
                page.get_by_role("button", name="Bench view").tap()
                page.wait_for_selector("body.bench-view")
                page.evaluate("""id => Bench.view.show(
                  Bench.view.stops.find(one => one.point && one.point.id === id))""", point)
            page.locator(f'[id="{point}"] input.reads').first.focus()
            page.keyboard.press("1")    # begins the record
            page.wait_for_timeout(500)
            thread = MainThread(page)
            times = []
            for key in KEYS[1:]:
                with thread.spent() as spent:
                    page.keyboard.press(key)
                times.append(spent.ms)
            self.add(f"thread, {view or 'key'}", median(times))
            thread.session.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
            page.locator(f'[id="{point}"] input.reads').first.fill("")
            page.wait_for_timeout(500)
            page.evaluate(TOOK)
            for n, key in enumerate(KEYS):
                page.keyboard.press(key)
                page.wait_for_function("n => took.length > n", arg=n)
                page.wait_for_timeout(100)
            self.add(f"{view} key".strip(), median(page.evaluate("took")))

    def kept(self) -> int:
        """Bytes of bodies for a later look at a sheet that the device keeps."""
        with self.page(**WORKER) as page:
            page.goto(self.host.home + SHEET)
            complete(page, self.host)
            self.host.asked.clear()
            page.goto(self.host.home + SHEET)
            page.wait_for_timeout(2000)
            return sum(size for _, status, size in self.host.asked if status != 304)


def measure(old: Path, new: Path, runs: int) -> bool:
    """Prints the numbers and their ratios; whether all are as they are to be."""
    Page.wait_for_function = wait_for_function
    with sync_playwright() as playwright, contextlib.ExitStack() as stack:
        browser = playwright.chromium.launch(executable_path=chromium(), args=FLAGS)
        sites = []
        for site in (old, new):
            host = Host(site)
            stack.callback(host.close)
            sites.append(Visits(browser, host))
        for _ in range(runs):
            for one in sites:
                one.first_view()
            for one in sites:
                one.typed("")
            sites[1].typed("bench")
        kept = sites[1].kept()
        browser.close()
    before, now = ({name: median(many) for name, many in one.found.items()} for one in sites)
    good = now["first view"] <= MOST_KB and kept == 0
    print(f"{'':14}{'before':>8}{'now':>8}{'ratio':>8}{'at most':>9}")
    for name, value in now.items():
        beside = before[name if name in before else name.replace("bench key", "key")
                        .replace("bench", "key")]
        most = MOST.get(name)
        good = good and (most is None or value / beside <= most)
        print(f"{name:14}{beside:8.1f}{value:8.1f}{value / beside:8.2f}{most or '':>9}")
    print(f"{'first view':14}{'':8}{now['first view']:8.1f} kB, at most {MOST_KB}")
    print(f"{'a later view':14}{'':8}{kept:8} bytes of bodies, at most 0")
    return good


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--runs", type=int, default=5)
    parser.add_argument("--before", default=BEFORE)
    parser.add_argument("--sites", nargs=2, type=Path, metavar=("OLD", "NEW"))
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        old, new = given.sites or build_both(given.before, Path(folder))
        sys.exit(0 if measure(old, new, given.runs) else 1)


if __name__ == "__main__":
    main()
