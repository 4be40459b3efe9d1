"""Builds one at a time beside the last site, which stays until the new one is whole, whatever ends
a build; and what can't be written or deleted, in a sentence."""

import contextlib
import json
import os
import signal
import subprocess
import sys
import time
from datetime import date
from pathlib import Path

import pytest

from builder import cli
from builder.pages import engine, offline
from tests import small_shop as shop

VOLTS = shop.function("DC voltage", shop.range_("6 V", "1 mV", "0.4 % + 2 counts"))
NOTHING = {"format": 1, "meters": [], "standards": [], "procedures": [], "reports": [],
           "missing": [], "errors": 0, "warnings": 0}
COUNTS = "0 meters, 0 standards, 0 procedures, 0 reports.\n"
WHOLE = COUNTS + "The site is in site/: open site/index.html.\n"
WORDS = "'site' is a link or a file, and a build puts a folder in its place: move it away."


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """A project's folder, for the command 'build', with a site from before."""
    monkeypatch.setattr(cli, "ROOT", tmp_path)
    (tmp_path / "site").mkdir()
    (tmp_path / "site/index.html").write_text("the last one")
    return tmp_path


def stand_in(ends: BaseException | int, text: str = "the next one", whole: bool | None = None,
             **has):
    """An engine that writes a page and ends: with a site that is `whole`, unless it fails. Its data
    name what it `has`."""
    def run(root: Path, *arguments: str, **_) -> int:
        new = Path(arguments[arguments.index("--site-dir") + 1])
        (new / "data").mkdir(parents=True)
        (new / "index.html").write_text(text)
        if isinstance(ends, BaseException):
            raise ends
        if ends == 0 if whole is None else whole:
            (new / "data/site.json").write_text(json.dumps(NOTHING | has))
            (new / "sw.js").touch()
        return ends
    return run


def built(monkeypatch, capsys, ends: BaseException | int = 0, **more) -> tuple[int, str]:
    monkeypatch.setattr(engine, "_mkdocs", stand_in(ends, **more))
    return cli.main(["build"]), capsys.readouterr().err


def holds(folder: Path, text: str, *more: str) -> None:
    assert (folder / "site/index.html").read_text() == text
    assert sorted(path.name for path in folder.iterdir()) == sorted([".site.lock", "site", *more])


@pytest.mark.parametrize("ends", [KeyboardInterrupt(), 1])
def test_a_build_that_ends_in_the_middle_leaves_the_last_site(ends, folder, monkeypatch, capsys):
    """And nothing beside it."""
    with pytest.raises(KeyboardInterrupt) if ends != 1 else contextlib.nullcontext():
        assert built(monkeypatch, capsys, ends) == (
            1, "No new site was built; the last one stays in site/.\n")
    holds(folder, "the last one")


@pytest.mark.parametrize("ends, whole, code, text", [
    (0, True, 0, "the next one"), (1, True, 1, "the next one"), (1, False, 1, "the last one"),
    (0, False, 1, "the last one")])
def test_a_site_counts_when_its_last_file_is_there(ends, whole, code, text, folder, monkeypatch,
                                                   capsys):
    """With mistakes in files as well, and then the exit code says so; without it the engine's word
    is not enough."""
    got, err = built(monkeypatch, capsys, ends, whole=whole)
    assert got == code
    assert err == (WHOLE if code == 0 else
                   COUNTS + "The site is in site/, with the mistakes that are told above.\n"
                   if whole else "No new site was built; the last one stays in site/.\n")
    holds(folder, text)


def test_what_is_gone_since_the_last_site_is_a_warning(folder, monkeypatch, capsys):
    """Once, and whatever ends the builds between: only the two sites are asked."""
    before = {"reports": ["a", "b", "c"], "meters": ["m"], "procedures": ["p", "q"]}
    code, err = built(monkeypatch, capsys, **before)
    assert (code, err) == (0, "1 meter, 0 standards, 2 procedures, 3 reports.\n"
                           "The site is in site/: open site/index.html.\n")
    assert built(monkeypatch, capsys, 1)[0] == 1
    now = before | {"reports": ["c", "d"], "procedures": ["q"], "missing": ["procedures/q"]}
    code, err = built(monkeypatch, capsys, **now)
    assert (code, err.splitlines()) == (0, [
        "warning: the last site had 1 procedure more: p. If that is not meant, look for the files.",
        "warning: the last site had 2 reports more: a, b. If that is not meant, look for the "
        "files.",
        "1 meter, 0 standards, 1 procedure, 2 reports; 1 of them missing, with a page that says "
        "why.", "The site is in site/: open site/index.html."])
    assert "warning" not in built(monkeypatch, capsys, **now)[1]


@pytest.mark.parametrize("text", ["", "[]", '{"format": 2}', "{", "\xff"])
def test_a_last_site_of_another_builder_is_compared_with_nothing(text, folder, monkeypatch, capsys):
    """Or one whose data were spoilt."""
    (folder / "site/data").mkdir()
    (folder / "site/data/site.json").write_text(text, encoding="latin-1")
    assert built(monkeypatch, capsys) == (0, WHOLE)


def test_many_that_are_gone_are_counted(folder, monkeypatch, capsys):
    """Ten by name."""
    built(monkeypatch, capsys, reports=[f"r{n:02}" for n in range(25)])
    err = built(monkeypatch, capsys)[1]
    ten = ", ".join(f"r0{n}" for n in range(10))
    assert f"the last site had 25 reports more: {ten} and 15 more. If" in err


def test_what_a_killed_build_left_is_put_right(folder, monkeypatch, capsys):
    """Killed while it wrote, and killed between putting the last site away and the new one up."""
    (folder / ".site-new").mkdir()
    (folder / ".site-new/half.html").write_text("half")
    (folder / "site").rename(folder / ".site-old")
    assert built(monkeypatch, capsys, 1)[0] == 1
    holds(folder, "the last one")
    (folder / "site").rename(folder / ".site-old-3")
    (folder / ".site-old-2").mkdir()    # an earlier one, that could not be deleted
    assert built(monkeypatch, capsys, 1)[0] == 1
    holds(folder, "the last one")
    assert built(monkeypatch, capsys) == (0, WHOLE)
    holds(folder, "the next one")


def test_a_site_that_cannot_be_deleted_stands_in_no_ones_way(folder, monkeypatch, capsys):
    """It is named, once a build, and every build puts up its site all the same."""
    real = engine.shutil.rmtree

    def owned_by_another(path, **more):
        if not (path / "another's.html").exists():
            real(path, **more)
    (folder / "site/another's.html").touch()
    monkeypatch.setattr(engine.shutil, "rmtree", owned_by_another)
    for _ in range(3):
        code, err = built(monkeypatch, capsys)
        assert (code, err) == (0, ".site-old can't be deleted: delete it by hand.\n" + WHOLE)
        holds(folder, "the next one", ".site-old")
    (folder / "site/another's.html").touch()
    code, err = built(monkeypatch, capsys)
    assert code == 0 and ".site-old-2 can't be deleted" in err
    holds(folder, "the next one", ".site-old", ".site-old-2")


@pytest.mark.skipif(os.name == "nt" or os.geteuid() != 0, reason="only root gives files away")
def test_a_site_of_another_user_is_kept_beside(tmp_path):
    """With real rights: a folder that the builder may rename and not empty."""
    place = Path("/tmp") / f"site of another {os.getpid()}"
    try:
        (place / "site/inner").mkdir(parents=True)
        (place / "site/inner/index.html").write_text("the last one")
        os.chown(place, 65534, 65534)
        place.chmod(0o755)
        script = ("import sys; from pathlib import Path; from builder.pages import engine\n"
                  "from tests.pages.test_engine import stand_in\n"
                  "engine._mkdocs = stand_in(0)\n"
                  "import os; os.setuid(65534)\n"
                  "sys.exit(engine.build(Path(sys.argv[1]), print))")
        for _ in range(2):
            done = subprocess.run([sys.executable, "-c", script, place], timeout=60,
                                  capture_output=True, text=True)
            assert (done.returncode, done.stderr) == (0, ""), done.stderr
            assert ".site-old can't be deleted: delete it by hand." in done.stdout
            holds(place, "the next one", ".site-old")
    finally:
        engine.shutil.rmtree(place)


def test_a_site_that_cannot_be_put_away_stays(folder, monkeypatch, capsys):
    """As where it is a disk of its own; the same if the new one can't be put up."""
    real = Path.rename
    for name in ("site", ".site-new"):
        def busy(path, target, name=name):
            if path.name == name:
                raise OSError(16, "Device or resource busy")
            return real(path, target)
        monkeypatch.setattr(Path, "rename", busy)
        assert built(monkeypatch, capsys) == (
            1, "The new site can't take the place of site/: Device or resource busy.\n"
            "No new site was built; the last one stays in site/.\n")
        holds(folder, "the last one")


def test_a_site_that_is_no_folder_is_left_alone(folder, monkeypatch, capsys):
    """A link to where the pages are published, and a file."""
    (folder / "site").rename(folder / "elsewhere")
    for make in (lambda: (folder / "site").symlink_to("elsewhere"),
                 lambda: (folder / "site").write_text("mine"),
                 lambda: (folder / "site").symlink_to("nowhere")):
        make()
        code, err = built(monkeypatch, capsys)
        assert code == 1 and err.startswith(WORDS)
        (folder / "site").unlink()
    assert (folder / "elsewhere/index.html").read_text() == "the last one"


def test_a_folder_that_cannot_be_written_is_named(folder, capsys):
    """A sentence and exit code 1."""
    (folder / ".site.lock").mkdir()
    assert cli.main(["build"]) == 1
    assert capsys.readouterr().err == f"{folder / '.site.lock'}: Is a directory.\n"


# ---------------------------------------------------------------- with processes

STARTED = ("import sys; from pathlib import Path; from builder.pages import engine\n"
           "{patch}\n"
           "sys.exit(engine.build(Path(sys.argv[1]), lambda text: print(text, flush=True)))")
# An engine that writes a half, and the other half when it may.
IN_HALVES = """import pathlib, sys, time
new = pathlib.Path(sys.argv[1])
new.mkdir()
(new / "1").touch()
while not (new.parent / "go on").exists(): time.sleep(0.02)
(new / "2").touch()
(new / "sw.js").touch()
"""
PATCH = ("engine._command = lambda *words: [sys.executable, '-c', "
         f"{IN_HALVES!r}, words[words.index('--site-dir') + 1]]")


def start(root: Path, patch: str = "") -> subprocess.Popen:
    return subprocess.Popen([sys.executable, "-c", STARTED.format(patch=patch), root],
                            stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)


def test_two_builds_at_once_give_a_whole_site(project):
    """With the real engine: one waits for the other and says so, both end well."""
    small = project().write(meter=shop.meter(VOLTS), standard=shop.standard(), plan=shop.plan(
        {"function": "DC voltage", "apply": ["3 V"]}))
    processes = [start(small.root), start(small.root)]
    said = [process.communicate(timeout=120)[0] for process in processes]
    assert [process.returncode for process in processes] == [0, 0], said
    assert sum("Another build is at work in this folder" in one for one in said) == 1
    assert all("The site is in site/: open site/index.html." in one for one in said)
    names = {path.relative_to(small.site).as_posix() for path in small.site.rglob("*")}
    assert {"index.html", "404.html", "sw.js", "procedures/lapwing-yearly.html"} <= names
    # the worker lists every file of the site that it was written for
    assert (small.site / "sw.js").read_text(encoding="utf-8") == offline.worker(small.site)
    assert not [path.name for path in small.root.iterdir() if path.name.startswith(".site-")]


def test_a_build_waits_for_the_engine_of_one_that_was_killed(folder):
    """The engine goes on by itself for a while; nothing builds beside it."""
    first = start(folder, PATCH)
    limit = time.monotonic() + 60
    while not (folder / ".site-new/1").exists() and time.monotonic() < limit:
        time.sleep(0.02)
    first.send_signal(signal.SIGKILL)
    assert first.wait(10) == -9
    first.stdout.close()
    second = start(folder, PATCH)
    assert second.stdout.readline() == ("Another build is at work in this folder: this one waits "
                                        "for it.\n")
    assert not (folder / ".site-new/2").exists()
    (folder / "go on").touch()
    said, _ = second.communicate(timeout=60)
    assert (second.returncode, said) == (0, "The site is in site/: open site/index.html.\n")
    assert sorted(path.name for path in (folder / "site").iterdir()) == ["1", "2", "sw.js"]


def test_the_day_of_a_site(monkeypatch):
    """While serving it is today; a build has the day that it was called with, or none."""
    for asked in (date(2026, 11, 25), None):
        monkeypatch.setenv(engine.AS_OF, engine._variables(asked)[engine.AS_OF])
        assert engine.day_asked(serving=False) == asked
        assert abs((engine.day_asked(serving=True) - date.today()).days) <= 1
