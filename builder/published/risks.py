"""Risks of a wrong verdict and guard bands: JCGM 106, ILAC-G8, the handbook to ANSI/NCSL Z540.3."""

from __future__ import annotations

import math
from fractions import Fraction as F

from builder.compute.statistics.budget import distribution, normal
from builder.compute.statistics.decision import (MULTIPLE, MULTIPLIER, ROOT_SUM_SQUARE, SIMPLE,
                                                 Rule, guard_band, multiplier)
from builder.compute.statistics.risk import global_risks, prior_of_share, specific_at_limit
from builder.compute.statistics.rounding import cells
from builder.numbers.exact_text import number
from builder.published.base import (COMPUTED, FROM_MEMORY, READ, SECOND_HAND, Source, Value, listed,
                                    shares)
from builder.published.budgets import WIDE, standard_uncertainty

RATIOS = (1, 1.5, 2, 3, 4, 10)


def resistors(limit: float) -> tuple[float, float]:
    """1500 Ω ± 0.2 Ω, u0 = 0.12 Ω, u_m = 0.04 Ω, with the acceptance limits at ± limit."""
    return global_risks(tolerance=(-0.2, 0.2), acceptance=(-limit, limit), u0=0.12, u=0.04)


def counted(t: str, counts: int, u: float, shown: bool = False) -> tuple[float, float]:
    """The same for a display that accepts so many counts to either side of a value on its grid; 95
    % in tolerance, all in counts. `shown`: for the error as it is shown."""
    edges = cells(lowest=F(-counts), highest=F(counts), step=F(1))
    tolerance = float(F(t))
    return global_risks(tolerance=edges if shown else (-tolerance, tolerance), acceptance=edges,
                        u0=prior_of_share(share=0.95, tolerance=tolerance), u=u)


def acceptance(kind: str, tur: float, g: F = F(0)) -> float:
    """A/T for a tolerance of 1."""
    return 1 - guard_band(rule=Rule(kind, g), tolerance=1.0, expanded=1 / tur)


def risks(tur: float, share: float, kind: str = SIMPLE) -> tuple[float, float]:
    """False accept and false reject for a centred normal prior, with u = U/2 and a tolerance of
    1."""
    a = acceptance(kind, tur)
    return global_risks(tolerance=(-1.0, 1.0), acceptance=(-a, a),
                        u0=prior_of_share(share=share, tolerance=1.0), u=1 / (2 * tur))


def _biased(kind: str) -> float:
    a = acceptance(kind, 4)
    return global_risks(tolerance=(-1.0, 1.0), acceptance=(-a, a), u0=0.2, u=1 / 8, mean=0.8)[0]


def _within(y: float, u: float, limits: tuple[float, float]) -> str:
    low, high = (distribution(x=limit - y, rectangles=(), sigma=u) for limit in limits)
    return f"{high - low:.2f}"


def _at_limit(width: float) -> float:
    """The risk with the reading at an acceptance limit, w = width·U, of a normal distribution with
    k = 2."""
    return specific_at_limit(components=(normal(name="measurement", value=1.0, divisor=2.0),),
                             guard=width, tolerance=WIDE)


def _width(g: str) -> str:
    rule = Rule(MULTIPLE, F(g)) if F(g) else Rule(SIMPLE)
    return number(F(f"{guard_band(rule=rule, tolerance=1.0, expanded=0.25):.12g}"))


RISK = Source("JCGM 106:2012", (
    Value(clause="7.3.3, example 2", what="probability of being above 490, for 509.7 with u = 8.6",
          should_be="0.99", sure=FROM_MEMORY,
          built=lambda: _within(509.7, 8.6, (490.0, math.inf))),
    Value(clause="7.3.3, example 1",
          what="probability of being below −5.40, for −5.47 with u = 0.05",
          should_be="0.92", sure=FROM_MEMORY,
          built=lambda: _within(-5.47, 0.05, (-math.inf, -5.40))),
    Value(clause="7.4", what="probability of being in 12.5 to 16.3, for 13.6 with u = 1.8",
          should_be="0.66",
          sure=FROM_MEMORY, built=lambda: _within(13.6, 1.8, (12.5, 16.3))),
    Value(clause="9.5",
          what="resistors of 1500 Ω ± 0.2 Ω, accepted to ± 0.18 Ω: false accept, false reject",
          should_be="1, 7 %", sure=FROM_MEMORY, built=lambda: shares(resistors(0.18), ".0f")),
    *(Value(clause="9.5", what=f"the same, accepted to ± {limit:.2f} Ω", should_be=said,
            sure=COMPUTED,
            built=lambda limit=limit: shares(resistors(limit)))
      for limit, said in ((0.14, "0.158, 17.438 %"), (0.16, "0.433, 11.466 %"),
                          (0.18, "0.988, 6.903 %"), (0.20, "1.894, 3.721 %"))),
    Value(clause="", what="the classical four to one: TUR 4, 95.45 % in tolerance",
          should_be="0.801, 1.485 %", sure=COMPUTED,
          built=lambda: shares(risks(4, 0.9545))),
    Value(clause="", what="false accept, 95 % in tolerance, TUR 1, 1.5, 2, 3, 4, 10",
          should_be="1.801, 1.541, 1.337, 1.049, 0.858, 0.406 %", sure=COMPUTED,
          built=lambda: shares(risks(tur, 0.95)[0] for tur in RATIOS)),
    Value(clause="", what="false reject, likewise",
          should_be="12.957, 6.625, 4.178, 2.294, 1.554, 0.516 %", sure=COMPUTED,
          built=lambda: shares(risks(tur, 0.95)[1] for tur in RATIOS)),
    *(Value(clause="", what=f"a display that rounds, T of {t} counts, u of {u} counts, 95 % in "
            "tolerance: false accept, false reject; the same for the error as it is shown",
            should_be=said, sure=COMPUTED,
            built=lambda t=t, counts=counts, u=u: shares([*counted(t, counts, u),
                                                          *counted(t, counts, u, shown=True)]))
      for t, counts, u, said in (("3", 3, 0.04, "2.774, 0.000, 0.059, 0.063 %"),
                                 ("2.5", 2, 0.025, "0.089, 0.094, 0.089, 0.094 %"))),
))

SHARES = (0.6, 0.7, 0.8, 0.9, 0.95, 0.99)


def _quarter(share: float) -> tuple[float, float]:
    """False accept, and the share of those accepted that are out: a measurement a quarter as wide
    as the prior, without a guard band."""
    u0 = prior_of_share(share=share, tolerance=1.0)
    accept, reject = global_risks(tolerance=(-1.0, 1.0), acceptance=(-1.0, 1.0), u0=u0, u=u0 / 4)
    return accept, accept / (accept + share - reject)


def _two_sigma(ratio: float, a: float) -> tuple[float, float]:
    """Limits at two standard deviations of the prior, u = U/2."""
    return global_risks(tolerance=(-1.0, 1.0), acceptance=(-a, a), u0=0.5, u=1 / (2 * ratio))


GLOBAL = Source("Global risks: Deaver 1993 and 1994, RP-19 (draft)", (
    Value(clause="Deaver", what="limits at 2σ, ratio 4: false accept, false reject",
          should_be="0.8, 1.5 %", sure=SECOND_HAND,
          built=lambda: shares(_two_sigma(4, 1.0), ".1f")),
    Value(clause="Deaver", what="limits at 2σ, ratio 2, accepted to 0.91 of them, likewise",
          should_be="0.8, 6.6 %", sure=SECOND_HAND,
          built=lambda: shares(_two_sigma(2, 0.91), ".1f")),
    Value(clause="RP-19",
          what="false accept, in tolerance 60, 70, 80, 90, 95, 99 %, measurement σ a quarter of "
          "the prior’s",
          should_be="4.83860, 3.92234, 2.85583, 1.59995, 0.87101, 0.19992 %", sure=SECOND_HAND,
          built=lambda: shares((_quarter(share)[0] for share in SHARES), ".5f")),
    Value(clause="RP-19", what="likewise, of those accepted the share that is out",
          should_be="8.26008, 5.72322, 3.63227, 1.79880, 0.92390, 0.20244 %", sure=SECOND_HAND,
          built=lambda: shares((_quarter(share)[1] for share in SHARES), ".5f")),
), "Read in the tests of a national laboratory’s public library. The papers themselves were not "
   "open.")

ILAC = Source("ILAC-G8:09/2019", (
    Value(clause="4.1 to 4.2.2",
          what="guard band w = TL − AL for w = 0, U and 0.8·U, where U is 0.25 V",
          should_be="0, 0.25, 0.2 V", sure=READ,
          built=lambda: listed(map(_width, ("0", "1", "0.8")), "V")),
    Value(clause="table 1", what="specific risk without a guard band", should_be="under 50 %",
          sure=SECOND_HAND,
          built=lambda: shares([_at_limit(0)], ".2f"),
          because="the builder’s is the risk of a reading exactly on the limit; inside it is less",
          accepts=lambda text: text == "50.00 %"),
    *(Value(clause="table 1", what=f"specific risk with w = {shown}U", should_be=f"under {most} %",
            sure=SECOND_HAND, built=lambda width=width: shares([_at_limit(width)], ".2f"),
            accepts=lambda text, most=most: float(text.split()[0]) < float(most))
      for width, shown, most in ((0.83, "0.83·", "5"), (1, "", "2.5"), (1.5, "1.5·", "0.16"))),
    Value(clause="table 1", what="specific risk with w = 3·U", should_be="under 1 ppm",
          sure=SECOND_HAND, built=lambda: f"{_at_limit(3) * 1e6:.3f} ppm",
          accepts=lambda text: float(text.split()[0]) < 1),
    Value(clause="", what="1 − Φ(2w/U) for w = 0, U/2, U and 1.5·U",
          should_be="50.00, 15.87, 2.28, 0.13 %", sure=COMPUTED,
          built=lambda: shares(map(_at_limit, (0, 0.5, 1, 1.5)), ".2f")),
    Value(clause="", what="a reading in the middle of a tolerance of ± u, by both limits",
          should_be="31.7 %", sure=COMPUTED,
          built=lambda: shares(
              [specific_at_limit(components=(standard_uncertainty(1.0),), guard=1.0,
                                 tolerance=1.0)], ".1f")),
), "The definition of w is read; the numbers beside it are chosen here.")

HANDBOOK_RATIOS = (1.5, 2, 3, 4, 4.6)
HANDBOOK = Source("Handbook to ANSI/NCSL Z540.3, sixth method", (
    Value(clause="", what="M for TUR 1.5, 2, 3, 4", should_be="0.3602, 0.2816, 0.1553, 0.0531",
          sure=COMPUTED,
          built=lambda: listed(f"{multiplier(tur=tur):.4f}" for tur in HANDBOOK_RATIOS[:4])),
    Value(clause="", what="A/T with M for TUR 1.5, 2, 3, 4, 4.6",
          should_be="0.7599, 0.8592, 0.9482, 0.9867, 1.0000",
          sure=COMPUTED,
          built=lambda: listed(f"{acceptance(MULTIPLIER, tur):.4f}" for tur in HANDBOOK_RATIOS)),
    Value(clause="", what="A/T by root-sum-square, likewise",
          should_be="0.7454, 0.8660, 0.9428, 0.9682, 0.9761",
          sure=COMPUTED,
          built=lambda: listed(f"{acceptance(ROOT_SUM_SQUARE, tur):.4f}"
                               for tur in HANDBOOK_RATIOS)),
    Value(clause="", what="false accept with M where it is worst, at TUR 4.5 and 65 % in tolerance",
          should_be="1.97 %",
          sure=COMPUTED, built=lambda: shares([risks(4.5, 0.65, MULTIPLIER)[0]], ".2f")),
    Value(clause="", what="worst false accept at TUR 4 without a guard band", should_be="2.24 %",
          sure=COMPUTED,
          built=lambda: shares([max(risks(4, 0.30 + n * 0.005)[0] for n in range(140))], ".2f")),
    Value(clause="", what="false accept at TUR 4 with a common bias of 0.8·T, without and with M",
          should_be="4.0, 3.5 %",
          sure=COMPUTED, built=lambda: shares((_biased(SIMPLE), _biased(MULTIPLIER)), ".1f")),
), "M = 1.04 − e^(0.38·ln TUR − 0.54) is second hand, every number computed; M. Dobbert published "
   "it first, in 2008 (second hand). A/T is the acceptance limit by the tolerance. All are for a "
   "display so fine that it rounds nothing.")
