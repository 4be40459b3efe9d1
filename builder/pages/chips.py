"""A verdict or a state as a chip: a shape, the word and a fill, of which each says it alone."""

from __future__ import annotations

from markupsafe import Markup

from builder.formats import report_data as codes
from builder.records import checks_between, register, state_words

# A kind is its class in assets/look.css, and its shape.
GOOD, BAD, SOON, OPEN = ("good", "✓"), ("bad", "✗"), ("soon", "!"), ("open", "–")
# Of all words that say how a point, a function, a report, a meter or a standard stands.
KINDS = {
    codes.PASSES: GOOD, codes.CONDITIONALLY_PASSES: GOOD, codes.LIMITED: BAD, codes.FAILS: BAD,
    codes.NOT_SAFE: BAD, codes.NO_STATEMENT: OPEN, codes.NOT_TESTED: OPEN,
    codes.CONDITIONALLY_FAILS: BAD,
    codes.POINT_PASSES: GOOD, codes.POINT_FAILS: BAD, codes.UNDECIDED: SOON,
    codes.NOT_READ: OPEN, codes.OBSERVED: OPEN,
    state_words.OUTCOMES[state_words.FAIL]: BAD, state_words.OUTCOMES[state_words.WRITTEN]: OPEN,
    state_words.OUTCOMES[state_words.INCOMPLETE]: OPEN, state_words.OUTCOMES[""]: OPEN,
    state_words.AFTER_WORK: OPEN, state_words.NO_GROUND: OPEN,
    register.OUT: BAD, register.OVERDUE: BAD, register.NO_REPORT: OPEN, register.DUE_SOON: SOON,
    register.UNDATED: OPEN, register.NOT_JUDGED: OPEN, register.IN_SERVICE: GOOD,
    register.WITHDRAWN: OPEN,
    "approved": GOOD, "draft": OPEN, "no sheet yet": OPEN, "missing": BAD,
    checks_between.ALARM: BAD, checks_between.NO_CHART: OPEN, checks_between.IN_CONTROL: GOOD,
    checks_between.ENDED: OPEN,
}


def parts(word: str, words: str = "") -> tuple[str, str]:
    """The kind of a verdict or a state, and what its chip says: other words of it where they are
    given. KeyError for one that has no kind."""
    kind, shape = KINDS[word]
    return kind, f"{shape} {words or word}"


def chip(word: str, words: str = "") -> Markup:
    """The chip itself."""
    return Markup('<b class="chip {}">{}</b>').format(*parts(word, words))
