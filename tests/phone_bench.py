"""What the tests of the bench share: a small sheet with one group of each kind, and a phone that is
typed on."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import time
from pathlib import Path

import jsonschema
from referencing import Registry, Resource

from tests import committed
from tests import small_shop as shop
from tests.conftest import FLAGS, chromium

PHONE = {"viewport": {"width": 360, "height": 740}, "is_mobile": True, "has_touch": True}
NAME = "lapwing-yearly"
METER = shop.meter(
    shop.function("DC voltage", shop.range_("6 V", "1 mV", "0.4 % + 2 counts"),
                  shop.range_("600 V", "0.1 V", "0.4 % + 2 counts"), dial="V DC"),
    shop.function("AC voltage",
                  shop.range_("600 V", "0.1 V",
                              [shop.row("1 % + 3 counts", frequency="45 Hz to 500 Hz")],
                              lowest="30 V"), dial="V AC"),
    shop.function("resistance", shop.range_("600 ohm", "0.1 ohm", "0.9 % + 5 counts"), dial="Ω"),
    shop.function("capacitance", shop.range_("600 uF", "100 nF", "4 % + 10 counts"), dial="F",
                  method="charged by DC"), jacks=["V", "COM"])
STANDARDS = [
    shop.standard(),
    shop.box(("100 ohm", "100.02 ohm", "1 mohm")),
    shop.reference(("capacitance",
                    {"values": "1 uF to 1 mF", "resolution": "10 nF", "within": "0.5 %"},
                    {"method": "charged by DC"})),
]
POINTS = [
    {"function": "DC voltage", "range": "6 V", "apply": ["3 V", "-3 V", "5 V", "0 V"]},
    {"function": "DC voltage", "range": "6 V", "apply": "4 V",
     "observe": "how still the last digit is"},
    {"function": "DC voltage", "range": "600 V", "apply": ["100 V", "500 V"]},
    {"function": "AC voltage", "range": "600 V", "apply": "230 V", "frequency": "50 Hz"},
    {"function": "resistance", "range": "600 ohm", "apply": "100 ohm"},
    {"function": "capacitance", "range": "600 uF", "apply": "470 uF",
     "compare_on": "an electrolytic of about 470 µF"},
]
# those that no plan with a live group leaves out, and one of the shop's own
CHECKS = ["ratings", "case", "jacks", "leads",
          {"check": "lead length", "when": "by eye", "do": "Measure both leads",
           "good": "1.5 m or less", "write": "longer", "unit": "m",
           "stops": "nothing", "of": "meter"}]


LEFT_OUT = [{"check": name, "because": "looked at elsewhere"} for name in (
    "probe-tip shrouds", "battery cover", "battery door",
    "display segments", "dial", "shorted leads", "leads wiggled")]


def plan(**more) -> dict:
    return shop.plan(*POINTS, checks=CHECKS, left_out=LEFT_OUT,
                     leads=shop.LEADS) | {
                         "standards": [one["standard"] for one in STANDARDS]} | more


def small_site(lasting_project, **more) -> Path:
    """The sheet of all this, built once for each change of its plan."""
    made = lasting_project.__dict__.setdefault("bench_sites", {})
    key = json.dumps(more, sort_keys=True)
    if key not in made:
        files = {f"standards/{one['standard']}.yaml": one
                 for one in (*STANDARDS, shop.thermometer(ambient="0.4 degC", humidity="3 %"))}
        made[key] = lasting_project().write(meter=METER, plan=plan(**more), **files).build().site
    return made[key]


# What a page is promised by `Bench.store.set`: once its promise is kept, and no trouble is told,
# the value is on the disk. `said.waiting` are the promises that are open, `said.kept` the last
# value of each field whose promise was kept.
SAID = """document.addEventListener('DOMContentLoaded', () => {
  const store = window.Bench && Bench.store;
  if (!store) return;
  const { set } = store, said = store.said = { waiting: new Set(), kept: new Map() };
  store.set = (record, field, value) => {
    const done = set(record, field, value).then(() => {
      said.waiting.delete(done);
      if (!store.trouble) said.kept.set(field, value);
    });
    said.waiting.add(done);
    return done;
  };
})"""


# For what isn't about holds: readings can be typed without the answers that they wait for.
NO_HOLDS = """document.addEventListener('DOMContentLoaded', () => {
  if (window.Bench && Bench.record) Bench.record.waiting = () => [];
  if (window.Bench && Bench.sheet) Bench.sheet.refresh();
})"""


# The record at a sheet as one of a revision whose sheet is gone; its id.
UNDER_ANOTHER = """async () => { const { kept } = Bench.sheet;
  Bench.store.put({...kept, revision: '0'.repeat(12)}, new Map());
  await Bench.store.set(kept.id, 'place', 'here');
  return kept.id }"""


class Sheet:
    """A procedure's page as a person at the bench has it, with its holds or without them."""

    def __init__(self, page, address: str, holds: bool = False):
        self.page, self.address, self.wrong = page, address, []
        page.add_init_script(SAID)
        if not holds:
            page.add_init_script(NO_HOLDS)
        page.on("pageerror", lambda error: self.wrong.append(str(error)))
        self.open()

    def open(self) -> Sheet:
        self.page.goto(self.address)
        return self.ready()

    def ready(self) -> Sheet:
        self.page.wait_for_selector("body.bench-on")
        self.data = json.loads(self.page.locator("#procedure-data").text_content())
        self.points = {point["step"]: point for point in self.data["points"]}
        return self

    def step(self, *kinds: str, n: int = 0) -> str:
        """The nth step of a kind, or of a function's name or value."""
        return [step for step,
                point in self.points.items()
                if all(kind in (point["kind"], point["function"], point["apply"], point["hazard"])
                       for kind in kinds)][n]

    def row(self, step: str):
        return self.page.locator(f'[id="{self.points[step]["id"]}"]')

    def field(self, step: str, n: int = 1):
        return self.row(step).get_by_label(
            re.compile(
                rf"^Reading at step {re.escape(step)}, .*{', second try' if n == 2 else '[^y]'}$"))

    def reference(self, step: str, n: int = 1, when: str = "before"):
        """Of a part that is read twice, before the meter and after it."""
        twice = f" {when} the meter" if self.points[step]["reference"]["twice"] else ""
        return self.row(step).get_by_label(
            re.compile(
                rf"^Reading of the reference meter{twice} at step {re.escape(step)}, "
                rf".*{', second try' if n == 2 else '[^y]'}$"))

    def type(self, step: str, text: str, n: int = 1) -> Sheet:
        self.field(step, n).fill("")
        self.field(step, n).focus()
        self.page.keyboard.type(text)
        return self

    def says(self, step: str) -> str:
        return " ".join(
            self.row(step).locator("output.says").inner_text().replace("\u00a0", " ").split())

    def outcome(self, step: str) -> str:
        return self.row(step).get_attribute("data-outcome")

    @property
    def progress(self) -> str:
        return self.page.locator(".bench-bar .progress").inner_text()

    def group(self, step: str):
        return self.page.locator(f'[data-group="{self.points[step]["group"]}"]')

    def open_live(self, step: str) -> None:
        """Ticks what stands before a live group, and opens it."""
        group = self.group(step)
        for box in group.locator(".before .ticks input[type=checkbox]").all():
            box.check()
        group.locator(".open-group").tap()
        group.locator("input.reads:enabled").first.wait_for()

    def reads_live(self, step: str) -> None:
        """Types the value applied at the last step of a live group."""
        number = self.points[step]["group"]
        last = [one for one, point in self.points.items() if point["group"] == number][-1]
        self.type(last, self.points[last]["apply"].split(" ")[0])

    def near_zero(self, step: str, text: str, unit: str = "V") -> None:
        group = self.group(step)
        group.locator(".after .ticks .typed.line").fill(text)
        group.locator(".near-zero").get_by_role("button", name=f", in {unit}").tap()

    def close(self, step: str) -> None:
        """Reads the live value, ticks what stands behind a live group, and reads near zero."""
        self.reads_live(step)
        for box in self.group(step).locator(".after .ticks input[type=checkbox]:enabled").all():
            box.check()
        self.near_zero(step, "0.0")

    def kept(self) -> None:
        """Waits until a record began for what was typed, and nothing of it is only in the page's
        memory, or the page said that it can't be kept."""
        self.page.evaluate("""async () => {
          if (Bench.sheet && Bench.sheet.fields.size) await Bench.sheet.begin();
          const { waiting } = Bench.store.said;
          while (waiting.size) await Promise.all(waiting) }""")

    def kept_value(self, step: str, value: str) -> None:
        """Waits until the page was told that this is on the disk."""
        self.page.wait_for_function(
            "([field, value]) => Bench.store.said.kept.get(field) === value",
            arg=[f"point/{self.points[step]['id']}/1", value])

    def save(self) -> dict:
        with self.page.expect_download() as found:
            self.page.get_by_role("button", name="Save the record as a file").click()
        self.file = found.value.suggested_filename
        return json.loads(Path(found.value.path()).read_text(encoding="utf-8"))


def one_tap_later(button) -> None:
    """Waits until a second press counts as one of its own, and not as a double tap."""
    button.page.wait_for_function("button => Date.now() - button.dataset.asked > 400",
                                  arg=button.element_handle())


def validate(record: dict) -> None:
    """Against the schema of records, with dates and times as they must be."""
    schemas = {name: committed.schema(name) for name in ("record", "procedure-data")}
    registry = Registry().with_resources([(f"{name}.schema.json", Resource.from_contents(schema))
                                          for name, schema in schemas.items()])
    jsonschema.Draft202012Validator(schemas["record"], registry=registry,
                                    format_checker=jsonschema.FormatChecker()).validate(record)


class Killable:
    """A Chromium of its own with a profile that lasts, to be ended by force."""

    def __init__(self, browser, profile: Path):
        self.kind, self.profile, self.process = browser.browser_type, profile, None

    def __enter__(self) -> Killable:
        return self

    def __exit__(self, *_):
        self.kill()

    def start(self, **more):
        """Its one tab, at the size of a phone."""
        port = self.profile / "DevToolsActivePort"
        port.unlink(missing_ok=True)
        self.process = subprocess.Popen([chromium(), *FLAGS, "--headless",
                                         "--remote-debugging-port=0",
                                         f"--user-data-dir={self.profile}", "about:blank"],
                                        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
                                        start_new_session=True)
        end = time.monotonic() + 60
        while not port.exists() or not port.read_text().endswith("\n") and len(
                port.read_text().split("\n")) < 2:
            assert time.monotonic() < end and self.process.poll() is None
            time.sleep(0.05)
        self.connected = self.kind.connect_over_cdp(
            f"http://127.0.0.1:{port.read_text().split()[0]}")
        page = self.connected.contexts[0].new_page()
        page.set_viewport_size(PHONE["viewport"])
        return page

    def kill(self) -> None:
        if self.process:
            if hasattr(os, "killpg"):    # with what the command on the path has started
                os.killpg(self.process.pid, signal.SIGKILL)
            self.process.kill()
            self.process.wait()
            self.process = None
