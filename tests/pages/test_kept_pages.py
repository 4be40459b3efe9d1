"""Builds with what an earlier one kept: the same site, byte by byte, and less work."""

import os
import shutil
import subprocess
import sys

import pytest

from builder.files.kept_texts import FOLDER
from builder.procedure import assemble
from tests import small_shop as shop
from tests.conftest import Project, files_in

VOLTS = shop.function("DC voltage", shop.range_("6 V", "1 mV", "0.4 % + 2 counts"), dial="V DC")
SMALL = {"meter": shop.meter(VOLTS), "standard": shop.standard(),
         "plan": shop.plan({"function": "DC voltage", "apply": ["3 V", "-3 V"]})}


def entries(made):
    return sorted(path for path in (made.root / FOLDER).glob("??/*"))


def damaged(made):
    for n, path in enumerate(entries(made)):
        content = path.read_bytes()
        path.write_bytes(content[:n % len(content)] if n % 2 else b"0" * 64 + b"null")


def foreign(made):
    """Each entry under the name of another."""
    paths = entries(made)
    contents = [path.read_bytes() for path in paths]
    for path, content in zip(paths, contents[1:] + contents[:1], strict=True):
        path.write_bytes(content[:64] + b" " + content[64:])


def gone(made):
    shutil.rmtree(made.root / ".cache")


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    made = Project(tmp_path_factory.mktemp("kept"), address="https://sheets.example/shop/",
                   all_sets=True)
    made.write(**SMALL).build()
    return made, made.files()


def test_a_second_build_computes_nothing(built, monkeypatch):
    made, first = built
    monkeypatch.setattr(assemble, "compute", lambda *given: pytest.fail("computed"))
    before = entries(made)
    assert made.build().files() == first
    assert entries(made) == before


@pytest.mark.parametrize("spoil", [damaged, foreign, gone])
def test_whatever_becomes_of_it_the_site_is_the_same(built, spoil):
    made, first = built
    spoil(made)
    assert made.build().files() == first


OTHER = {"PYTHONHASHSEED": "5", "TZ": "Pacific/Kiritimati", "LC_ALL": "C", "PYTHONUTF8": "0",
         "PYTHONCOERCECLOCALE": "0"}


def test_two_builds_at_once_elsewhere_make_the_same(built, tmp_path):
    """From nothing and both at work in one cache, then one more from what they kept: other orders
    of hashes, another zone, another locale."""
    made, first = built
    gone(made)

    def start(name, **variables):
        return subprocess.Popen([sys.executable, "-m", "mkdocs", "build", "--strict", "--quiet",
                                 "--site-dir", str(tmp_path / name)], cwd=made.root,
                                env=os.environ | {"PYTHONHASHSEED": "1"} | variables)

    both = [start("one"), start("two", **OTHER)]
    assert [one.wait(timeout=240) for one in both] == [0, 0]
    assert start("three", **OTHER).wait(timeout=240) == 0
    for name in ("one", "two", "three"):
        assert files_in(tmp_path / name) == first


def test_what_is_not_asked_for_any_more_goes(built):
    made, _ = built
    path = made.procedures / "plans/lapwing-yearly.yaml"
    text, before = path.read_text(encoding="utf-8"), set(entries(made))
    path.write_text(text.replace("\n", "\n# another\n", 1), encoding="utf-8")
    made.build()
    changed = set(entries(made))
    assert before - changed and changed - before
    path.write_text(text, encoding="utf-8")
    made.build()
    assert set(entries(made)) == before


def test_a_link_that_leads_nowhere_is_told_each_time(project):
    """What was converted while its links led somewhere doesn't hide that they no longer do."""
    made = project().write(**SMALL)
    made.build()
    target = made.root / "site_src/using.md"
    target.write_text("# How to use a sheet\n\n[x](lapwing.md)\n", encoding="utf-8")
    for _ in range(2):
        with pytest.raises(SystemExit):
            made.build()
