"""One thing has one name, in all that anybody may read."""

import functools
import re

import pytest

from builder.files import yaml_text
from tests.conftest import ROOT
from tests.said import texts
from tests.words import ALLOWED, INSTEAD



@functools.cache
def every_text() -> list[tuple[str, str]]:
    return list(texts())


def stands(word: str) -> list[tuple[str, str]]:
    return [(where, text) for where, text in every_text()
            if re.search(rf"\b(?:{word})(?!\w)", text, re.I)]


def test_all_texts_are_looked_at():
    """Each kind of them, and no code beside."""
    files = {where.rpartition(":")[0] for where, _ in every_text()}
    for kind in ("site_src/lessons/limits.md", "site_src/index.md", "README.md",
                 "builder/pages/templates/reports.md.j2", "builder/pages/assets/any_value_words.js",
                 "builder/records/state_words.py", "builder/file_rules/meter_doubts.py",
                 "builder/procedure/sentences.py", "builder/cli/__init__.py"):
        assert kind in files, kind
    said = "\n".join(text for _, text in every_text())
    for text in ("Tolerance limits: X and X", "The farthest value of each function that a sheet",
                 "Nothing to pull from service.", "is no host and port"):
        assert text in said, text
    assert "querySelector" not in said and "{%" not in said


@pytest.mark.parametrize("word", INSTEAD)
def test_a_word_is_not_used(word):
    assert [f"{where}: {text.strip()[:80]} (say: {INSTEAD[word]})" for where, text in stands(word)
            if (word, where.rpartition(":")[0]) not in ALLOWED] == []


@pytest.mark.parametrize("word, file", ALLOWED)
def test_an_exception_is_one(word, file):
    assert any(where.startswith(f"{file}:") for where, _ in stands(word))


def test_a_word_that_is_not_used_would_be_found():
    for text, word in (("Colors differ.", "colors?|colored"), ("the r.m.s. or RMS", "rms"),
                       ("as the browser has it", "(?:as [^.,;:]{1,30} ha(?:s|ve) it)"),
                       ("(e.g. 3 V)", r"e\.g\.")):
        assert word in INSTEAD and re.search(rf"\b(?:{word})(?!\w)", text, re.I)


def test_a_page_has_one_name_in_the_menu_and_at_its_head(demo):
    """The menu of each page, its heading and the way back from the pages below it."""
    nav = yaml_text.loosely((ROOT / "mkdocs.yml").read_text(encoding="utf-8"))["nav"]
    entries = [(name, page) for entry in nav for name, inside in entry.items()
               for name, page in ([(name, inside)] if isinstance(inside, str) else
                                  [pair for one in inside for pair in one.items()])]
    assert len(entries) > 12
    for name, page in entries:
        if page != "index.md":      # which has the site's name
            heading = demo.page(page.removesuffix(".md")).one("article").one("h1").text
            assert heading.removesuffix("¶").strip() == name, page
