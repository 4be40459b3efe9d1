"""The start from a bare machine, without a network and without making an environment."""

import ast
import os
import re
import shutil
import subprocess
import sys
import tomllib
from importlib import metadata
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.specifiers import SpecifierSet
from packaging.utils import canonicalize_name

import builder
import builder.__main__ as bootstrap

ROOT = Path(__file__).resolve().parent.parent
FIRST_READ = [ROOT / "builder/__init__.py", ROOT / "builder/__main__.py"]


@pytest.fixture
def clone(tmp_path):
    """As much of a fresh clone as the start looks at, in a path with blanks and accents."""
    root = (tmp_path / "méters of mine").resolve()
    read = ("pyproject.toml", "builder/__init__.py", "builder/__main__.py",
            "builder/constraints.txt", "builder/files/__init__.py",
            "builder/files/one_at_a_time.py", "builder/files/problems.py",
            "builder/files/terminal.py",
            *(str(path.relative_to(ROOT)) for path in (ROOT / "builder/cli").glob("*.py")))
    for name in read:
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(ROOT / name, root / name)
    return root


@pytest.fixture
def venv(clone, monkeypatch):
    """A .venv in the clone that this process takes for the one to look after."""
    python = clone / ".venv" / bootstrap.PYTHON.relative_to(bootstrap.VENV)
    python.parent.mkdir(parents=True)
    python.touch()
    for name, value in (("ROOT", clone), ("VENV", clone / ".venv"), ("PYTHON", python),
                        ("STAMP", clone / ".venv" / bootstrap.STAMP.name)):
        monkeypatch.setattr(bootstrap, name, value)
    return clone / ".venv"


@pytest.fixture
def made(venv, monkeypatch):
    """What make_ready() installed, instead of it being done: the extra and whether .venv is made
    afresh; never while the stamp stands."""
    made = []

    def install(extra, afresh):
        assert not bootstrap.STAMP.exists()
        made.append((extra, afresh))
    monkeypatch.setattr(bootstrap, "install", install)
    return made


def start(clone, *arguments, python=sys.executable, **variables):
    return subprocess.run([python, "-B", "-m", "builder", *arguments], cwd=clone,
                          env=os.environ | variables, capture_output=True, encoding="utf-8",
                          timeout=60)


def files_in(folder):
    return sorted(str(path.relative_to(folder)) for path in folder.rglob("*"))


# ---------------------------------------------------------------- what an old Python reads

@pytest.mark.parametrize("path", FIRST_READ, ids=lambda path: path.name)
def test_an_old_python_can_read_it(path):
    """The syntax is that of Python 3.6."""
    ast.parse(path.read_text("utf-8"), feature_version=(3, 6))


@pytest.mark.parametrize("version", ["3.6", "3.8", "3.10"])
def test_a_real_old_python_gets_one_sentence(clone, version):
    """Where the machine has one, on its path or kept by pyenv."""
    pyenv = Path(os.environ.get("PYENV_ROOT") or Path.home() / ".pyenv")
    pythons = [*map(str, pyenv.glob(f"versions/{version}.*/bin/python")),
               shutil.which(f"python{version}")]
    if not pythons[0]:
        pytest.skip(f"no Python {version} on this machine")
    done = start(clone, "build", python=pythons[0])
    assert (done.returncode, done.stdout) == (2, "")
    assert re.fullmatch(rf"builder: needs Python 3\.11 or newer, and this is Python {version}\.\d+ "
                        r"\(.+\)\.\n", done.stderr)


def test_an_old_python_is_told_what_is_wanted(monkeypatch, capsys):
    """On any machine: exit code 2."""
    monkeypatch.setattr(sys, "version_info", (3, 10, 4, "final", 0))
    with pytest.raises(SystemExit) as end:
        bootstrap.start(["build"])
    assert end.value.code == 2
    assert "needs Python 3.11 or newer, and this is Python 3.10.4" in capsys.readouterr().err


# ---------------------------------------------------------------- what installs nothing

@pytest.mark.parametrize("arguments, code, says", [
    ("", 2, "usage: python3 -m builder"), ("--help", 0, "usage: python3 -m builder"),
    ("build --help", 0, "usage: python3 -m builder build"), ("--version", 0, builder.__version__),
    ("biuld", 2, "did you mean 'build'?"), ("export", 2, "required: DIR"),
])
def test_questions_and_wrong_usage_install_nothing(clone, arguments, code, says):
    """They are answered by the standard library alone."""
    before = files_in(clone)
    done = start(clone, *arguments.split())
    assert done.returncode == code and says in done.stdout + done.stderr
    assert files_in(clone) == before


def test_help_needs_nothing_installed(clone):
    """A Python without any package prints it."""
    done = subprocess.run([sys.executable, "-B", "-I", "-S", "-c",
                           f"import sys; sys.path.insert(0, {str(clone)!r})\n"
                           "from builder.__main__ import start; start(['limits', '--help'])"],
                          capture_output=True, text=True)
    assert (done.returncode, done.stderr) == (0, "") and "example: " in done.stdout


# ---------------------------------------------------------------- is .venv ready?

@pytest.mark.parametrize("has, needs, ready", [("", "", True), ("test", "test", True),
                                               ("test", "", True), ("", "test", False)])
def test_the_test_packages_do_for_every_command(made, has, needs, ready):
    """What is there is left alone; only what is missing is added, and nothing cleared for it."""
    bootstrap.STAMP.write_text("\n".join(bootstrap.wanted_stamp(has)), "utf-8")
    bootstrap.make_ready(needs)
    assert made == ([] if ready else [(needs, False)])
    assert bootstrap.read_stamp() == bootstrap.wanted_stamp(has or needs)


@pytest.mark.parametrize("name", bootstrap.INPUTS)
@pytest.mark.parametrize("has", ["", "test"])
def test_a_change_of_what_is_wanted_installs_again(made, name, has):
    """Packages that were there for tests stay."""
    bootstrap.STAMP.write_text("\n".join(bootstrap.wanted_stamp(has)), "utf-8")
    with open(bootstrap.ROOT / name, "a", encoding="utf-8") as file:
        file.write("# changed\n")
    bootstrap.make_ready("")
    assert made == [(has, False)] and bootstrap.read_stamp() == bootstrap.wanted_stamp(has)


@pytest.mark.parametrize("spoil", [
    lambda patch: bootstrap.STAMP.unlink(), lambda patch: bootstrap.PYTHON.unlink(),
    lambda patch: bootstrap.STAMP.write_text("cut short"),
    lambda patch: bootstrap.STAMP.write_bytes(b"\xff\n"),
    lambda patch: patch.setattr(sys, "base_prefix", str(bootstrap.ROOT)),
    lambda patch: bootstrap.STAMP.write_text(
        bootstrap.STAMP.read_text("utf-8").replace(" of mine", " of yours"), "utf-8"),
], ids=["no stamp", "no Python", "half a stamp", "no text", "another Python", "a copied clone"])
def test_an_environment_that_is_not_its_own_is_made_afresh(made, monkeypatch, spoil):
    """Nothing that was there is trusted."""
    bootstrap.STAMP.write_text("\n".join(bootstrap.wanted_stamp("")), "utf-8")
    spoil(monkeypatch)
    bootstrap.make_ready("test")
    assert made == [("test", True)]


def test_nobody_clears_what_they_stand_on(made, monkeypatch):
    """Started by .venv's own Python, packages are only installed."""
    monkeypatch.setattr(bootstrap, "is_inside", lambda: True)
    bootstrap.make_ready("")
    assert made == [("", False)]


def test_a_failed_install_leaves_no_stamp(venv, monkeypatch):
    """The next start tries again."""
    monkeypatch.setattr(bootstrap, "install", lambda extra, afresh: bootstrap.stop("no network"))
    bootstrap.STAMP.write_text("\n".join(bootstrap.wanted_stamp("")), "utf-8")
    with pytest.raises(SystemExit):
        bootstrap.make_ready("test")
    assert bootstrap.read_stamp() == []


@pytest.mark.skipif(os.name == "nt", reason="Windows locks in another way")
def test_one_start_at_a_time(made):
    """The second waits for the first, and finds that nothing is left to do."""
    import fcntl
    import threading
    with open(f"{bootstrap.VENV}.lock", "a") as first:
        fcntl.flock(first, fcntl.LOCK_EX)
        second = threading.Thread(target=bootstrap.make_ready, args=("",))
        second.start()
        second.join(0.5)
        assert second.is_alive() and made == []
        bootstrap.STAMP.write_text("\n".join(bootstrap.wanted_stamp("")), "utf-8")
    second.join(10)
    assert not second.is_alive() and made == []


# ---------------------------------------------------------------- what failed, in words

@pytest.mark.parametrize("afresh, output, says", [
    (True, "No module named venv", "is its module venv missing"),
    (False, "No module named pip", "has no pip of 22.3 or newer: install it"),
    (False, "no such option: --python", "has no pip of 22.3 or newer: install it"),
    (False, "ERROR: No version that satisfies x==1 (from versions: none)", "is there a network?"),
])
def test_what_failed_is_said(venv, monkeypatch, capsys, afresh, output, says):
    """The last lines of the program that failed, then a sentence; exit code 1."""
    monkeypatch.setattr(subprocess, "run", lambda command, **more: subprocess.CompletedProcess(
        command, 1, output.encode()))
    with pytest.raises(SystemExit) as end:
        bootstrap.install("", afresh)
    assert end.value.code == 1
    *before, last = capsys.readouterr().err.splitlines()
    assert before[-1].strip() == output and says in last


def test_a_file_in_the_place_of_the_environment_is_explained(clone):
    """The file stays."""
    (clone / ".venv").touch()
    done = start(clone, "build")
    assert done.returncode == 1 and "or a file in the way?" in done.stderr.splitlines()[-1]
    assert (clone / ".venv").is_file()


def test_a_folder_that_cannot_be_written_is_explained(venv, monkeypatch, capsys):
    """Its name and the reason."""
    monkeypatch.setattr(bootstrap, "VENV", venv / "missing/.venv")
    with pytest.raises(SystemExit):
        bootstrap.start(["build"])
    assert "missing/.venv.lock: No such file" in capsys.readouterr().err


# ---------------------------------------------------------------- going on inside

@pytest.mark.skipif(os.name == "nt", reason="the stand-in is a shell script")
def test_a_ready_environment_gets_the_command_and_its_arguments(venv):
    """With a shell script in the place of .venv's Python; other environments don't reach in."""
    bootstrap.PYTHON.write_text('#!/bin/sh\nprintf "<%s>" "$@" "$PYTHONPATH"; exit 7\n')
    bootstrap.PYTHON.chmod(0o755)
    bootstrap.STAMP.write_text("\n".join(bootstrap.wanted_stamp("")), "utf-8")
    done = start(venv.parent, "limits", "a b", "ü", "3 V", PYTHONPATH="/elsewhere")
    assert done.stdout == "<-m><builder><limits><a b><ü><3 V><>"
    assert (done.returncode, done.stderr) == (7, "")


def test_ctrl_c_ends_without_a_traceback(clone):
    """Exit code 130, as a shell has it."""
    (clone / "pyproject.toml").unlink()  # as in an installed copy, which runs where it is
    with open(clone / "builder/cli/__init__.py", "a") as file:
        file.write("\n\ndef serve(asked):\n    raise KeyboardInterrupt\n")
    done = start(clone, "serve")
    assert (done.returncode, done.stdout, done.stderr) == (130, "", "")


# ---------------------------------------------------------------- the pins

def pins():
    for line in (ROOT / "builder/constraints.txt").read_text("utf-8").splitlines():
        if line and not line.startswith("#"):
            name, version = line.split("==")
            yield canonicalize_name(name), version


def test_every_dependency_is_pinned_within_its_range():
    """What runs is what was tested."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    pinned = dict(pins())
    for text in project["dependencies"] + project["optional-dependencies"]["test"]:
        needed = Requirement(text)
        assert needed.specifier.contains(pinned[canonicalize_name(needed.name)]), text


def test_the_pins_run_on_every_python_3_11():
    """Some releases ask for a later 3.11 than the 3.11.2 of Debian 12."""
    installed = {canonicalize_name(item.name): item for item in metadata.distributions()}
    for name, version in pins():
        item = installed.get(name)
        if item is not None and item.version == version:
            needs = item.metadata.get("Requires-Python") or ""
            assert SpecifierSet(needs).contains("3.11.0"), name
