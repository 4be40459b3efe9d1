"""What is said of a typed reading: the wordings at the bench and in a record."""

from __future__ import annotations

import re

import pytest

from builder.records.reading_words import AT_THE_BENCH, IN_A_RECORD, SHORT, SLIPS, decimals_words


def facts(words: str) -> set[str]:
    """The names of what a sentence is filled in with."""
    return set(re.findall(r"{(\w+)}", words))


@pytest.mark.parametrize("code", IN_A_RECORD)
def test_what_a_record_says_is_said_at_the_bench_too(code):
    """With the same facts; a record also repeats what was typed, which at the bench stands in the
    field."""
    sentence, hint = IN_A_RECORD[code]
    assert facts(AT_THE_BENCH[code]) <= facts(sentence)
    assert facts(sentence) - facts(AT_THE_BENCH[code]) <= {"text", "count"}
    assert not facts(hint)


def test_what_is_said_at_the_bench_alone():
    """A sign and the end of a range, which a record judges by its limits; a rule that leaves no
    verdict; what looks like a slip, which records have words of their own for; and a value that is
    typed with its unit."""
    assert AT_THE_BENCH.keys() - IN_A_RECORD.keys() == {
        *SLIPS, "no-minus", "beyond-range", "undecided", "unit-missing", "unit-unknown"}


@pytest.mark.parametrize("words", [*AT_THE_BENCH.values(), *SHORT.values(),
                                   *(text for pair in IN_A_RECORD.values() for text in pair)])
def test_words_are_parts_of_a_sentence(words):
    """They stand behind a colon or beside a field: no full stop, no capital but of a name."""
    assert not words.endswith((".", " ")) and not re.match(r"[A-Z][a-z]", words)


@pytest.mark.parametrize("decimals, words", [(0, "no decimals"), (1, "one decimal"),
                                             (2, "2 decimals"), (4, "4 decimals")])
def test_decimals_in_words(decimals, words):
    """Singular at one, and no 0."""
    assert decimals_words(decimals) == words
