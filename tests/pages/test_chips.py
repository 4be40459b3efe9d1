"""Chips of verdicts and states: every word has one, and no two kinds look alike without colour."""

from __future__ import annotations

from typing import get_args

import pytest

from builder.formats import report_data
from builder.pages import chips
from builder.records import register, state_words

WORDS = {*get_args(report_data.Statement), *get_args(report_data.FunctionStatement),
         *get_args(report_data.PointOutcome), *register.STATES, *state_words.OUTCOMES.values()}


@pytest.mark.parametrize("word", sorted(WORDS))
def test_every_word_has_a_chip(word):
    assert chips.chip(word).endswith(f" {word}</b>")


def test_kinds_differ_by_shape():
    """Black on white the shape and the word are left."""
    kinds = set(chips.KINDS.values())
    assert len({shape for _, shape in kinds}) == len({name for name, _ in kinds}) == len(kinds)


def test_a_word_without_a_kind_is_refused():
    with pytest.raises(KeyError):
        chips.chip("fine")


def test_what_is_said_is_only_text():
    assert chips.chip("fails", "<b> & co") == (
        '<b class="chip bad">✗ &lt;b&gt; &amp; co</b>')
