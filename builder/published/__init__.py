"""Values from outside this project beside what the builder makes of the same inputs: the page of
published values shows them, tests/published holds them. A value, its source and how sure it is
stand here and nowhere else.

What a source prints is typed here; what the builder has is computed each time and never typed.
"""

from __future__ import annotations

from functools import cache

from builder.published.base import AGREES, DIFFERS, Result, Source
from builder.published.budgets import EA, GUM
from builder.published.risks import GLOBAL, HANDBOOK, ILAC, RISK
from builder.published.series import CHARTS, NATRELLA
from builder.published.tables import (CAPACITORS, GENERATOR, LEADS, NIST, PROBES, SAFETY, TRADE,
                                      WAVES)
from builder.published.thermometers import PLATINUM, THERMOCOUPLES

SOURCES = (EA, GUM, RISK, GLOBAL, ILAC, HANDBOOK, THERMOCOUPLES, PLATINUM, LEADS, SAFETY,
           CAPACITORS, PROBES, WAVES, NIST, NATRELLA, CHARTS, GENERATOR, TRADE)

# Publications that say what has to be there, with no number to compare.
IN_WORDS = (
    ("ISO/IEC 17025:2017",
     "A test walks the items of 7.8.2.1 and 7.8.6 (read), and of 7.8.4, 7.8.7 and 7.8.8 (from "
     "memory), over the demo’s reports, each tied to its place on one. Not among them are sampling "
     "(k) and results from others (p), which such a report has none of. What a record leaves "
     "blank, such as the day of receipt or how to reach the customer, stays blank on its report."),
    ("ANSI/NCSL Z540.3",
     "5.3 asks that the probability of incorrect acceptance decisions from calibration tests stay "
     "within 2 % and be documented (second hand). With M it does for a centred bell, as the "
     "handbook’s lines above show; nothing here claims it for other meters."),
    ("ILAC-G24:2022 / OIML D 10",
     "names the methods for intervals (read, in its contents); their steps are a choice of this "
     "project."),
    ("HSE GS38",
     "prefers 2 mm of bare tip, or a shroud that draws back (read): the safety page that comes "
     "with the builder says so."),
    ("ISO/IEC 18004",
     "wants four modules free around a code to scan (second hand): sheets keep them."),
)

# Programs that the tests compare with and the builder doesn't need, and how closely.
# tests/published/test_page.py holds these sentences.
PROGRAMS = (
    ("GTC",
     "Combined standard uncertainties of random budgets, to 12 figures; their effective degrees of "
     "freedom, to 9."),
    ("SciPy",
     "Student’s t, to 8 figures; the normal, trapezoidal and triangular distributions, to 12 "
     "decimals or more; global risks against its bivariate normal distribution, "
     "to a millionth; lines through errors over time, to a millionth of the largest error; their "
     "prediction intervals, to 6 figures. With NumPy: meters drawn one by one, to five in ten "
     "thousand, for risks where a display rounds."),
    ("thermocouple-its90",
     "Voltage and slope at every whole degree of every type, to a billionth of a millivolt. Its "
     "coefficients are the same copies, so this checks the arithmetic; the publication is held by "
     "the 12 026 values of NIST’s printed tables, each to its last figure, of which its source "
     "distribution has copies."),
    ("icalendar",
     "Reads the due dates again, whatever the texts in them hold; beside it the grammar of RFC "
     "5545."),
    ("jsonschema", "Judges files, records and data by the schemas that the builder writes."),
    ("axe",
     "Looks at every kind of page for what shuts people out, by the rules of WCAG 2.2 AA that it "
     "knows."),
    ("ProperDocs", "Builds the demo’s site as well: the same bytes, but for the engine’s name."),
    ("Zensical",
     "Builds the demo’s pages from their export: the same addresses, texts and limits."),
)


@cache
def results() -> tuple[tuple[Source, tuple[Result, ...]], ...]:
    """Every value beside the builder's own. Nothing of a shop goes into it, so one process computes
    it once."""
    return tuple((source, tuple(value.result() for value in source.values)) for source in SOURCES)


def summary() -> str:
    """How many of the values agree, in a sentence."""
    outcomes = [one.outcome for _, some in results() for one in some]
    agree, differ = outcomes.count(AGREES), outcomes.count(DIFFERS)
    other = len(outcomes) - agree - differ
    otherwise = f", {other} are not as printed, with the reason beside them" if other else ""
    return (f"{agree} of {len(outcomes)} agree to the last figure that is given{otherwise}; "
            f"{f'{differ} do not agree' if differ else 'none disagrees'}.")
