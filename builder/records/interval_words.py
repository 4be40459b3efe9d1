"""What two methods suggest for a meter's interval, in words, and the percentages of a history."""

from __future__ import annotations

import math
from collections.abc import Iterator

from builder.compute.statistics import interval, trend
from builder.compute.statistics.interval import Conclusion, Suggestion
from builder.compute.statistics.trend import ENOUGH
from builder.numbers.exact_text import NARROW, minus
from builder.records.history import Review


def signed_percent(value: float, decimals: int = 0) -> str:
    """A share of the tolerance with its sign, none at zero; "OL" for an overload."""
    if not math.isfinite(value):
        return "OL"
    text = f"{value:+.{decimals}f}"
    return minus(text if float(text) else text[1:]) + NARROW + "%"


def share_text() -> str:
    """The probability of prediction intervals and of a drift."""
    return f"{trend.PROBABILITY * 100:.4g}{NARROW}%"


def review_lines(review: Review, shortest: str) -> Iterator[str]:
    """What comes of both methods, then what each suggests; `shortest` names the point with the
    shortest interval, "" without one."""
    yield f"Together: {concluded_text(review.concluded)}"
    yield f"Staircase: {_staircase(review.staircase)}"
    if review.chart is None:
        yield (
            f"Control chart: no point has the {ENOUGH} errors since the last adjustment that a "
            "line takes.")
    else:
        yield f"Control chart: {_chart(review.chart, shortest)}"
        yield (
            f"Of {review.of} points {review.drawn} have a line, and the one with the shortest "
            "interval is taken; with many points that is also the one that chance was hardest on.")
        yield (
            "The chart has mean and standard deviation s of all errors before the last, and judges "
            "the last by t·s·√(1 + 1/n), as rare as three s (choice of this project). The "
            "individuals chart of the NIST/SEMATECH handbook takes the moving range, which a drift "
            "widens less.")


def concluded_text(concluded: Conclusion) -> str:
    """One conclusion, and why it is this one."""
    why = {interval.SHORTEST: "the shorter of what the two methods suggest",
           interval.STAIRCASE_ALONE: "what the staircase suggests; the chart has too few errors "
           "yet",
           interval.ONE_METHOD: "the staircase alone would lengthen it; a longer interval takes "
           "both methods, and the chart has too few errors yet",
           interval.SHARED: "nothing suggests a longer interval while points of a function drift "
           "together"}[concluded.code]
    change = ("keep " + _months(concluded.months) if concluded.action == interval.KEEP else
              f"{concluded.action} from {_months(concluded.current)} to "
              f"{_months(concluded.months)}")
    return f"{change}: {why}."


def _months(n: int) -> str:
    return f"{n} month{'s' * (n != 1)}"


def _outcome(suggestion: Suggestion) -> str:
    held = {interval.LEAST: ", the shortest that is ever suggested",
            interval.MOST: ", the longest that is ever suggested",
            interval.SPAN: ", since nothing is foretold farther ahead than the errors reach back",
            None: ""}[suggestion.bound]
    if suggestion.action == interval.KEEP:
        return f"keep {_months(suggestion.months)}{held}."
    return (f"{suggestion.action} from {_months(suggestion.current)} to "
            f"{_months(suggestion.months)}{held}.")


def _staircase(suggestion: Suggestion) -> str:
    facts = suggestion.facts
    if suggestion.code == interval.NO_REPORT:
        return f"there is no report of a state as found; {_outcome(suggestion)}"
    if suggestion.code == interval.BEYOND:
        worst = (f"error as found was {facts['worst']:.0f}{NARROW}% of the tolerance"
                 if math.isfinite(facts["worst"]) else "reading as found was an overload")
        return f"the largest {worst}, beyond it; {_outcome(suggestion)}"
    row, needed = int(facts["row"]), int(facts["needed"])
    good = (
        f"under {facts['good']:.0f}{NARROW}% of the tolerance at every point, each after the whole "
        "interval")
    if suggestion.code == interval.GOOD_IN_A_ROW:
        return f"the last {row} reports as found were {good}; {_outcome(suggestion)}"
    so_far = ("the last one is not" if not row else
              f"counted back from the last there {'is one' if row == 1 else f'are {row}'}")
    return (
        f"it asks for the last {needed} reports in a row to be {good}; {so_far}; "
        f"{_outcome(suggestion)}")


def _chart(suggestion: Suggestion, point: str) -> str:
    facts, where = suggestion.facts, f"at {point},"
    share = share_text()
    if suggestion.code == interval.ALREADY:
        return (
            f"{where} a reading on the day of the last one would lie from "
            f"{signed_percent(facts['from'])} to {signed_percent(facts['to'])} of the tolerance "
            f"({share}), not wholly within it; {_outcome(suggestion)}")
    if suggestion.code == interval.JUMPED:
        return (
            f"{where} the last error, {signed_percent(facts['last'])}, is farther from the mean of "
            f"those before, {signed_percent(facts['mean'])}, than chance explains: "
            "something else than drift happened, so the interval isn’t lengthened; "
            f"{_outcome(suggestion)}")
    if suggestion.code == interval.NEVER:
        return (
            f"{where} as at all the others, the {share} prediction interval doesn’t leave the "
            f"tolerance; {_outcome(suggestion)}")
    return (
        f"{where} the {share} prediction interval stays within the tolerance for "
        f"{facts['days']:.0f} days after the last reading; {_outcome(suggestion)}")
