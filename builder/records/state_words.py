"""What reports, histories and the register call the codes of a record: outcomes of points, what a
reading lacks, statements on the meter."""

from __future__ import annotations

from builder.formats import report_data as codes
from builder.formats.outcomes import (CONDITIONAL_FAIL, CONDITIONAL_PASS, FAIL, INCOMPLETE, PASS,
                                      WRITTEN)
from builder.records import ground

# Of a point; "" where nothing was read that says something.
OUTCOMES = {PASS: "pass", CONDITIONAL_PASS: "conditional pass",
            CONDITIONAL_FAIL: "conditional fail", FAIL: "FAIL", WRITTEN: "written down",
            INCOMPLETE: "incomplete", "": "not done"}
AFTER_WORK = "after the work"   # on the meter: a reading that is none of the state as found
NO_GROUND = "not judged"    # a reading that has limits and no ground
# The statement on a meter, as the head of a report says it.
HEADLINES = {
    codes.PASSES: "Passes: every point tested is within its acceptance limits.",
    codes.CONDITIONALLY_PASSES:
        "Conditional pass: every point tested is within its tolerance, some by less than the "
        "guard band.",
    codes.LIMITED: "Limited: not every function passes.",
    codes.FAILS: "Fails: no function passes.",
    codes.NO_STATEMENT: "No statement of conformity.",
    codes.NOT_SAFE: "Not safe to use.",
}
# Why readings have no ground; a standard is named before its sentence.
LACKS = {
    ground.AMBIENT: "the record does not show that the ambient stayed inside the band of the "
                    "sheet",
    ground.HUMIDITY: "the record does not show that the humidity stayed inside the band of the "
                     "sheet",
    ground.STANDARD: "was not inside its calibration on the day, or the day of its calibration is "
                     "not known",
    ground.WARM_UP: "the meter did not stand as long as the sheet asks",
    ground.LEADS: "the reading of the leads alone is not valid",
}
