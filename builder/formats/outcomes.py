"""What a reading came to, as records and phones write it. These are codes: the words of reports are
in records/, those of the bench in records/reading_words.py."""

from __future__ import annotations

from typing import Literal, get_args

Outcome = Literal["pass", "conditional pass", "conditional fail", "fail", "written down"]

PASS, CONDITIONAL_PASS, CONDITIONAL_FAIL, FAIL, WRITTEN = DONE = get_args(Outcome)
INCOMPLETE = "incomplete"   # nothing was read that says something; no record holds it
REFUSED = "refused"         # what no display can have shown; only a page keeps it
FAILED = (CONDITIONAL_FAIL, FAIL)
NOT_DONE = "-"      # what a typed record has where nothing was done
