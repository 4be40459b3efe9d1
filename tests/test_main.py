"""The start from a bare machine, without a network and without making an environment."""

import ast
import glob
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
BEFORE_ANYTHING_IS_INSTALLED = [ROOT / "builder/__init__.py", ROOT / "builder/__main__.py"]
OLD_PYTHONS = ["2.7", "3.6", "3.7", "3.8", "3.9", "3.10"]


@pytest.fixture
def clone(tmp_path):
    """As much of a fresh clone as the bootstrap looks at, in a path with blanks and accents."""
    root = (tmp_path / "méters of mine").resolve()
    (root / "builder").mkdir(parents=True)
    shutil.copy(ROOT / "pyproject.toml", root)
    for name in ("__init__.py", "__main__.py", "constraints.txt"):
        shutil.copy(ROOT / "builder" / name, root / "builder")
    return root


@pytest.fixture
def venv(clone, monkeypatch):
    """A .venv in the clone that this process takes for the one to look after."""
    venv = clone / ".venv"
    python = venv / bootstrap.VENV_PYTHON
    python.parent.mkdir(parents=True)
    python.touch()
    monkeypatch.setattr(bootstrap, "ROOT", str(clone))
    monkeypatch.setattr(bootstrap, "VENV", str(venv))
    return venv


def start(clone, *arguments, python=sys.executable, **variables):
    return subprocess.run(
        [python, "-B", "-m", "builder", *arguments],
        cwd=clone,
        env=os.environ | variables,
        capture_output=True,
        encoding="utf-8",
        timeout=60,
    )


def files_in(folder):
    return sorted(str(path.relative_to(folder)) for path in folder.rglob("*"))


# What is read before anything is installed


@pytest.mark.parametrize("path", BEFORE_ANYTHING_IS_INSTALLED, ids=lambda path: path.name)
def test_imports_the_standard_library_only(path):
    imported = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            imported |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            imported.add(node.module)
    assert imported - sys.stdlib_module_names <= {"builder", "builder.cli"}


@pytest.mark.parametrize("path", BEFORE_ANYTHING_IS_INSTALLED, ids=lambda path: path.name)
def test_keeps_to_old_syntax(path):
    """What is easily written by habit and ends in a syntax error on an old Python."""
    newer = (ast.JoinedStr, ast.AnnAssign, ast.NamedExpr, ast.Nonlocal, ast.YieldFrom)
    newer += (ast.AsyncFunctionDef, ast.Match, ast.Starred)
    text = path.read_text("ascii")  # Python 2 refuses anything else without a declaration
    for node in ast.walk(ast.parse(text)):
        assert not isinstance(node, newer), f"line {node.lineno}"
        if isinstance(node, ast.arguments):
            assert not node.kwonlyargs and not node.posonlyargs
            assert not any(argument.annotation for argument in node.args)
        if isinstance(node, ast.FunctionDef):
            assert node.returns is None, f"line {node.lineno}"
        if isinstance(node, ast.Raise):
            assert node.cause is None, f"line {node.lineno}"


def old_python(version):
    """A Python of this version from the path or from pyenv, or None."""
    pyenv = os.environ.get("PYENV_ROOT") or os.path.expanduser("~/.pyenv")
    candidates = [shutil.which(f"python{version}")]
    candidates += glob.glob(f"{pyenv}/versions/{version}.*/bin/python")
    for python in filter(None, candidates):
        code = "import sys; print('%d.%d' % sys.version_info[:2])"
        answer = subprocess.run([python, "-c", code], capture_output=True, text=True)
        if answer.stdout.strip() == version:  # pyenv's own python3.6 may answer without running
            return python
    return None


@pytest.mark.parametrize("version", OLD_PYTHONS)
def test_a_real_old_python_gets_one_sentence(clone, version):
    python = old_python(version)
    if python is None:
        pytest.skip(f"no Python {version} on this machine")
    done = start(clone, "build", python=python)
    assert done.returncode == 2
    assert re.fullmatch(
        rf"builder: needs Python 3\.11 or newer, and this is Python {version}\.\d+ \(.+\)\.\n",
        done.stderr,
    )
    assert done.stdout == ""


def test_an_old_python_is_told_what_was_found_and_what_is_wanted(monkeypatch, capsys):
    monkeypatch.setattr(sys, "version_info", (3, 10, 4, "final", 0))
    with pytest.raises(SystemExit) as end:
        bootstrap.start(["build"])
    assert end.value.code == 2
    assert "needs Python 3.11 or newer, and this is Python 3.10.4" in capsys.readouterr().err


# What installs nothing


@pytest.mark.parametrize(
    "arguments, code",
    [("", 2), ("-h", 0), ("--help", 0), ("build --help", 0), ("test -h", 0)],
)
def test_help_installs_nothing(clone, arguments, code):
    before = files_in(clone)
    done = start(clone, *arguments.split())
    assert (done.returncode, done.stderr) == (code, "")
    for name, _, _ in builder.COMMANDS:
        assert f"\n  {name} " in done.stdout
    assert files_in(clone) == before


def test_version_installs_nothing(clone):
    before = files_in(clone)
    assert start(clone, "--version").stdout == builder.__version__ + "\n"
    assert files_in(clone) == before


@pytest.mark.parametrize(
    "word, hint",
    [("biuld", "did you mean 'build'?"), ("xyzzy", "there are build, serve, test, ")],
)
def test_an_unknown_command_is_refused_before_anything_is_installed(clone, word, hint):
    before = files_in(clone)
    done = start(clone, word)
    assert done.returncode == 2
    assert f"unknown command '{word}': {hint}" in done.stderr
    assert files_in(clone) == before


def test_starts_by_the_folder_too(clone, tmp_path):
    """`python3 path/to/builder -h`, from anywhere."""
    done = subprocess.run(
        [sys.executable, "-B", clone / "builder", "-h"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
    )
    assert done.stdout.startswith("usage: ")


# The stamp


def test_a_stamp_of_the_same_start_is_fresh(clone):
    wanted = bootstrap.wanted_stamp(str(clone), "")
    assert bootstrap.differences(dict(wanted), wanted) == set()


@pytest.mark.parametrize("name", bootstrap.INPUTS)
def test_a_changed_input_makes_it_stale(clone, name):
    stamp = bootstrap.wanted_stamp(str(clone), "")
    with open(clone / name, "a", encoding="utf-8") as file:
        file.write("# changed\n")
    assert bootstrap.differences(stamp, bootstrap.wanted_stamp(str(clone), "")) == {"inputs"}


def test_a_copied_clone_does_not_take_the_stamp_for_its_own(clone, tmp_path):
    stamp = bootstrap.wanted_stamp(str(clone), "")
    copy = shutil.copytree(clone, tmp_path / "copy")
    assert bootstrap.differences(stamp, bootstrap.wanted_stamp(str(copy), "")) == {"root"}


def test_another_python_makes_it_stale(clone, monkeypatch):
    stamp = bootstrap.wanted_stamp(str(clone), "")
    monkeypatch.setattr(sys, "base_prefix", str(clone))
    assert bootstrap.differences(stamp, bootstrap.wanted_stamp(str(clone), "")) == {"python"}


@pytest.mark.parametrize(
    "has, needs, stale",
    [("", "", set()), ("test", "test", set()), ("test", "", set()), ("", "test", {"extra"})],
)
def test_the_test_packages_do_for_every_command(clone, has, needs, stale):
    stamp = bootstrap.wanted_stamp(str(clone), has)
    assert bootstrap.differences(stamp, bootstrap.wanted_stamp(str(clone), needs)) == stale


@pytest.mark.parametrize("text", ["", '{"root": "/cut', "[1]", "null"])
def test_a_stamp_that_cannot_be_read_counts_as_none(venv, text):
    (venv / bootstrap.STAMP).write_text(text)
    assert bootstrap.read_stamp(str(venv)) == {}


def test_a_stamp_without_its_python_counts_as_none(venv):
    bootstrap.write_stamp({"extra": ""})
    assert bootstrap.read_stamp(str(venv)) == {"extra": ""}
    (venv / bootstrap.VENV_PYTHON).unlink()
    assert bootstrap.read_stamp(str(venv)) == {}


# What a refresh does


@pytest.fixture
def deeds(venv, monkeypatch):
    """What refresh() did, instead of it being done; True where a stamp stood meanwhile."""
    deeds = []

    def note(*words):
        deeds.append((*words, (venv / bootstrap.STAMP).exists()))

    monkeypatch.setattr(bootstrap, "make_venv", lambda: note("make"))
    monkeypatch.setattr(bootstrap, "install", lambda extra, moved: note("install", extra, moved))
    monkeypatch.setattr(bootstrap, "is_inside", lambda: False)
    return deeds


def wanted_here(extra=""):
    return bootstrap.wanted_stamp(bootstrap.ROOT, extra)


def test_refresh_makes_everything_where_there_is_nothing(deeds):
    bootstrap.refresh({}, wanted_here("test"))
    assert deeds == [("make", False), ("install", "test", True, False)]
    assert bootstrap.read_stamp(bootstrap.VENV) == wanted_here("test")


def test_refresh_does_nothing_where_another_start_did_it(deeds):
    bootstrap.refresh(wanted_here("test"), wanted_here())
    assert deeds == []


def test_refresh_only_adds_the_missing_test_packages(deeds):
    bootstrap.write_stamp(wanted_here())
    bootstrap.refresh(wanted_here(), wanted_here("test"))
    assert deeds == [("install", "test", False, False)]
    assert bootstrap.read_stamp(bootstrap.VENV) == wanted_here("test")


def test_refresh_keeps_the_test_packages(deeds):
    stamp = wanted_here("test") | {"inputs": "older"}
    bootstrap.write_stamp(stamp)
    bootstrap.refresh(stamp, wanted_here())
    assert deeds == [("make", False), ("install", "test", False, False)]
    assert bootstrap.read_stamp(bootstrap.VENV)["extra"] == "test"


def test_refresh_from_inside_clears_nothing(deeds, monkeypatch):
    monkeypatch.setattr(bootstrap, "is_inside", lambda: True)
    stamp = wanted_here() | {"root": "/elsewhere"}
    bootstrap.write_stamp(stamp)
    bootstrap.refresh(stamp, wanted_here())
    assert deeds == [("install", "", True, False)]


@pytest.mark.parametrize("older, left", [({}, True), ({"inputs": "older"}, False)])
def test_a_failed_install_leaves_a_stamp_only_where_nothing_was_cleared(
    deeds, monkeypatch, older, left
):
    monkeypatch.setattr(bootstrap, "install", lambda extra, moved: bootstrap.stop("no network"))
    stamp = wanted_here() | older
    bootstrap.write_stamp(stamp)
    with pytest.raises(SystemExit):
        bootstrap.refresh(stamp, wanted_here("test"))
    assert bootstrap.read_stamp(bootstrap.VENV) == (stamp if left else {})


def test_pip_that_reaches_nothing_is_explained(venv, monkeypatch, capsys):
    said = "ERROR: Could not find a version that satisfies x==1 (from versions: none)"
    monkeypatch.setattr(bootstrap, "find_pip", lambda: ["pip"])
    monkeypatch.setattr(bootstrap, "quietly", lambda command: (1, said))
    with pytest.raises(SystemExit) as end:
        bootstrap.install("", moved=False)
    assert end.value.code == 1
    lines = capsys.readouterr().err.splitlines()
    assert lines[-2].strip() == said
    assert "is there a network?" in lines[-1]


def test_no_pip_anywhere_is_explained(venv, monkeypatch, capsys):
    monkeypatch.setattr(bootstrap, "quietly", lambda command: (1, "No module named pip"))
    with pytest.raises(SystemExit):
        bootstrap.find_pip()
    assert "has no pip: install it" in capsys.readouterr().err


def test_an_outside_pip_does_where_the_environment_has_none(venv, monkeypatch):
    inner = str(venv / bootstrap.VENV_PYTHON)
    monkeypatch.setattr(bootstrap, "quietly", lambda command: (int(command[0] == inner), ""))
    assert bootstrap.find_pip() == [sys.executable, "-m", "pip", "--python", inner]


def test_a_file_in_the_place_of_the_environment_is_explained(clone):
    (clone / ".venv").touch()
    done = start(clone, "build")
    assert done.returncode == 1
    assert re.fullmatch(r"builder: .+\.venv is not a folder: move it away, .+\n", done.stderr)


def test_a_folder_that_cannot_be_written_is_explained(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(bootstrap, "VENV", str(tmp_path / "missing" / ".venv"))
    with pytest.raises(SystemExit), bootstrap.locked():
        pass
    assert "cannot write in " in capsys.readouterr().err


def test_one_start_at_a_time(venv):
    with bootstrap.locked(), open(f"{venv}.lock", "a") as other:
        assert not bootstrap.try_lock(other)
    with open(f"{venv}.lock", "a") as other:
        assert bootstrap.try_lock(other)


# Going on inside


def test_other_environments_do_not_reach_in():
    kept = {"PATH": "/bin", "PIP_INDEX_URL": "https://mirror.example/simple", "HTTPS_PROXY": "p"}
    dropped = {"PYTHONPATH": "/x", "VIRTUAL_ENV": "/x", "PIP_TARGET": "/x", "PIP_USER": "1"}
    assert bootstrap.clean_environment(kept | dropped) == kept


@pytest.mark.skipif(os.name == "nt", reason="the stand-in is a shell script")
def test_a_ready_environment_gets_the_command_and_its_arguments(venv):
    """With a shell script in the place of .venv's Python."""
    python = venv / bootstrap.VENV_PYTHON
    python.write_text('#!/bin/sh\nprintf "<%s>" "$@" "$PYTHONPATH"; exit 7\n')
    python.chmod(0o755)
    bootstrap.write_stamp(wanted_here())
    done = start(venv.parent, "limits", "a b", "ü", PYTHONPATH="/elsewhere")
    assert done.stdout == "<-m><builder><limits><a b><ü><>"
    assert (done.returncode, done.stderr) == (7, "")


def test_ctrl_c_ends_without_a_traceback(clone):
    (clone / "pyproject.toml").unlink()  # as in an installed copy, which runs where it is
    (clone / "builder/cli.py").write_text("def main(argv):\n    raise KeyboardInterrupt\n")
    done = start(clone, "serve")
    assert (done.returncode, done.stdout, done.stderr) == (130, "", "")


# The pins


def pins():
    for line in (ROOT / "builder/constraints.txt").read_text("utf-8").splitlines():
        if line and not line.startswith("#"):
            name, version = line.split("==")
            yield canonicalize_name(name), version


def test_every_dependency_is_pinned_within_its_range():
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
