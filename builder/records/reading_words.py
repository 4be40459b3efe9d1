"""What is said of a typed reading, by code: at the bench, where the display can be looked at again,
and in a record, where it can't. The page's scripts take theirs from here."""

from __future__ import annotations

AT_THE_BENCH = {
    "no-number": "“{text}” is no number",
    "two-ways": "“{text}” can be read in two ways: write a point before decimals, and nothing "
                "between thousands",
    "too-many-digits": "more digits than any display shows",
    "flicker": "“{text}” are not the two extremes of a reading that flickers, such as "
               "17.994/17.996",
    "unknown-unit": "“{text}” is no unit known here: this reading is in {unit}",
    "other-prefix": "the sheet is in {unit}, not in {typed}: if the display shows {typed}, it is "
                    "on another range",
    "other-unit": "this reading is in {unit}, not in {typed}",
    "too-many-decimals": "the display shows {decimals} on this range: with more it is on another",
    "between-counts": "the display counts in steps of {step} on this range",
    "no-minus": "this display shows no minus",
    "beyond-range": "this range ends at {highest}",
    "no-reference": "without a reading of the reference meter there is nothing to compare with",
    "too-many-references": "“{text}” are more readings of the reference meter than this step has",
    "reference-far": "the limits hold for a reference reading of about {about}",
    "leads-overload": "the leads alone show overload",
    "past-the-end": "this range ends at {highest}: does the display show more?",
    "lost-sign": "{applied} is applied: is the sign right?",
    "lost-point": "{applied} is applied: is the decimal point right?",
    "undecided": "cannot be verified with this standard under this rule",
    "unit-missing": "a unit is missing: write such as {such}",
    "unit-unknown": "“{text}” is no unit known here",
}

# Where the display is gone: what then differs, with a hint for whoever typed it.
IN_A_RECORD = {
    "no-number": ("“{text}” is no number",
                  "a reading, OL for overload, or '-' for a step that was not done"),
    "two-ways": ("“{text}” can be read in two ways",
                 "write a point before decimals, and nothing between thousands"),
    "too-many-digits": ("more digits than any display shows", "a digit is mistyped"),
    "flicker": (AT_THE_BENCH["flicker"], "the lowest and the highest, a stroke between them"),
    "unknown-unit": (AT_THE_BENCH["unknown-unit"], ""),
    "other-prefix": ("the sheet is in {unit}, not in {typed}: if the display showed {typed}, it "
                     "was on another range", ""),
    "other-unit": (AT_THE_BENCH["other-unit"], ""),
    "too-many-decimals": (
        "“{text}” has {count} decimals, and the display shows {decimals} on this range",
        "with more it was on another range, where these limits don't hold; or a digit is mistyped"),
    "between-counts": (
        "“{text}” can't be shown: the display counts in steps of {step} on this range",
        "read the sheet again: a digit is mistyped"),
    "no-reference": (
        "the reference meter showed overload, so there is nothing to compare with",
        "'-' for a step that was not done"),
    "too-many-references": (AT_THE_BENCH["too-many-references"],
                            "[before, after] where the sheet has two, else one"),
    "reference-far": (AT_THE_BENCH["reference-far"],
                      "'-' for a step that was not done as the sheet says"),
    "leads-overload": ("the leads alone showed overload",
                       "they are taken off this reading: read them again"),
}
# Of a reading in a record that looks like a slip of the pen.
_CONFIRM = "mend it; or write {reading: …, confirmed: yes} if the display showed it"
SLIPS = {
    "past-the-end": ("{reading} is past the end of the range, {highest}",
                     f"OL for overload; {_CONFIRM}"),
    "lost-sign": ("{reading} has the other sign than {applied}, which was applied",
                  _CONFIRM),
    "lost-point": ("the decimal point of {reading} does not fit {applied}, which was applied",
                   _CONFIRM),
}
# Of a reading beside the limits of any value, which no sheet asked for.
ANY_VALUE = {
    "within": "{reading} is within the limits: {error}, {counts}{share}",
    "not-within": "{reading} is not within the limits: {error}, {counts}{share}",
    "share": ", {percent} of the tolerance",    # where that side has one
    "overload": "overload is not within the limits",
}
UNIT_HINT = "write the number alone: the unit is that of the sheet"

# What stands beside the field at the bench.
SHORT = {
    "within": "within", "not-within": "not within", "conditional-pass": "conditional pass",
    "conditional-fail": "conditional fail", "written-down": "written down",
    "not-decided": "not decided", "no-reading": "no reading",
    "no-reference": "no reference reading",
    "one-reference": "one of two reference readings",
    "reference-moved": "reference moved: read again", "no-leads": "leads not read",
    "check-entry": "check the entry", "check-reference": "check the reference",
    "check-leads": "check the leads", "overload": "overload",
}


# Of the reading that is to close a live group: at the bench, and for a record.
NEAR_ZERO = {
    "live": "The meter reads {reading}: the leads are live. Do not touch.",
    "overload": "The meter shows overload: the leads count as live. Do not touch.",
    "no-voltage": "“{text}” is no voltage: the leads count as live. Do not touch.",
    "between": "The meter reads {reading}. Near zero is at most {limit}. The group stays open. "
               "Look at the output of the source. Wait. Read again.",
    "no-unit": "The unit is missing. Choose the unit that the display shows.",
    "unseen": "The reading before this one was not within 10 % of the value applied. A second "
              "instrument must read too.",
    "steps": "Tick the steps above.",
    "closed": "Closed: at zero, standby, seen near zero.",
    "otherwise": "Closed otherwise: the report names it.",
}
NOT_CLOSED_BY = {
    "live": "“{text}” is hazardous live, above {hazardous}",
    "overload": "OL is no reading near zero: the leads counted as live",
    "no-voltage": "“{text}” is no voltage",
    "between": "“{text}” is not near zero, which is at most {limit}",
    "no-unit": "“{text}” has no unit",
}
NOT_CLOSED_HINT = ("write the reading with its unit, such as 0.02 V; 'no' if the group was not "
                   "closed; or {otherwise: what was done and read with which second instrument, "
                   "by: NAME}")


def why(reason: str) -> str:
    """The words for a verdict's reason."""
    return AT_THE_BENCH[reason] if reason == "undecided" else SHORT[reason]


def decimals_words(decimals: int) -> str:
    return {0: "no decimals", 1: "one decimal"}.get(decimals, f"{decimals} decimals")
