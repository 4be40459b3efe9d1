"""The one writer of SVG."""

import ast
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

import builder
from builder.drawing.svg import Drawing, element, shown

ROOT = Path(builder.__file__).parent


@pytest.mark.parametrize("value, text", [(3, "3"), (3.0, "3"), (2.96, "3"), (0.25, "0.2"),
                                         (-1.5, "-1.5"), (-0.04, "0"), (-0.0, "0")])
def test_numbers_have_a_tenth_at_most(value, text):
    """Zero has no sign."""
    assert shown(value) == text


def test_whatever_a_file_says_stays_text():
    """In an attribute as between two tags."""
    evil = '<b a="1">&\''
    to = Drawing()
    to.text(1, 2, evil, data_name=evil)
    root = ElementTree.fromstring(to.svg("plot", 10, 10, evil))
    assert root.get("aria-label") == root[0].get("data-name") == root[0].text == evil


def test_an_element_leaves_out_what_is_empty():
    """An attribute without a value, and the second tag of an element that holds nothing."""
    assert element("rect", {"class": "", "stroke_width": 0, "rx": 2}) == (
        '<rect stroke-width="0" rx="2"/>')
    assert element("text", {}, "") == "<text></text>"


def test_a_shape_has_the_pen_unless_it_brings_another():
    """Text has none of it."""
    to = Drawing(fill="none", stroke="currentColor")
    to.box(0, 0, 1, 1)
    to.circle(0, 0, 1, fill="currentColor")
    to.text(0, 0, "a")
    assert [(e.get("fill"), e.get("stroke")) for e in ElementTree.fromstring(
        to.svg("plot", 1, 1, "a"))] == [("none", "currentColor"), ("currentColor", "currentColor"),
                                        (None, None)]


def test_a_path_is_written_without_needless_spaces():
    """Of letters and numbers, or of pieces that are written already."""
    to = Drawing()
    to.path("M", 1.0, -2, "H", 3, "m0 -2.5v5")
    to.curve([(0, 0), (1.26, 2)], "Z")
    to.bent("lead", (0, 0), (20, 0), (20, 20))
    assert [re.search('d="(.*?)"', part)[1] for part in to.parts] == [
        "M1 -2H3m0 -2.5v5", "M0 0L1.3 2Z", "M0 0L15 0Q20 0 20 5L20 20"]


def test_nothing_else_writes_svg():
    """No other module of the builder holds a tag of a picture."""
    for path in ROOT.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                assert not re.search(r"<(svg|g|defs|pattern|rect|line|path|circle|text)\b",
                                     node.value), f"{path.name}:{node.lineno}"
