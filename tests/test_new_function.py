"""The recipe for a new function, followed to the letter in a copy of the builder: a line in one
file, a line in another for its unit, and everything else knows it."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest

from builder.formats import schemas
from tests import small_shop as shop
from tests.conftest import ROOT, Element, Project, parse
from tests.pages.test_limits_js import answer, ask
from tests.phone_bench import PHONE, Sheet
from tests.recorded import step

pytestmark = pytest.mark.slow

FUNCTION = ('    FunctionKind(name="pressure", code="press", dimension="[pressure]", '
            'stage="inputs"),\n')
UNIT = ('    BaseUnit(symbol="Pa", dimension="[pressure]", kind="a pressure", '
        'plural="pascals", words=("pascal", "pascals"), suggested="u m -"),\n')
# By the file's name in the recipe: how its table begins, and the line to put there.
LINES = {"builder/formats/functions.py": (r"^KINDS = .*\n", FUNCTION),
         "builder/numbers/unit_table.py": (r"^UNITS = .*\n", UNIT)}

NAME, METER = "lapwing-yearly", "lapwing-1"
PARTS = [("5 mPa", "5.002 mPa", "5 uPa"), ("50 mPa", "50.02 mPa", "50 uPa"),
         ("500 mPa", "0.5 Pa", "1 mPa")]
FILES = {
    f"meters/{METER}.yaml": shop.meter(
        shop.function("pressure", shop.range_("6 mPa", "1 uPa", "1 % + 5 counts"),
                      shop.range_("60 mPa", "10 uPa", "1 % + 5 counts"),
                      shop.range_("600 mPa", "0.1 mPa", "2 % + 10 counts"), dial="Lx")),
    "standards/auk-box.yaml": shop.box(*PARTS, what="pressure"),
    f"plans/{NAME}.yaml": shop.plan({"function": "pressure",
                                     "apply": [nominal for nominal, *_ in PARTS]},
                                    checks=["ratings"]) | {"standards": ["auk-box"]},
}


class Copy:
    """A copy of the builder with the two lines, and a shop with a meter of pressure."""

    def __init__(self, root: Path):
        self.root = root
        ignored = shutil.ignore_patterns("__pycache__")
        shutil.copytree(ROOT / "builder", root / "builder", ignore=ignored)
        for name in ("site_src", "procedures"):     # as an installed copy has them
            shutil.copytree(ROOT / name, root / "builder/carried" / name, ignore=ignored)
        self.project = Project(root)
        shop.write(self.project.procedures, FILES)

    def run(self, *command: str) -> str:
        """A command of the copy, which must be well; what it printed."""
        done = subprocess.run([sys.executable, "-m", "builder", *command], cwd=self.root,
                              env=os.environ | {"PYTHONPATH": str(self.root)}, timeout=300,
                              capture_output=True, encoding="utf-8")
        assert done.returncode == 0, done.stdout + done.stderr
        return done.stdout.replace("\u00a0", " ")


@pytest.fixture(scope="module")
def copy(tmp_path_factory) -> Copy:
    """The recipe: a line in each file that it names."""
    recipe = re.search(r"^- \*\*A function\*\*.*$", (ROOT / "DEVELOPERS.md").read_text("utf-8"),
                       re.M)[0]
    files = re.findall(r"`(builder/\S+\.py)`", recipe)
    assert files == list(LINES), "the recipe has changed"
    made = Copy(tmp_path_factory.mktemp("pressure"))
    for name in files:
        begins, line = LINES[name]
        before = (made.root / name).read_text(encoding="utf-8")
        after, tables = re.subn(begins, lambda found, line=line: found[0] + line, before,
                                flags=re.M)
        assert tables == 1 and len(after.splitlines()) == len(before.splitlines()) + 1
        (made.root / name).write_text(after, encoding="utf-8")
    return made


@pytest.fixture(scope="module")
def site(copy) -> Path:
    copy.run("build")
    return copy.root / "site"


def test_the_files_are_right(copy):
    """The copy's own builder finds nothing wrong in a meter, a box and a plan of pressure."""
    assert copy.run("check").startswith("No problems in the files of 1 plan(s), 1 meter(s)")


def test_a_first_plan_is_drafted(copy):
    """It passes the check, or it wasn't written."""
    copy.run("draft", METER, "auk-box")
    (drafted,) = set((copy.project.procedures / "plans").glob("*.yaml")) - {
        copy.project.procedures / f"plans/{NAME}.yaml"}
    text = drafted.read_text(encoding="utf-8")
    drafted.unlink()
    assert ("  # Nothing is applied but known parts.\n"
            "  - {function: pressure, apply: recommended}\n") in text


@pytest.mark.parametrize("value, low, high", [
    ("50 mPa", "49.45", "50.55"),    # 0.5 mPa + 5 · 0.01 mPa is ± 0.55 mPa
    ("5 mPa", "4.945", "5.055"),     # 0.05 mPa + 5 · 0.001 mPa is ± 0.055 mPa
    ("0.5 pascals", "489.0", "511.0"),    # 10 mPa + 10 · 0.1 mPa is ± 11 mPa
])
def test_limits_by_hand(copy, value, low, high):
    """x ± (percent of x + counts · resolution), in the unit of the range."""
    assert f"{low} mPa to {high} mPa" in copy.run("limits", METER, "pressure", value)


@pytest.mark.browser
def test_a_reading_is_judged_on_the_phone(site, tab):
    """50.02 mPa certified: ± (0.5002 + 0.05) mPa is 49.47 to 50.57 mPa in whole counts."""
    sheet = Sheet(tab(**PHONE), (site / f"procedures/{NAME}.html").as_uri())
    at = sheet.step("50 mPa")
    assert sheet.type(at, "50.00 mPa").outcome(at) == "pass"
    assert sheet.type(at, "50,57 millipascal").outcome(at) == "pass"
    assert sheet.type(at, "49.46").outcome(at) == "fail"
    sheet.type(at, "50.00 mV")
    assert sheet.outcome(at) == "refused"
    assert sheet.says(at).endswith("check the entry this reading is in mPa, not in mV")
    assert sheet.wrong == []


@pytest.mark.browser
def test_the_page_of_any_value_answers(site, tab):
    """As the terminal does; and a value of something else gets the sentence that names both."""
    page, wrong = tab(**PHONE), []
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.goto((site / "limits.html").as_uri())
    ask(page, METER, "pressure", "50 mPa")
    assert "49.45 mPa to 50.55 mPa" in " ".join(answer(page))
    ask(page, METER, "pressure", "50 mV")
    assert answer(page) == ["No limits: pressure is measured in Pa, not in mV."]
    assert wrong == []


def test_a_record_is_judged_and_reported(copy):
    """The empty form filled in: 50.00 mPa is 0.02 mPa below the certified value, 3.6 % of the
    tolerance; the band between the two is drawn."""
    copy.run("blank", NAME)
    folder = copy.project.procedures / "records"
    (beside,) = folder.glob("*.json")
    data = json.loads(beside.read_text(encoding="utf-8"))
    form = folder / f"new-{NAME}.yaml"
    text = form.read_text(encoding="utf-8")
    for name, value in (("serial", "0147"), ("state", "as found"), ("date", "2026-03-12"),
                        (f"  {data['checks'][0]['step']} Ratings", "yes")):
        text = re.sub(rf"^{name}:", f"{name}: {value}", text, flags=re.M)
    text = text.replace("ambient: {start: -, end: -}",
                        "ambient: {start: 23.0 degC, end: 23.1 degC}")
    for nominal, typed in (("5 mPa", "5.003"), ("50 mPa", "50.00 mPa"), ("500 mPa", "499.9")):
        text, changed = re.subn(rf"^(  {re.escape(step(data, nominal))} {nominal}:)",
                                rf"\1 {typed}", text, flags=re.M)
        assert changed == 1
    form.unlink()
    (folder / "2026-03-12-lapwing-1-0147.yaml").write_text(text, encoding="utf-8")
    copy.run("report", "2026-03-12-lapwing-1-0147", "--to", str(copy.root / "reports"))
    page = parse((copy.root / "reports/2026-03-12-lapwing-1-0147.html").read_text("utf-8"))
    (row,) = [[cell.text for cell in one.children if isinstance(cell, Element)]
              for one in page.all("tr") if "50.00 mPa" in one.text]
    assert row[:-3] == ["2.2", "50 mPa certified 50.02 mPa", "60 mPa", "49.47 to 50.57", "0.55",
                        "50.00 mPa", "−0.020", "", "−3.6"] and row[-1] == "✓ pass"


def test_the_schemas_take_it(copy):
    """The copy's own schemas know the function, and take its files."""
    assert "procedures/.schema/meter.schema.json" in copy.run("schema")
    for name, content in FILES.items():
        kind = name.partition("s/")[0]
        schema = json.loads(schemas.file(copy.root / "procedures", kind).read_text("utf-8"))
        jsonschema.Draft202012Validator(schema).validate(content)
    own = json.loads(schemas.file(ROOT / "procedures", "meter").read_text("utf-8"))
    assert not jsonschema.Draft202012Validator(own).is_valid(FILES[f"meters/{METER}.yaml"])
