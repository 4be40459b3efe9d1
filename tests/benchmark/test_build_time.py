"""The benchmark compares what it says, and prints its ratios. How large they are is for a quiet
machine, not for a test."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.conftest import Element, files_in, parse

SCRIPT = Path(__file__).with_name("build_time.py")
SHEETS = ["procedures/dunlin-60-0-yearly.html", "procedures/turnstone-c-1-yearly.html",
          "procedures/whimbrel-200-2-yearly.html"]
LIMITS = ("from", "to", "pm", "apply")
pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def kept(tmp_path_factory) -> tuple[str, Path]:
    """What the benchmark prints for three procedures and one run, and where its projects are."""
    folder = tmp_path_factory.mktemp("benchmark")
    done = subprocess.run([sys.executable, str(SCRIPT), "--sizes", "3", "--runs", "1",
                           "--keep", str(folder)],
                          stdin=subprocess.DEVNULL, capture_output=True, text=True,
                          encoding="utf-8", timeout=600)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout, folder / "3"


def pages(project: Path) -> list[str]:
    return [name for name in files_in(project / "site")
            if name.endswith(".html") and name != "404.html"]


def page(project: Path, name: str) -> Element:
    return parse((project / "site" / name).read_text(encoding="utf-8"))


def test_it_prints_its_ratios(kept):
    """Each ratio is that of the numbers above it, as far as those are printed."""
    said, _ = kept
    assert said.startswith("3 procedures  ")
    numbers = {line[:20].strip(): [float(one) for one in line[20:].split()]
               for line in said.splitlines()[1:]}
    assert list(numbers) == ["ours", "by hand", "floor", "ours / by hand", "ours / floor"]
    for name in ("by hand", "floor"):
        for mine, other, ratio in zip(numbers["ours"], numbers[name], numbers[f"ours / {name}"],
                                      strict=True):
            assert (mine - 0.05) / (other + 0.05) - 0.005 <= ratio
            assert ratio <= (mine + 0.05) / (other - 0.05) + 0.005


def test_each_has_the_pages_that_it_should(kept):
    _, folder = kept
    few = sorted(["by-meter.html", "index.html", "safety.html", "using.html", *SHEETS])
    assert pages(folder / "by-hand") == pages(folder / "floor") == few
    ours = pages(folder / "ours")
    assert set(few) <= set(ours)
    assert [name for name in ours if name.startswith("procedures/")] == [
        "procedures/as-begun_.html", *SHEETS]
    assert sum(name.startswith("evidence/") for name in ours) == len(SHEETS)


def test_the_list_leads_to_each_sheet_and_the_menu_to_none(kept):
    _, folder = kept
    links = [link["href"] for link in page(folder / "by-hand", "by-meter.html").all("a")]
    assert sorted(link for link in links if link and link.startswith("procedures/")) == SHEETS


@pytest.mark.parametrize("name", SHEETS)
def test_the_sheets_by_hand_have_our_limits(kept, name):
    _, folder = kept
    ours, by_hand = (page(folder / one, name) for one in ("ours", "by-hand"))
    for column in LIMITS:
        cells = [cell.text for cell in ours.all(f"td.{column}")]
        assert len(cells) > 20
        assert [cell.text for cell in by_hand.all(f"td.{column}")] == cells
    assert len(by_hand.all("table")) == len(ours.all("table"))
    assert [one.text for one in by_hand.all("h2")] == [one.text for one in ours.all("h2")]


@pytest.mark.parametrize("name", SHEETS)
def test_the_floor_has_headings_only(kept, name):
    _, folder = kept
    (article,) = page(folder / "floor", name).all("article")
    (heading,) = page(folder / "ours", name).all("h1")
    assert article.text == article.one("h1").text == heading.text


def test_no_two_procedures_have_the_same_limits(tmp_path):
    """Two of one demo plan: what is computed for one is not found again for the other."""
    from tests.benchmark.build_time import write_procedure
    for number in (0, 3):
        write_procedure(tmp_path, number)
    one, other = (re.sub(r"-[03]\b", "", (tmp_path / f"plans/dunlin-60-{number}-yearly.yaml")
                         .read_text(encoding="utf-8")) for number in (0, 3))
    assert one != other
    one, other = (re.findall(r"within: ([\d.]+) %", (tmp_path / f"meters/dunlin-60-{number}.yaml")
                             .read_text(encoding="utf-8")) for number in (0, 3))
    assert len(one) > 10
    assert sum(a != b for a, b in zip(one, other, strict=True)) > len(one) // 2
