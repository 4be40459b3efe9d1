"""What a check of the library says on a sheet: its own words, the meter's facts in them, or what
the plan writes in their place."""

from __future__ import annotations

from fractions import Fraction

from builder.formats.bench_checks import BenchCheck
from builder.formats.meter import FunctionEntry, Meter
from builder.formats.plan import PlannedCheck
from builder.numbers import exact_text, units


def texts_of(check: PlannedCheck, known: BenchCheck | None, covers: str,
             meter: Meter) -> dict[str, str]:
    """The fields 'do', 'good', 'write', 'unit' and 'mistake' of a check's step; `covers` is the
    function that it tests on this meter."""
    own = {"do": check.do, "good": check.good, "write": check.write, "mistake": check.mistake}
    facts: dict[str, str] = {}
    if known is not None:
        facts = {"do": known.do, "good": known.good, "write": known.write,
                 "mistake": known.mistake} | _of_this_meter(known.name, covers, meter)
    unit = check.unit or (known.unit if known and not check.write else "")
    return {name: text or facts.get(name, "") for name, text in own.items()} | {"unit": unit or ""}


def asked_of(check: PlannedCheck, known: BenchCheck | None, covers: str,
             meter: Meter) -> dict[str, Fraction | None]:
    """The fields 'at_least' and 'at_most': what the number in a check's blank is held to, in its
    unit."""
    asked: dict[str, Fraction | None] = dict.fromkeys(("at_least", "at_most"))
    if known is not None and not check.write:
        asked |= {name: Fraction(text) for name in asked if (text := getattr(known, name))}
        beeper = _beeper(covers, meter) if known.name == "continuity threshold" else None
        if beeper is not None:
            ohms = units.unit("ohm").scale
            asked = {"at_least": beeper.beeps_below.value / ohms,
                     "at_most": (beeper.silent_above or beeper.beeps_below).value / ohms}
    return asked | {name: own[0] for name in asked if (own := getattr(check, name))}


def _beeper(covers: str, meter: Meter) -> FunctionEntry | None:
    return next((f for f in meter.functions if f.beeps_below is not None
                 and covers in ("", f.title)), None)


def _of_this_meter(name: str, covers: str, meter: Meter) -> dict[str, str]:
    """The words that the meter's file makes exact."""
    if name == "fuses" and meter.fuses:
        return {"good": "; ".join(f"{' and '.join(fuse.jacks)}: {fuse.rating}"
                                  for fuse in meter.fuses)}
    if name == "battery cover" and meter.battery:
        return {"good": f"{meter.battery}, no leak, contacts clean"}
    if name == "continuity threshold":
        beeper = _beeper(covers, meter)
        if beeper is not None:
            below, above = (exact_text.quantity(one).replace(exact_text.NARROW, " ") for one in (
                beeper.beeps_below, beeper.silent_above or beeper.beeps_below))
            return {"do": f"Select {beeper.title}; connect known ohms just below {below}, then "
                          f"just above {above}",
                    "good": f"beeps below {below}, silent above {above}"}
    return {}
