"""The page on what pages look like, against the style sheets that it is about."""

from __future__ import annotations

import re

import pytest

from builder.pages import look
from builder.pages.page_text import HERE
from tests.conftest import parse

STYLES = {path.name: path.read_text(encoding="utf-8") for path in (HERE / "assets").glob("*.css")}
SCREEN = {name: re.sub(r"@media print \{(?:[^{}]|\{[^{}]*\})*\}", "", text)
          for name, text in STYLES.items() if name != "bench_paper.css"}


def test_it_names_every_property_and_no_other():
    assert set(look.tokens()) == {*look.COLOURS, *look.SIZES}


def test_dark_pages_have_a_colour_of_their_own_for_each():
    assert {name for name, values in look.tokens().items() if len(values) == 2} == set(look.COLOURS)


@pytest.mark.parametrize("name", STYLES)
def test_what_is_used_is_declared(name):
    """A name with a slip would have no colour or no size, and nobody would be told."""
    used = set(re.findall(r"var\(--([a-z-]+)", STYLES[name]))
    declared = set(re.findall(r"--([a-z-]+):", "".join(STYLES.values())))
    assert used - declared == set()


@pytest.mark.parametrize("name", [name for name in SCREEN if name != "look.css"])
def test_no_other_style_sheet_names_a_colour_of_the_screen(name):
    """The ground of a code to scan is white, whatever the page is."""
    text = re.sub(r"\.scan svg \{[^}]*\}", "", SCREEN[name])
    assert re.findall(r"#[0-9a-f]{3,8}\b(?![^{]*\{)", text, re.I) == []


@pytest.mark.parametrize("name", STYLES)
def test_every_size_of_letters_is_one_of_the_scale(name):
    """On screen by its name, in drawings in their own units, on paper in points that can be
    read."""
    text = re.sub(r"/\*.*?\*/", "", STYLES[name], flags=re.S)
    sizes = re.findall(r"font-size: ?([^;}]+)", text)
    sizes += [one.split("/")[0].split()[-1] for one in re.findall(
        r"font: ?((?:(?:normal|bold|italic|[1-9]00) )*[^ ;}]+)", text)]
    usual = {"inherit", "1em", "100%", *(f"var(--{name})" for name in look.SIZES)}
    others = {one.removesuffix(" !important").strip() for one in sizes} - usual
    assert {one for one in others if not re.fullmatch(r"[\d.]+p[tx]", one)} == set()
    assert [one for one in others if one.endswith("pt") and float(one[:-2]) < 6.5] == []
    drawn = "".join(re.findall(r"[^{}]*svg[^{}]*\{[^{}]*\}", text))
    assert [one for one in others if one.endswith("px") and one not in drawn] == []


def test_it_shows_every_kind_of_chip_and_every_mark_of_a_band():
    page = parse(look.page())
    assert {one["class"] for one in page.all("b.chip")} == {
        f"chip {kind}" for kind in ("good", "bad", "soon", "open")}
    marks = {name for one in page.all() for name in one.classes if name.startswith("at-")}
    assert {"at-inside", "at-outside", "at-above"} <= marks and len(page.all("svg.band")) == 5
