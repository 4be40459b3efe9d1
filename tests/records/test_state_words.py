"""Every code has its words."""

from __future__ import annotations

from typing import get_args

from builder.formats import outcomes
from builder.formats.report_data import Statement
from builder.records import ground, state_words


def test_every_code_has_words():
    assert set(state_words.HEADLINES) == set(get_args(Statement))
    assert set(state_words.OUTCOMES) == {*outcomes.DONE, outcomes.INCOMPLETE, ""}
    assert set(state_words.LACKS) == {ground.AMBIENT, ground.HUMIDITY, ground.STANDARD,
                                      ground.WARM_UP, ground.LEADS}


def test_a_headline_says_its_statement():
    for statement, words in state_words.HEADLINES.items():
        assert words.lower().startswith(statement.lower()) and words.endswith(".")
