"""The package as it is installed: what a wheel holds, and a workshop that is made and kept by it,
elsewhere than in a clone."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import venv
import zipfile
from importlib.util import find_spec
from pathlib import Path

import pytest

import builder
from builder.formats import schemas
from tests import small_shop as small
from tests.conftest import ROOT, files_in, needed, parse
from tests.pages.test_render import SMALL

pytestmark = pytest.mark.slow


# The pip of the Python that .venv is made of, where there is none inside.
PIP = (getattr(sys, "_base_executable", None) or sys.executable, "-m", "pip")
COMMANDS = """import json, sys
from builder import cli
for words in json.loads(sys.argv[1]):
    code = cli.main(words)
    print(f"{words[0]}: {code}", flush=True)
"""


def by(*command: Path | str, folder: Path, **variables: str) -> subprocess.CompletedProcess:
    """Runs a program elsewhere, where it can't find this clone's modules."""
    return subprocess.run(command, cwd=folder, capture_output=True, encoding="utf-8", timeout=300,
                          env=os.environ | {"PYTHONPATH": "", "PIP_NO_INDEX": "1"} | variables)


@pytest.fixture(scope="module")
def wheel(tmp_path_factory) -> Path:
    """Built by what pip would fetch for it, which is installed here."""
    needed(find_spec("hatchling"), "hatchling")
    folder = tmp_path_factory.mktemp("wheel")
    done = by(sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", folder, folder=ROOT)
    assert done.returncode == 0, done.stdout + done.stderr
    (made,) = folder.glob("*.whl")
    return made


@pytest.fixture(scope="module")
def scripts(wheel, tmp_path_factory) -> Path:
    """Where an environment of its own has its Python and its commands. It has the wheel; the other
    packages are those of this one."""
    folder = tmp_path_factory.mktemp("env")
    venv.create(folder, with_pip=False)
    made = folder / ("Scripts" if os.name == "nt" else "bin")
    (own,) = folder.rglob("site-packages")
    (own / "others.pth").write_text(str(Path(find_spec("mkdocs").origin).parents[1]) + "\n")
    done = by(*PIP, "--python", made / "python", "install", "--no-deps", wheel, folder=folder)
    assert done.returncode == 0, done.stdout + done.stderr
    return made


def test_a_wheel_holds_everything(wheel):
    """Each module, template, asset and the pins; the pages of every shop, and the demo's files that
    lessons take numbers from; nothing from elsewhere."""
    with zipfile.ZipFile(wheel) as archive:
        held = {name for name in archive.namelist() if ".dist-info/" not in name}
        (about,) = (archive.read(name).decode() for name in archive.namelist()
                    if name.endswith(".dist-info/METADATA"))

    def below(folder: str) -> set[str]:
        return {path.relative_to(ROOT).as_posix() for path in (ROOT / folder).rglob("*")
                if path.is_file() and path.suffix != ".pyc"}
    carried = {"mkdocs.yml"}.union(*map(below, (
        "site_src", "procedures/meters", "procedures/plans", "procedures/standards")))
    assert held == below("builder") | {f"builder/carried/{name}" for name in carried}
    assert f"\nVersion: {builder.__version__}\n" in about and "# Meter verification sheets" in about


@pytest.fixture(scope="module")
def workshop(scripts, tmp_path_factory) -> Path:
    """A new workshop with a meter, a standard and a plan for it."""
    folder = tmp_path_factory.mktemp("at work") / "meine Prüfstelle"
    done = by(scripts / "metersheets", "new", folder, "--name", "Our 'own' shop", "--address",
              "Shed 4", folder=folder.parent)
    assert (done.returncode, done.stderr) == (0, ""), done.stdout + done.stderr
    small.write(folder / "procedures", {"meters/lapwing-1.yaml": SMALL["meter"],
                                        "standards/petrel.yaml": SMALL["standard"]})
    return folder


def run(scripts: Path, folder: Path, *commands: list[str]) -> str:
    """Commands of the installed copy, one after another, each of which ends well; what they
    printed."""
    done = by(scripts / "python", "-c", COMMANDS, json.dumps(commands), folder=folder)
    ended = re.findall(r"^([\w-]+): (\d+)$", done.stdout, re.M)
    assert ended == [(words[0], "0") for words in commands], done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def worked(scripts, workshop) -> str:
    """A year's work in it, from the first plan to the finished report; what was printed."""
    said = run(scripts, workshop, ["draft", "lapwing-1", "petrel"], ["check"],
               ["approve", "lapwing-1-draft", "--by", "A. Nobody"], ["blank", "lapwing-1-draft"],
               ["new-meter", "other-2", "--kind", "pocket"])
    (workshop / "procedures/meters/other-2.yaml").unlink()
    (form,) = (workshop / "procedures/records").glob("*.yaml")
    text = form.read_text(encoding="utf-8")
    for key, value in (("serial", "'77'"), ("state", "as found"), ("date", "2026-03-12")):
        text = re.sub(rf"^{key}:.*$", f"{key}: {value}", text, flags=re.M)
    form.unlink()
    (workshop / "procedures/records/2026-03-12-lapwing-1-77.yaml").write_text(text, "utf-8")
    return said + run(scripts, workshop, ["finish", "2026-03-12-lapwing-1-77", "--by", "A. Nobody"],
                      ["schema"], ["limits", "lapwing-1", "DC voltage", "3 V"], ["test"],
                      ["export", "../exported"], ["build"], ["backup", "../backups"])


def test_a_workshop_elsewhere_does_all_that_a_clone_does(workshop, worked, wheel):
    """Its own sheet and report, beside the pages and the lessons that come with the tool."""
    assert "No problems in the files of 1 plan(s), 1 meter(s), 1 standard(s)" in worked
    assert "none disagrees" in worked and "procedures/.schema/meter.schema.json" in worked
    assert f"./{wheel.name}" in (workshop / "requirements.txt").read_text("utf-8")
    site = workshop / "site"
    for page in ("index", "safety", "lessons/limits", "procedures/lapwing-1-draft",
                 "reports/2026-03-12-lapwing-1-77", "trainee", "glossary", "changes"):
        assert (site / f"{page}.html").is_file(), page
        assert (workshop.parent / f"exported/{page}.md").is_file(), page
    lesson = parse((site / "lessons/limits.html").read_text("utf-8")).one("article").text
    assert "2.996 V to 3.004 V" in lesson
    assert not (site / "meters/dunlin-60.html").exists()
    for folder in (site, workshop.parent / "exported"):
        first = (folder / f"index{'.html' if folder is site else '.md'}").read_text("utf-8")
        assert "Our 'own' shop" in first.replace("&#39;", "'") and "Kittiwake" not in first
    assert json.loads((site / "data/site.json").read_text("utf-8"))["meters"] == ["lapwing-1"]
    assert schemas.file(workshop / "procedures", "plan").is_file()


@pytest.mark.skipif(os.name == "nt", reason="its start is another file there")
@pytest.mark.parametrize("word", ["check", pytest.param("build", marks=pytest.mark.long)])
def test_a_backup_starts_without_a_network(word, workshop, worked, tmp_path):
    """Unpacked elsewhere, by its start file and its own packages; the site that it builds is the
    same, byte for byte. Each finished report is a page that fetches nothing."""
    (backup,) = (workshop.parent / "backups").iterdir()
    assert re.fullmatch(rf"{workshop.name}-\d{{4}}-\d\d-\d\d\.zip", backup.name)
    subprocess.run([sys.executable, "-m", "zipfile", "-e", backup, tmp_path], check=True)
    shop = tmp_path / workshop.name
    cut_off = ["unshare", "-rn"]
    if not shutil.which("unshare") or subprocess.run([*cut_off, "true"]).returncode:
        cut_off = []    # no way to switch it off here
    done = by(*cut_off, sys.executable, "-P", shop / "start.py", word, folder=Path("/"),
              HOME=str(tmp_path / "home"), XDG_CACHE_HOME=str(tmp_path / "cache"))
    assert done.returncode == 0, done.stdout + done.stderr
    assert word != "build" or files_in(shop / "site") == files_in(workshop / "site")
    report = (shop / "finished-reports/2026-03-12-lapwing-1-77.1.html").read_text("utf-8")
    assert "Lapwing 1" in report and not re.search(r"(?:src|href)=\"(?!#|data:)", report)
    assert not (tmp_path / "cache").exists()
    assert "no network" in (shop / "read-me-first.txt").read_text("utf-8")


def test_the_console_command_says_how_it_was_called(scripts, tmp_path):
    """Messages have its own name."""
    done = by(scripts / "metersheets", "blank", folder=tmp_path)
    assert done.returncode == 2 and done.stderr.startswith("usage: metersheets blank [-h]")
    done = by(scripts / "python", "-m", "builder", "--version", folder=tmp_path)
    assert done.stdout == builder.__version__ + "\n"


@pytest.mark.long
@pytest.mark.skipif(os.name == "nt", reason="its start is another file there")
def test_a_double_click_installs_all_from_nothing(workshop, tmp_path):
    """With a network: every package is fetched, at the versions that the tool was tested with."""
    done = by("sh", workshop / "start.sh", "check", folder=tmp_path, PIP_NO_INDEX="",
              XDG_CACHE_HOME=str(tmp_path / "cache"))
    if "network" in done.stderr and "CI" not in os.environ:
        pytest.skip("no packages can be fetched")
    assert done.returncode == 0 and done.stdout.endswith("\n1 warning\n"), done.stderr
    assert "lapwing-1-draft: revision 1, " in done.stderr
