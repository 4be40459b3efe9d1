"""What stands in tables, follows from mathematics, or is common in the trade."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from fractions import Fraction as F

from builder.compute.exact.accuracy_table import AccuracyRow, FunctionTable, RangeTable
from builder.compute.exact.display import accepted
from builder.compute.exact.draw import Draw
from builder.compute.exact.hazard import (BURNING_ENERGY, HAZARDOUS_AC, HAZARDOUS_CHARGE,
                                          HAZARDOUS_DC, HAZARDOUS_PEAK, stored)
from builder.compute.exact.leads import OHMS_PER_METRE, PER_KELVIN, highest_resistance, negligible
from builder.compute.exact.points import Refused, judge
from builder.compute.exact.tolerance import Accuracy, degrees_beyond, growth, line
from builder.compute.statistics.budget import combine, rectangular
from builder.compute.statistics.trend import DatedError, fitted
from builder.compute.statistics.waveform import (SINE, SQUARE, TRIANGLE, crest_squared, kept,
                                                 mean_responding, peak_squared)
from builder.formats.bench_checks import CHECKS
from builder.numbers.exact_text import number
from builder.numbers.statistics_text import figures
from builder.published.base import (COMMON, COMPUTED, FROM_MEMORY, READ, SECOND_HAND, Source, Value,
                                    listed, shares)

LEADS = Source("Leads: IEC 60228, class 5, plain copper", (
    Value(clause="", what="at most, at 20 °C: 0.75, 1.0, 1.5 and 2.5 mm²",
          should_be="26.0, 19.5, 13.3, 7.98 mΩ/m",
          sure=SECOND_HAND,
          built=lambda: listed((number(highest_resistance(metres=F(1, 2), size=size) * 1000, 1)
                                for size in OHMS_PER_METRE), "mΩ/m")),
    Value(clause="", what="copper, for each kelvin", should_be="0.00393", sure=SECOND_HAND,
          built=lambda: number(PER_KELVIN)),
    Value(clause="", what="2 × 1 m of 0.75 mm², alone and with 20 mΩ of contacts",
          should_be="52, 72 mΩ", sure=COMPUTED,
          built=lambda: listed(
              (number(highest_resistance(metres=F(1), size=F("0.75"), contacts=F(c, 1000)) * 1000)
               for c in (0, 20)), "mΩ")),
), "Four copies agree on the conductors. The figure of copper is that of IEC 60028 at 20 °C (from "
   "memory); IEC 60228’s own factor for it, 254.5/(234.5 + t), gives 1/254.5 = 0.00393 (second "
   "hand).")


def _peaks(*waves: str) -> str:
    return listed((f"{math.sqrt(peak_squared(wave=wave, rms=HAZARDOUS_AC)):.1f}" for wave in waves),
                  "V")


SAFETY = Source("EN 61010-031:2015/A11, scope", (
    Value(clause="", what="threshold of hazard, AC and DC", should_be="30, 60 V", sure=READ,
          built=lambda: listed(map(number, (HAZARDOUS_AC, HAZARDOUS_DC)), "V")),
    Value(clause="", what="the same as a peak", should_be="42.4 V", sure=READ,
          built=lambda: f"{number(HAZARDOUS_PEAK)} V"),
    Value(clause="", what="peak of 30 V r.m.s.: sine, triangle, square",
          should_be="42.4, 52.0, 30.0 V", sure=COMPUTED,
          built=lambda: _peaks(SINE, TRIANGLE, SQUARE)),
), "This edition is superseded: IEC 61010-031:2022, the third, replaces it (second hand). That the "
   "new one has the same thresholds was not seen.")

CAPACITORS = Source("Charged capacitors: IEC 61010-1:2010 and DOE-HDBK-1092", (
    Value(clause="6.3.1", what="hazardous live, charged above 60 V: above", should_be="45 µC",
          sure=FROM_MEMORY, built=lambda: f"{number(HAZARDOUS_CHARGE * 10**6)} µC"),
    Value(clause="", what="a shock makes a person start: from (DOE-HDBK-1092)",
          should_be="0.25 J", sure=FROM_MEMORY, built=lambda: f"{number(BURNING_ENERGY)} J"),
    Value(clause="", what="½·C·U² of 18 µF at 3 V, of 100 µF at 400 V", should_be="81 µJ, 8 J",
          sure=COMPUTED,
          built=lambda: f"{number(stored(farads=F('18e-6'), volts=F(3)) * 10**6)} µJ, "
                        f"{number(stored(farads=F('100e-6'), volts=F(400)))} J"),
), "Both thresholds are remembered as they stand; no computation supports them.")


def _stated(check: str) -> str:
    return re.search(r"(?:at most )?\d+ mm", CHECKS[check].good)[0]


PROBES = Source("HSE GS38", (
    Value(clause="", what="bare probe tip, as the check asks for", should_be="at most 4 mm",
          sure=READ,
          built=lambda: _stated("probe-tip shrouds")),
), "Fourth edition, 2015, paragraph 9 (second hand).")


# ---------------------------------------------------------------- mathematics

HALF_A_COUNT = (rectangular(name="resolution", half_width=0.5),)
WAVES = Source("Waveforms, exact mathematics", (
    Value(clause="", what="a meter that responds to the mean: square, triangle, sine",
          should_be="+11.07, −3.81, +0.00 %",
          sure=COMPUTED,
          built=lambda: listed(
              (f"{(mean_responding(wave=wave) - 1) * 100:+.2f}"
               for wave in (SQUARE, TRIANGLE, SINE)), "%")),
    Value(clause="", what="true r.m.s. of peak 1: sine, square, triangle",
          should_be="0.7071, 1.0000, 0.5774", sure=COMPUTED,
          built=lambda: listed(f"{math.sqrt(1 / crest_squared(wave=w)):.4f}"
                               for w in (SINE, SQUARE, TRIANGLE))),
    Value(clause="", what="their crest factors", should_be="1.414, 1.000, 1.732", sure=COMPUTED,
          built=lambda: listed(f"{math.sqrt(crest_squared(wave=w)):.3f}"
                               for w in (SINE, SQUARE, TRIANGLE))),
    Value(clause="", what="a square of 400 and of 45 Hz into a meter good to 1 kHz reads low by",
          should_be="10.0, 0.9 %",
          sure=COMPUTED,
          built=lambda: shares((1 - kept(wave=SQUARE, frequency=F(hertz), bandwidth=F(1000))
                                for hertz in (400, 45)), ".1f")),
    Value(clause="", what="the fundamental alone, of a square and of a triangle",
          should_be="0.9003, 0.9927", sure=COMPUTED,
          built=lambda: listed(f"{kept(wave=w, frequency=F(400), bandwidth=F(1000)):.4f}"
                               for w in (SQUARE, TRIANGLE))),
    Value(clause="", what="best TUR of two counts and of one, by the resolution alone",
          should_be="4.19, 2.10", sure=COMPUTED,
          built=lambda: listed(f"{counts / combine(components=HALF_A_COUNT).expanded:.2f}"
                               for counts in (2, 1))),
))

# y and x: 36 pairs, second hand.
NORRIS = tuple(tuple(map(F, reversed(pair.split()))) for pair in """
    0.1 0.2, 338.8 337.4, 118.1 118.2, 888.0 884.6, 9.2 10.1, 228.1 226.5, 668.5 666.3, 998.5 996.3,
    449.1 448.6, 778.9 777.0, 559.2 558.2, 0.3 0.4, 0.1 0.6, 778.1 775.5, 668.8 666.9, 339.3 338.0,
    448.9 447.5, 10.8 11.6, 557.7 556.0, 228.3 228.1, 998.0 995.8, 888.8 887.6, 119.6 120.2,
    0.3 0.3, 0.6 0.3, 557.6 556.8, 339.3 339.1, 888.0 887.2, 998.5 999.0, 778.9 779.0, 10.2 11.1,
    117.6 118.3, 228.9 229.2, 668.4 669.1, 449.2 448.9, 0.2 0.5
""".split(","))
CERTIFIED = {"intercept": "−0.262323073774029", "slope": "1.00211681802045",
             "u_intercept": "0.232818234301152", "u_slope": "0.000429796848199937",
             "residual": "0.884796396144373"}
SAME = 12   # figures


def to_figures(should_be: str, digits: int) -> Callable[[str], bool]:
    """Whether a text is the same number to so many figures."""
    def same(text: str) -> bool:
        ours, theirs = (figures(float(each.replace("−", "-")), digits)
                        for each in (text, should_be))
        return ours == theirs
    return same


def _norris(name: str) -> str:
    return figures(getattr(fitted(points=[DatedError(float(x), float(y)) for x, y in NORRIS]),
                           name), 15)


NIST = Source("NIST StRD, linear regression, “Norris”", (
    Value(clause="", what="slope", should_be=CERTIFIED["slope"], sure=SECOND_HAND,
          built=lambda: _norris("slope")),
    *(Value(clause="", what=what, should_be=CERTIFIED[name], sure=SECOND_HAND,
            built=lambda name=name: _norris(name),
            because=f"the same to {SAME} figures, which is what binary numbers of some 16 leave of "
            "36 pairs", accepts=to_figures(CERTIFIED[name], SAME))
      for name, what in (
          ("intercept", "intercept"), ("u_intercept", "standard deviation of the intercept"),
          ("u_slope", "standard deviation of the slope"),
          ("residual", "residual standard deviation"))),
), "The 36 pairs are second hand too; exact fractions of them confirm the certified values.")


def _drawn() -> str:
    draw = Draw(1234567)
    return listed(str(draw.below(1 << 64)) for _ in range(2))


GENERATOR = Source("SplitMix64, its public-domain source", (
    Value(clause="",
          what="the first two numbers for the seed 1234567, from which exercises are drawn",
          should_be="6457827717110365317, 3203168211198807973", sure=SECOND_HAND,
          built=_drawn),
))


# ---------------------------------------------------------------- the trade

def _limits_at_a_volt() -> str:
    tolerance = _counts("0.15", 2, "0.001", 6, 1) * F("0.001")
    found = accepted(low=1 - tolerance, high=1 + tolerance, resolution=F("0.001"),
                     shows_minus=True)
    return f"{number(found.low * F('0.001'))} … {number(found.high * F('0.001'))} V"


def _counts(percent: str, counts: int, resolution: str, base, value) -> F:
    return line(accuracy=Accuracy(F(percent), F(counts)), resolution=F(resolution),
                base=F(base)).at(F(value)) / F(resolution)


def _small_capacitor() -> str:
    nano = F(1, 10**9)
    function = FunctionTable(
        ranges=(RangeTable(full_scale=6000 * nano, resolution=nano, base=6000 * nano,
                           highest=5999 * nano,
                           rows=(AccuracyRow(accuracy=Accuracy(F(4), F(5))),)),), shows_minus=False,
        has_zero=True)
    try:
        judge(function=function, applied=F(200, 10**12))
    except Refused as refused:
        return "no" if refused.code == "below-one-count" else refused.code
    return "yes"


def _beyond_28(celsius: F) -> F:
    """Degrees beyond the band of 18 to 28 °C."""
    return degrees_beyond(ambient=(celsius, celsius), reference=(F(18), F(28)))[1]


def leads_forgotten(ohms: str, digits: str) -> bool:
    """0.1 Ω of leads on a display, with a tolerance of 0.5 % + 3 counts."""
    return negligible(leads=F("0.1"), resolution=F(digits), tolerance=F(ohms) / 200 + 3 * F(digits))


TRADE = Source("Facts of the trade", (
    Value(clause="", what="1.5 % + 3 counts at 10.00 mA with 0.01 mA", should_be="18 counts",
          sure=COMMON,
          built=lambda: f"{number(_counts('1.5', 3, '0.00001', '0.06', '0.01'))} counts"),
    Value(clause="", what="0.15 % + 2 counts at 1.000 V with 1 mV", should_be="3.5 counts",
          sure=COMMON,
          built=lambda: f"{number(_counts('0.15', 2, '0.001', 6, 1))} counts"),
    Value(clause="", what="so the lowest and the highest reading", should_be="0.997 … 1.003 V",
          sure=COMMON,
          built=_limits_at_a_volt),
    Value(clause="", what="whether 200 pF is enough for a meter with 1 nF of resolution",
          should_be="no", sure=COMMON,
          built=_small_capacitor),
    Value(clause="",
          what="whether leads of 0.1 Ω show: at 100 Ω with 0.1 Ω, at 1 kΩ of 6000 counts, at 1 kΩ "
          "of 20 000 counts", should_be="yes, no, yes", sure=COMMON,
          built=lambda: listed("no" if leads_forgotten(*one) else "yes"
                               for one in (("100", "0.1"), ("1000", "1"), ("1000", "0.1")))),
    Value(clause="",
          what="accuracy that grows by a tenth of itself for each °C beyond 28 °C, at 31 °C",
          should_be="1.3 times", sure=COMMON,
          built=lambda: f"{number(growth(coefficient=F('0.1'), degrees=_beyond_28(F(31))))} times"),
    Value(clause="", what="test-lead sockets stand apart, as the check asks for", should_be="19 mm",
          sure=COMMON,
          built=lambda: _stated("jack spacing")),
))
