"""The files of a workshop that a double click starts. Those for Linux and Mac run here; of that for
Windows only what can be read is held."""

import ast
import importlib.util
import os
import shutil
import subprocess
import sys

import pytest

from builder.own_shop import backup, new_shop

BUILDER = "import os, sys\nprint(sys.argv[1:], os.getcwd(), sep='\\n')\nsys.exit(len(sys.argv))\n"


@pytest.fixture
def shop(tmp_path):
    """As much of one as its start looks at, in a path with blanks, an umlaut and an apostrophe."""
    folder = tmp_path / "méine Prüfstelle 'Süd'"
    folder.mkdir()
    new_shop._starters(folder)
    (folder / "requirements.txt").write_text("./tool-1.whl\n")
    return folder


@pytest.fixture
def start(shop, monkeypatch):
    """Its start.py in this process. What it runs is noted; `start.fails` is part of a command that
    goes wrong."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(shop.parent / "cache"))
    spec = importlib.util.spec_from_file_location("start_of_a_shop", shop / "start.py")
    made = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(made)
    made.ran, made.fails = [], "nothing"

    def call(command, **more):
        made.ran.append(" ".join(map(str, command)))
        if "venv" in command:
            python = os.path.join(command[-1], "bin", "python")
            os.makedirs(os.path.dirname(python), exist_ok=True)
            open(python, "w").close()
        return int(made.fails in made.ran[-1])
    monkeypatch.setattr(made.subprocess, "call", call)
    monkeypatch.setattr(made.subprocess, "check_output", lambda *_, **more: b"/pins.txt\n")
    return made


def with_packages(shop):
    (shop / "packages/builder").mkdir(parents=True)
    (shop / "packages/builder/__init__.py").touch()
    (shop / "packages/builder/__main__.py").write_text(BUILDER)
    (shop / backup.MADE_FOR).write_text(backup.made_for() + "\n")


@pytest.mark.skipif(os.name == "nt", reason="shell scripts")
@pytest.mark.parametrize("name", ["start.sh", "start.command"])
@pytest.mark.parametrize("words, ran, code", [([], ["serve", "--open"], 1), (["check"], ["check"],
                                                                             1)])
def test_a_backup_starts_by_its_own_packages(shop, name, words, ran, code):
    """From any folder, without an environment; other environments don't reach in."""
    with_packages(shop)
    done = subprocess.run([shop / name, *words], cwd="/", capture_output=True, encoding="utf-8",
                          stdin=subprocess.DEVNULL, env=os.environ | {
                              "PYTHONPATH": "/elsewhere", "PATH": os.path.dirname(sys.executable)
                              + os.pathsep + os.environ["PATH"]})
    assert done.stdout.splitlines() == [str(ran), str(shop)], done.stderr
    assert done.returncode == code


def test_packages_for_another_python_are_not_tried(shop):
    """A sentence names both, and the way out; exit code 1."""
    with_packages(shop)
    (shop / backup.MADE_FOR).write_text("Python 3.9 on win32\n")
    done = subprocess.run([sys.executable, shop / "start.py"], capture_output=True,
                          encoding="utf-8")
    assert done.returncode == 1 and done.stdout == ""
    assert "was made for Python 3.9 on win32, and this is Python 3." in done.stderr
    assert "delete that folder" in done.stderr


def test_it_installs_once_outside_of_the_shop(start, shop):
    """The tool first, then its packages at the versions that it was tested with. The next start
    installs nothing."""
    assert start.main([]) == 0
    made, alone, rest, run = start.ran
    assert "-m venv" in made and str(shop) not in made
    assert alone.endswith("--no-deps -r " + str(shop / "requirements.txt"))
    assert rest.endswith("-c /pins.txt -r " + str(shop / "requirements.txt"))
    assert run.endswith("-m builder serve --open")
    assert start.main(["check"]) == 0 and start.ran[4:] == [run.replace("serve --open", "check")]
    assert set(os.listdir(shop)) - {"__pycache__"} == {
        "requirements.txt", ".gitignore", "start.bat", "start.command", "start.py", "start.sh"}


def test_another_version_takes_the_place_of_the_last_one_once_it_is_whole(start, shop):
    """Where it can't be installed, the last line brings back the last version without a
    network."""
    start.main([])
    (last,) = [one for one in start.home().iterdir() if one.is_dir()]
    (shop / "requirements.txt").write_text("./tool-2.whl\n")
    start.fails = "--no-deps"
    with pytest.raises(SystemExit):
        start.main([])
    assert last.is_dir()
    (shop / "requirements.txt").write_text("./tool-1.whl\n")
    start.ran.clear()
    assert start.main([]) == 0 and len(start.ran) == 1
    start.fails = "nothing"
    (shop / "requirements.txt").write_text("./tool-2.whl\n")
    assert start.main([]) == 0 and not last.exists()


def test_one_start_at_a_time_installs(start, shop, capsys):
    """The second says so and ends."""
    import fcntl
    start.home().mkdir(parents=True)
    with open(start.home() / (start.hashed(str(shop)) + ".lock"), "a+") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        with pytest.raises(SystemExit):
            start.main([])
    assert start.ran == [] and "wait for that one" in capsys.readouterr().err


def test_an_old_python_gets_a_sentence(start, shop, monkeypatch, capsys):
    """It can read the file to its end: the syntax is that of Python 3.6."""
    ast.parse((shop / "start.py").read_text("utf-8"), feature_version=(3, 6))
    monkeypatch.setattr(start.sys, "version_info", (3, 10, 4))
    with pytest.raises(SystemExit):
        start.main([])
    assert "needs Python 3.11 or newer" in capsys.readouterr().err and start.ran == []


def test_the_windows_file_can_be_read_by_windows(shop):
    """Lines end as they do there, every sign is plain, and no path stands without quotation marks.
    Nobody has run it."""
    text = (shop / "start.bat").read_bytes()
    assert text.isascii() and text.count(b"\n") == text.count(b"\r\n") > 5
    assert b'cd /d "%~dp0"' in text and b"py -3 start.py %*" in text


@pytest.mark.skipif(not shutil.which("sh"), reason="no shell")
def test_the_shell_files_are_right_and_may_be_run(shop):
    for name in ("start.sh", "start.command"):
        assert subprocess.run(["sh", "-n", shop / name]).returncode == 0
        assert os.access(shop / name, os.X_OK)
