"""The table of sentences: each is said somewhere, worded by one function, and known by its code."""

import ast
import string
from pathlib import Path

import pytest

import builder
from builder.procedure.cautions import CAUTIONS
from builder.procedure.sentences import (JOINS, SENTENCES, as_written,
                                         identity, sentence, words)

TEMPLATES = {**{code: [text] for code, text in SENTENCES.items()},
             **{code: [text, rest] for code, (_, text, rest) in CAUTIONS.items()}}


@pytest.mark.parametrize("code", TEMPLATES)
def test_a_template_names_its_facts(code):
    """By name, several of them with a joint that is known; no fact is wrapped in other words of the
    format."""
    for template in TEMPLATES[code]:
        for _, name, how, conversion in string.Formatter().parse(template):
            assert name is None or (name.isidentifier() and not conversion)
            assert not how or how in JOINS


def test_every_sentence_is_said_somewhere():
    """No row is left over: each code stands in a module that decides, or is made there of one."""
    named = set()
    for path in Path(builder.__file__).parent.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and not (
                    path.stem in ("sentences", "evidence_sentences", "cautions")
                    and node.value not in CAUTIONS
                    and node.value not in ("by-standby", "by-supply-off", "as-written", "coil-on",
                                           "coil-on-and-off")):
                named.add(node.value)
    made = {f"{code}-unpaired" for code in ("leads", "copper-leads")}
    assert set(SENTENCES) - named - made == set()


def test_facts_in_words():
    """Texts as they are, sentences in words, several of them joined as the template says."""
    held = sentence("together")
    assert words(sentence("title-leads", function="Resistance", held=held)) == str(
        sentence("title-leads", function="Resistance", held="together")) == (
            "Resistance, leads together")
    assert words(sentence("in-series", part="a supply", terminals=("H", "L"), standard="Skua",
                          jacks=("A", "COM"))) == (
        "Leads: a supply, H and L of Skua, A and COM of the meter, all in series")
    assert words(sentence("keys-off", keys=(sentence("hold"), sentence("filter")))) == (
        "Meter: hold, filter off")
    assert words(as_written("{as} the shop % wrote")) == "{as} the shop % wrote"
    assert words(None) == ""


def test_a_sentence_without_its_facts_is_a_mistake():
    """A fact that is missing, and a code that the table doesn't have, are no text."""
    with pytest.raises(KeyError):
        words(sentence("dial"))
    with pytest.raises(KeyError):
        words(sentence("no such code"))


def test_what_is_said_is_known_by_code_and_facts(monkeypatch):
    """Whatever its words; the order in which facts are given is no part of it."""
    title = sentence("title-leads", function="Resistance", held=sentence("apart"))
    known = identity(title)
    assert known == ["title-leads", ["function", "Resistance"], ["held", ["apart"]]]
    assert title == sentence("title-leads", held=sentence("apart"), function="Resistance")
    monkeypatch.setitem(SENTENCES, "apart", "held apart")
    assert words(title) == "Resistance, leads held apart" and identity(title) == known
    assert identity(sentence("title-leads", function="Resistance",
                             held=sentence("together"))) != known
