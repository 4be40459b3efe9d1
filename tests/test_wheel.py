"""The package as it is installed: what a wheel holds, and its console command."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import venv
import zipfile
from pathlib import Path

import pytest

import builder
from tests.conftest import ROOT

pytestmark = pytest.mark.slow


# The pip of the Python that .venv is made of, where there is none inside.
PIP = (getattr(sys, "_base_executable", None) or sys.executable, "-m", "pip")


def by(python: Path | str, *arguments: str, folder: Path) -> subprocess.CompletedProcess:
    """Runs a Python elsewhere, where it can't find this clone's modules."""
    return subprocess.run([python, *arguments], cwd=folder, capture_output=True, encoding="utf-8",
                          timeout=300, env=os.environ | {"PYTHONPATH": ""})


@pytest.fixture(scope="module")
def wheel(tmp_path_factory) -> Path:
    """Built from a copy, which building may write into; skipped where what builds it can't be
    fetched, but in CI."""
    folder = tmp_path_factory.mktemp("wheel")
    (folder / "source").mkdir()
    for name in ("pyproject.toml", "README.md"):
        shutil.copy(ROOT / name, folder / "source")
    shutil.copytree(ROOT / "builder", folder / "source/builder",
                    ignore=shutil.ignore_patterns("__pycache__"))
    done = by(*PIP, "wheel", "--no-deps", "-w", str(folder / "made"), str(folder / "source"),
              folder=folder)
    if done.returncode and "CI" not in os.environ and "setuptools==" in done.stderr:
        pytest.skip("the build backend can't be fetched")
    assert done.returncode == 0, done.stdout + done.stderr
    (made,) = (folder / "made").glob("*.whl")
    return made


def test_a_wheel_holds_everything(wheel):
    """Each module, template, asset and schema, and the pins; nothing from elsewhere."""
    with zipfile.ZipFile(wheel) as archive:
        held = {name for name in archive.namelist() if ".dist-info/" not in name}
        (about,) = (archive.read(name).decode() for name in archive.namelist()
                    if name.endswith(".dist-info/METADATA"))
    assert held == {path.relative_to(ROOT).as_posix() for path in (ROOT / "builder").rglob("*")
                    if path.is_file() and path.suffix != ".pyc"}
    assert f"\nVersion: {builder.__version__}\n" in about and "# Meter verification sheets" in about


def test_the_console_command_says_how_it_was_called(wheel, tmp_path):
    """Help needs no other package; messages have its own name."""
    venv.create(tmp_path / "env", with_pip=False)
    scripts = tmp_path / "env" / ("Scripts" if os.name == "nt" else "bin")
    done = by(*PIP, "--python", str(scripts / "python"), "install", "--no-deps", str(wheel),
              folder=tmp_path)
    assert done.returncode == 0, done.stdout + done.stderr
    command = scripts / "metersheets"
    done = subprocess.run([command, "--help"], cwd=tmp_path, capture_output=True, encoding="utf-8")
    assert done.returncode == 0 and done.stdout.startswith("usage: metersheets [-h]")
    done = subprocess.run([command, "blank"], cwd=tmp_path, capture_output=True, encoding="utf-8")
    assert done.returncode == 2 and done.stderr.startswith("usage: metersheets blank [-h]")
    done = by(scripts / "python", "-m", "builder", "--version", folder=tmp_path)
    assert done.stdout == builder.__version__ + "\n"
