"""Which shop a command works on, from wherever it is called."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from builder.cli import shop_folder
from tests import small_shop as shop
from tests.conftest import ROOT


@pytest.fixture
def two(tmp_path) -> Path:
    """A shop, and another one below it whose meter is half as good."""
    for folder, accuracy in ((tmp_path, "0.5 % + 2 counts"),
                             (tmp_path / "below", "1 % + 2 counts")):
        one = shop.function("DC voltage", shop.range_("6 V", "1 mV", accuracy))
        shop.write(folder, {"mkdocs.yml": "site_name: Invented\n"})
        shop.write(folder / "procedures", {
            "meters/lapwing-1.yaml": shop.meter(one), "standards/petrel.yaml": shop.standard()})
    return tmp_path


def called(folder: Path, *arguments: str) -> subprocess.CompletedProcess:
    """A command as a program, called in a folder."""
    return subprocess.run(
        [sys.executable, "-c",
         "import sys; from builder import cli; sys.exit(cli.main(sys.argv[1:]))", *arguments],
        cwd=folder, capture_output=True, encoding="utf-8",
        env=os.environ | {"PYTHONPATH": str(ROOT)})


ASKED = ("limits", "lapwing-1", "DC voltage", "3 V")
WIDE, NARROW = "2.968\u00a0V", "2.983\u00a0V"


def test_the_nearest_upwards(two):
    """The folder itself, one above it, and the nearer of two; a folder with one of both is none."""
    assert shop_folder.nearest(two) == shop_folder.nearest(two / "procedures/meters") == two
    assert shop_folder.nearest(two / "below/procedures") == two / "below"
    (two / "below/mkdocs.yml").unlink()
    assert shop_folder.nearest(two / "below/procedures") == two
    (two / "mkdocs.yml").unlink()
    assert not shop_folder.is_shop(two) and shop_folder.nearest(two) is None


@pytest.mark.parametrize("inside, low", [
    (".", NARROW), ("procedures/meters", NARROW), ("below", WIDE),
    ("below/procedures/standards", WIDE)])
def test_a_command_works_on_the_nearest_shop(inside, low, two):
    """3 V by 0.5 % or by 1 %, from wherever below it is asked."""
    done = called(two / inside, *ASKED)
    assert done.returncode == 0 and low in done.stdout, done.stderr


def test_every_command_works_on_the_same_shop(two):
    """What one writes, another one finds; a relative folder is meant from where it is called."""
    here = two / "below/procedures"
    done = called(here, "draft", "lapwing-1", "petrel")
    assert done.returncode == 0, done.stderr
    (made,) = (here / "plans").iterdir()
    assert not (two / "procedures/plans").exists() and made.stem == "lapwing-1-draft"
    done = called(two, "check", "--shop", "below")
    assert "1 plan(s), 1 meter(s)" in done.stdout, done.stdout + done.stderr
    assert "0 plan(s), 1 meter(s)" in called(two, "check").stdout
    done = called(ROOT, "new-meter", "lapwing-2", "--kind", "pocket", "--shop", str(two))
    assert done.returncode == 0 and (two / "procedures/meters/lapwing-2.yaml").exists()


def test_the_named_shop_before_the_command_or_after_it(two):
    """In either place it is the one worked on, whatever lies nearer."""
    for words in (("--shop", str(two), *ASKED), (*ASKED, "--shop", str(two))):
        done = called(two / "below", *words)
        assert done.returncode == 0 and NARROW in done.stdout, done.stderr


@pytest.mark.parametrize("name", ["nowhere", "procedures", "mkdocs.yml"])
def test_a_folder_that_is_no_shop_is_wrong_usage(name, two):
    """A name that isn't there, a folder without both, a file."""
    done = called(two, *ASKED, "--shop", name)
    assert done.returncode == 2 and done.stdout == ""
    assert f"'{name}' is no shop: a shop's folder holds mkdocs.yml and procedures/" in done.stderr


def test_a_clone_has_a_shop_of_its_own(tmp_path):
    """Called where there is none, it works on the clone's."""
    done = called(tmp_path, "limits", "dunlin-60", "DC voltage", "3 V")
    assert done.returncode == 0, done.stderr


def test_tests_and_lint_are_about_the_builder(two):
    """They take no shop."""
    done = called(two, "lint", "--shop", str(two))
    assert done.returncode == 2 and "unrecognized arguments: --shop" in done.stderr
