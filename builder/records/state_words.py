"""What reports, histories and the register call the codes of a record: outcomes of points, states
of functions and of the meter."""

from __future__ import annotations

from builder.formats.outcomes import (CONDITIONAL_FAIL, CONDITIONAL_PASS, FAIL, INCOMPLETE, PASS,
                                      WRITTEN)
from builder.records import meter_outcome

# Of a point; "" where nothing was read that says something.
OUTCOMES = {PASS: "pass", CONDITIONAL_PASS: "conditional pass",
            CONDITIONAL_FAIL: "conditional fail", FAIL: "FAIL", WRITTEN: "written down",
            INCOMPLETE: "incomplete", "": "not done"}
FUNCTIONS = {
    meter_outcome.PASSES: "pass", meter_outcome.CONDITIONALLY: "conditional pass",
    meter_outcome.UNDECIDED: "not decided", meter_outcome.NOT_DONE: "not completed",
    meter_outcome.CONDITIONALLY_FAILS: "conditional fail", meter_outcome.FAILS: "FAIL",
    meter_outcome.OBSERVED: "written down only",
}
METERS = {
    meter_outcome.METER_PASSES: "passes",
    meter_outcome.METER_CONDITIONALLY: "passes conditionally",
    meter_outcome.METER_LIMITED: "limited", meter_outcome.METER_FAILS: "fails",
    meter_outcome.METER_NOT_DONE: "not completed", meter_outcome.METER_UNDECIDED: "not decided",
}
# The same as the head of a report says it.
VERDICTS = {
    meter_outcome.METER_PASSES: "All points are within the limits.",
    meter_outcome.METER_CONDITIONALLY:
        "No point is outside its tolerance; some pass only conditionally.",
    meter_outcome.METER_LIMITED:
        "Not all is within the limits: the meter is limited to the functions that passed.",
    meter_outcome.METER_FAILS: "Not within the limits: no function passed whole.",
    meter_outcome.METER_NOT_DONE: "Not completed: no verdict on the meter as a whole.",
    meter_outcome.METER_UNDECIDED: "Not decided at every point: see below.",
}
