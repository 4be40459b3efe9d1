"""What a row holds for, in the spellings of data sheets: the ends, and which belong to it."""

import re
from fractions import Fraction as F

import pytest

from builder.files.problems import Wrong
from builder.formats import row_parts
from builder.formats.patterns import FREQUENCIES, VALUES

OPEN = [
    ("above 5 A", (5, None), (True, False)), ("> 5 A", (5, None), (True, False)),
    ("over 5 A", (5, None), (True, False)), ("More than 5 A", (5, None), (True, False)),
    ("from 5 A", (5, None), (False, False)), ("≥5 A", (5, None), (False, False)),
    (">= 5 A", (5, None), (False, False)), ("at least 5 A", (5, None), (False, False)),
    ("up to 5 A", (None, 5), (False, False)), ("≤ 5 A", (None, 5), (False, False)),
    ("at most 5 A", (None, 5), (False, False)), ("<= 5 A", (None, 5), (False, False)),
    ("below 5 A", (None, 5), (False, True)), ("<5 A", (None, 5), (False, True)),
    ("under 5 A", (None, 5), (False, True)), ("less than 5 A", (None, 5), (False, True)),
    ("1 A to 5 A", (1, 5), (False, False)), ("3 ± 2 A", (1, 5), (False, False)),
]


def numbers(part):
    return tuple(end and end.value for end in (part.low, part.high))


@pytest.mark.parametrize("text, ends, without", OPEN)
def test_ends_and_whether_they_belong_to_it(text, ends, without):
    part = row_parts.part(text)
    assert (numbers(part), part.without) == (ends, without)
    assert part.ends(F(0), F(9)) == (ends[0] or 0, ends[1] or 9)
    assert re.match(VALUES, text)


@pytest.mark.parametrize("text, parts", [
    ("50 Hz", [(50, 50)]), ("50/60 Hz", [(50, 50), (60, 60)]),
    ("50 or 60 Hz", [(50, 50), (60, 60)]),
    ("0.4/1 kHz", [(400, 400), (1000, 1000)]), ("DC", [(0, 0)]),
    ("DC, 40 Hz to 1 kHz", [(0, 0), (40, 1000)]), ("dc, 50/60 Hz", [(0, 0), (50, 50), (60, 60)]),
    ("up to 1 kHz", [(None, 1000)]), ("< 1 kHz, 5 kHz", [(None, 1000), (5000, 5000)]),
])
def test_frequencies_may_be_several(text, parts):
    found = row_parts.frequencies(text)
    assert [numbers(one) for one in found.parts] == parts and str(found) == text
    assert re.match(FREQUENCIES, text)


def test_no_lowest_frequency_is_none_of_a_steady_value():
    (part,) = row_parts.frequencies("below 1 kHz").parts
    assert part.excluded_frequencies == (0, 1000)
    (part,) = row_parts.frequencies("DC").parts
    assert part.excluded_frequencies == ()


@pytest.mark.parametrize("text, sentence", [
    ("above", "no span"), ("> 5", "no unit"), ("40-400 Hz", "a dash may be a minus"),
    ("50/60", ""), ("50 Hz, 50 Hz", "twice"), ("up to up to 5 Hz", ""), ("1 kHz to 40 Hz", "high"),
    ("DC to 1 kHz", ""), ("", ""),
])
def test_what_is_none(text, sentence):
    with pytest.raises(Wrong) as wrong:
        row_parts.frequencies(text)
    assert sentence in wrong.value.sentence or sentence == "no span"
