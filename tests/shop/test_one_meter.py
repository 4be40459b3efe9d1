"""The limits of one value need one file, and little of the builder: whatever else a shop holds."""

import json
import subprocess
import sys

import pytest

from builder.files.problems import Wrong
from builder.shop import one_meter
from tests.small_shop import function, meter, range_, write

DC = function("DC voltage", range_("6 V", "1 mV", "0.4 % + 2 counts"))
ONE = meter(DC)

# Which files a command opened in the shop's folder, and which modules it needed.
WATCHED = """
import json, sys
from pathlib import Path
folder, opened = sys.argv[1], set()
def watch(event, found):
    if event == "open" and isinstance(found[0], str) and found[0].startswith(folder):
        opened.add(found[0][len(folder) + 1:])
sys.addaudithook(watch)
from builder import cli
cli.PROCEDURES = Path(folder)
code = cli.main(["limits", *sys.argv[2:]])
print(json.dumps([code, sorted(opened), sorted(sys.modules)]))
"""


def watched(folder, *arguments: str) -> tuple[list[str], list[str], list[str]]:
    """What the command printed, the files that it opened, the modules that it imported."""
    done = subprocess.run([sys.executable, "-c", WATCHED, str(folder), *arguments],
                          capture_output=True, text=True, check=True, encoding="utf-8")
    *printed, last = done.stdout.splitlines()
    code, opened, modules = json.loads(last)
    assert code == 0, done.stderr
    return printed, opened, modules


@pytest.fixture(scope="module")
def large(tmp_path_factory):
    """Many meters beside the one, and a plan and a record with errors in them."""
    files = {f"meters/lapwing-{n}.yaml": ONE | {"meter": f"lapwing-{n}", "name": f"Lapwing {n}"}
             for n in range(1, 61)}
    return write(tmp_path_factory.mktemp("large") / "procedures",
                 files | {"plans/broken.yaml": "plan: [", "records/broken.yaml": "record: {",
                          "workshop.yaml": "name: ["})


# As many modules of the builder as the way from a meter's file to its limits has, beside those that
# read any command; and of all others, a third of what the site needs.
OWN, ALL = 56, 340


@pytest.mark.parametrize("arguments", [[], ["--reads", "3.001", "--ambient", "25"]])
def test_only_what_is_needed_is_read_and_imported(arguments, large):
    """The meter's own file, whatever the shop's size; no plans, records, pages, lessons or
    statistics, and no library but those for YAML and for models."""
    printed, opened, modules = watched(large, "lapwing-7", "DC voltage", "3 V", *arguments)
    assert printed[0].startswith("Lapwing 7")
    assert opened == ["meters/lapwing-7.yaml"]
    own = [name for name in modules if name.split(".")[0] == "builder"]
    strangers = [name for name in own if name.startswith((
        "builder.first_plan", "builder.lessons", "builder.pages", "builder.practice",
        "builder.published", "builder.drawing", "builder.compute.statistics",
        "builder.procedure.planner", "builder.procedure.sheet", "builder.formats.plan",
        "builder.formats.standard", "builder.formats.sheet_data", "builder.shop.loading"))]
    assert strangers == []
    assert {"pint", "jinja2", "mkdocs", "segno"}.isdisjoint(modules)
    own = [name for name in own if not name.startswith("builder.cli.")]
    print(f"\n{len(own)} modules of the builder, {len(modules)} in all")
    assert len(own) <= OWN + 4 * bool(arguments) and len(modules) <= ALL


def test_a_meter_is_found_by_its_own_name(large):
    """The files are looked through for that name, and only its own is read."""
    printed, _, _ = watched(large, "LAPWING 12", "DC voltage", "3 V")
    assert printed[0].startswith("Lapwing 12,")


def test_only_files_that_mention_the_name_are_read(tmp_path):
    """A broken file elsewhere doesn't matter; a name that is only mentioned isn't the meter's."""
    folder = write(tmp_path / "procedures", {
        "meters/lapwing-1.yaml": ONE, "meters/broken.yaml": "name: Lapwing 1 [",
        "meters/other.yaml": ONE | {"meter": "other", "name": "Other", "note": "Not Lapwing 1."}})
    (view,) = one_meter.read_functions(folder, "lapwing 1").values()
    assert view.meter.meter == "lapwing-1"


@pytest.mark.parametrize("files, asked, sentence, hint", [
    ({}, "lapwing-1", "there is no folder procedures/meters here", "call this in the folder"),
    ({"meters/.hidden.yaml": ONE}, "x", "there is no meter 'x'",
     "no file is in procedures/meters yet"),
    ({"meters/lapwing-1.yaml": ONE}, "lapwing", "there is no meter 'lapwing'",
     "did you mean 'lapwing-1'?"),
    ({"meters/a.yaml": ONE | {"meter": "a"}, "meters/b.yaml": ONE | {"meter": "b"}}, "Lapwing 1",
     "several meters have the name 'Lapwing 1'", "name its file: a or b"),
    ({"meters/lapwing-1.yaml": "meter: ["}, "lapwing-1", "the meter's file has problems", ""),
])
def test_why_there_is_no_meter(files, asked, sentence, hint, tmp_path):
    """One sentence, and what to do."""
    (tmp_path / "procedures").mkdir()
    with pytest.raises(Wrong) as caught:
        one_meter.read_functions(write(tmp_path / "procedures", files), asked)
    assert sentence in caught.value.sentence and hint in caught.value.hint
