"""What a report says of its decision rule: with whom it was agreed, its level of risk, what the
statement covers, and whose opinion the label for the meter is."""

from __future__ import annotations

import math
from collections.abc import Iterator

from builder.compute.statistics.budget import distribution
from builder.formats.decision_rule import SIMPLE_ACCEPTANCE
from builder.formats.sheet_data import PointData
from builder.records.judged_record import Record
from builder.records.report_lines import quantity


def rule(record: Record) -> Iterator[str]:
    """The decision rule, and what the statement of conformity covers."""
    known = record.carried
    yield known.rule_in_words
    agreed = record.head.rule_agreed or known.rule_agreed
    yield (f"The rule was agreed {agreed.rstrip('.')}." if agreed
           else "That the rule was agreed with the owner is not recorded.")
    yield level_of_risk(record)
    if any(one.correction == "subtract" and one.kind != "zero" for one in known.points):
        yield (
            "Two-wire readings are judged less the reading of the leads alone; what the display "
            "showed stands below them.")
    if known_leads := next((one.leads for one in known.points if one.leads), None):
        yield ("Two-wire readings have the leads in them, which are known: "
               f"{quantity(known_leads.text)}. What is applied “gives” its value and that of the "
               "leads, and the limits stand around both.")
    yield (
        "The statement covers the points of this report that have limits, each against the "
        "accuracy of "
        + (known.specification
           or "the meter’s specification") + f", at {known.holds}. It says nothing of other "
        "values, other functions or another day.")
    if known.outcomes == 4:
        yield (
            "Conditional pass: within the tolerance by less than the guard band. Conditional fail: "
            "beyond it by less than the guard band. Tolerance limits stand in brackets beside the "
            "limits.")
    if any(one.is_observation for one in known.points):
        yield "Points without limits are observations: written down, not judged."


def level_of_risk(record: Record) -> str:
    """In one sentence, how likely the error of a meter that passes is beyond its tolerance, where
    its reading lies at an acceptance limit; with nothing else known of the meter (JCGM 106:2012,
    7.3)."""
    known = record.carried
    risks = [one for point in known.points if (one := _at_limit(point)) is not None]
    if not risks:
        return ("The level of risk of this rule is not stated: the procedure’s data has no "
                "uncertainty.")
    most = ("50" if known.decision_rule == SIMPLE_ACCEPTANCE
            else f"{math.ceil(max(risks) * 1000) / 10:g}")
    nearly = (" (of one that passes conditionally, with up to 50 %)"
              if known.outcomes == 4 and most != "50" else "")
    return (f"Level of risk: the error of a reading that passes at a limit is beyond the tolerance "
            f"with a probability of up to {most} %{nearly}; further inside it is less "
            "(JCGM 106:2012).")


def _at_limit(point: PointData) -> float | None:
    """P(error beyond the tolerance) at the acceptance limit, from the shapes of the point's budget;
    None where nothing is judged, or nothing is known of the standard."""
    sure = point.uncertainty
    if sure is None or point.tolerance is None or (point.accept is None
                                                   and point.reference is None):
        return None
    guard = float(point.guard_band.number) if point.guard_band else 0.0
    if not sure.rectangles and sure.normal is None:     # data of an older builder
        return 0.5 * math.erfc(guard / float(sure.u.number) / math.sqrt(2))
    return 1 - distribution(x=guard, rectangles=[float(one.number) for one in sure.rectangles],
                            sigma=float(sure.normal.number) if sure.normal else 0.0)


def opinion(record: Record) -> str:
    """Whose opinion it is what the meter may be used for (ISO/IEC 17025:2017, 7.8.7, from
    memory)."""
    whose = record.head.reviewed_by
    return (f"What the meter may be used for is an opinion, and that of {whose}, who authorises "
            "this report." if whose else "What the meter may be used for is an opinion. Whose it "
            "is, is not recorded.")
