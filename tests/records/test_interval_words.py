"""What two methods suggest for an interval, in words, and percentages with their sign."""

from __future__ import annotations

import math

import pytest

from builder.records.interval_words import share_text, signed_percent
from tests.records.test_history import years
from tests.records.test_history_page import RISING, page_of, plain


@pytest.mark.parametrize("value, decimals, text", [
    (12.4, 0, "+12 %"), (-12.5001, 0, "−13 %"), (0.04, 1, "0.0 %"), (-0.04, 1, "0.0 %"),
    (0.06, 1, "+0.1 %"), (100, 0, "+100 %"), (math.inf, 0, "OL"), (-math.inf, 1, "OL")])
def test_a_share_has_its_sign_and_none_at_zero(value, decimals, text):
    """What rounds to zero has no sign; an overload has no number."""
    assert plain(signed_percent(value, decimals)) == text


def test_the_share_of_the_prediction_interval():
    """95 %, as the constant has it."""
    assert plain(share_text()) == "95 %"


@pytest.mark.parametrize("volts, says", [
    (["3.000", "3.000"], "the last 2 reports as found were under 50 % of the tolerance"),
    (["3.000", "3.020"], "the largest error as found was 143 % of the tolerance, beyond it; "
                         "shorten from 12 months to"),
    (["3.000", "OL"], "the largest reading as found was an overload, beyond it"),
    (["3.000", "3.010"], "the last one is not; keep 12 months."),
    (["3.010", "3.000"], "counted back from the last there is one; keep 12 months."),
])
def test_what_the_staircase_says(volts, says, tmp_path):
    """A sentence with its own numbers, and that no chart is drawn over so few."""
    ((title, lines),) = page_of(tmp_path, *years(*volts)).reviews
    assert title == "Lapwing 1, yearly" and len(lines) == 3
    assert says in plain(lines[1]), lines[1]
    assert lines[2].startswith("Control chart: no point has the 5 errors")


def test_what_the_chart_says(tmp_path):
    """The point that asks for the shortest interval, and of how many it is one."""
    ((_, lines),) = page_of(tmp_path, *RISING).reviews
    assert "Control chart: at DC voltage, 3.000 V on 6 V, a reading on the day of the last one " \
        "would lie from" in plain(lines[2])
    assert lines[3].startswith("Of 4 points 4 have a line")
    ((_, steady),) = page_of(tmp_path / "b", *years(*["3.001"] * 6)).reviews
    assert "lengthen from 12 months to 36 months, the longest that is ever suggested" in steady[2]


@pytest.mark.parametrize("volts, says", [
    (["3.000", "3.000"], "Together: keep 12 months: the staircase alone would lengthen it; "
                         "a longer interval takes both methods, and the chart has too few errors "
                         "yet."),
    (["3.000", "3.020"], "Together: shorten from 12 months to 8 months: what the staircase "
                         "suggests; the chart has too few errors yet."),
    (["3.001"] * 6, "Together: lengthen from 12 months to 15 months: the shorter of what the two "
                    "methods suggest.")])
def test_there_is_one_conclusion(volts, says, tmp_path):
    """It stands first."""
    ((_, lines),) = page_of(tmp_path, *years(*volts)).reviews
    assert plain(lines[0]) == says
