"""The layout of scripts, styles and templates: lines that fit beside one another on a screen, files
that fit into one look. The prose in templates/formats/ has a paragraph a line, as site_src/ has."""

from __future__ import annotations

import re

import pytest

from builder.pages import page_text, render

FILES = sorted([*(page_text.HERE / "assets").glob("*.*"),
                *(page_text.HERE / "templates").glob("*.*")])
FILES = [path for path in FILES if path.suffix != ".png"]
SCRIPTS = [path for path in FILES if path.suffix == ".js"]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_lines_hold_at_most_100_columns(path):
    assert {number: len(line)
            for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
            if len(line) > 100} == {}


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.name)
def test_a_script_has_less_than_300_lines(path):
    """It fits into one look."""
    assert len(path.read_text(encoding="utf-8").splitlines()) < 300


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.name)
def test_no_text_with_blanks_stands_in_the_place_of_another(path):
    """`…${`such as this`}…` would be served without its blanks: rjsmin takes it for code."""
    text = path.read_text(encoding="utf-8")
    assert re.findall(r"`[^`\n]*\$\{[^}`\n]*`[^`\n]* [^`\n]*`", text) == []


def test_every_script_and_style_is_served_once():
    """What stands in the folder is part of one served file; the worker and what registers it are
    written by `offline`, and a report's style stands in its page."""
    served = [part for parts in render.ASSETS.values() for part in parts
              if part not in render.TABLES]
    apart = ("offline.js", "sw.js", "sw_nowhere.js", "sw_share.js", "report.css")
    assert sorted([*served, *apart]) == sorted(
        path.name for path in FILES if path.suffix in (".js", ".css"))
