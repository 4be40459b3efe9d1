"""Guard bands against published values. The sureness words are those of the project's list of check values: *read*,
*second hand* and *computed* (exact mathematics, or two independent numerical routes that agree; printed nowhere that we
know)."""

from fractions import Fraction as F

import pytest

from builder.compute.decision import MULTIPLE, MULTIPLIER, ROOT_SUM_SQUARE, SIMPLE, Rule, guard_band, multiplier
from builder.compute.risk import global_risks, prior_of_share


def acceptance(kind: str, tur: float, g: F = F(0)) -> float:
    """A/T for a tolerance of 1."""
    return 1 - guard_band(rule=Rule(kind, g), tolerance=1.0, expanded=1 / tur)


TABLE = [(1.5, "0.3602", "0.7599", "0.7454"), (2, "0.2816", "0.8592", "0.8660"), (3, "0.1553", "0.9482", "0.9428"),
         (4, "0.0531", "0.9867", "0.9682")]


@pytest.mark.parametrize("tur, m, by_multiplier, by_root_sum_square", TABLE)
def test_table(tur, m, by_multiplier, by_root_sum_square):
    """M = 1.04 − e^(0.38·ln TUR − 0.54) of the handbook to ANSI/NCSL Z540.3, its sixth method (formula second hand, numbers
    computed), and A/T with it and by root-sum-square (computed)."""
    assert (f"{multiplier(tur=tur):.4f}", f"{acceptance(MULTIPLIER, tur):.4f}", f"{acceptance(ROOT_SUM_SQUARE, tur):.4f}") == (
        m, by_multiplier, by_root_sum_square)


def test_no_guard_band_where_the_multiplier_is_negative():
    """At 4.6 M is negative, so A/T is 1; root-sum-square has 0.9761 there (formula second hand, numbers computed)."""
    assert multiplier(tur=4.6) < 0 and acceptance(MULTIPLIER, 4.6) == 1
    assert f"{acceptance(ROOT_SUM_SQUARE, 4.6):.4f}" == "0.9761"


def test_width_of_the_guard_band():
    """ILAC-G8:09/2019, 4.1 to 4.2.2: w = TL − AL (read), here with w = 0, w = U and w = g·U."""
    assert guard_band(rule=Rule(SIMPLE), tolerance=1.0, expanded=0.25) == 0
    assert guard_band(rule=Rule(MULTIPLE, F(1)), tolerance=1.0, expanded=0.25) == 0.25
    assert guard_band(rule=Rule(MULTIPLE, F("0.8")), tolerance=1.0, expanded=0.25) == pytest.approx(0.2)


# ---------------------------------------------------------------- the property of M

SHARES = [0.30 + n * 0.005 for n in range(140)]   # 0.30 to 0.995
RATIOS = [1 + n * 0.125 for n in range(73)]       # 1 to 10


def false_accept(tur: float, share: float, kind: str) -> float:
    """For a centred normal prior, with u = U/2."""
    a = acceptance(kind, tur)
    return global_risks(tolerance=(-1.0, 1.0), acceptance=(-a, a), u0=prior_of_share(share=share, tolerance=1.0), u=1 / (2 * tur))[0]


def test_the_multiplier_keeps_false_accepts_under_two_percent():
    """For a centred normal prior, M keeps the global false-accept risk under 2 % for every test uncertainty ratio of 1 to 10
    and every share of 0.30 to 0.995 in tolerance; the worst is 1.97 % (formula second hand, property computed)."""
    worst = max(false_accept(tur, share, MULTIPLIER) for tur in RATIOS for share in SHARES)
    assert worst < 0.02 and f"{worst:.2%}" == "1.97%"


def test_four_to_one_alone_does_not():
    """Without a guard band, at a test uncertainty ratio of 4, the worst false-accept risk is 2.24 % (computed)."""
    assert f"{max(false_accept(4, share, SIMPLE) for share in SHARES):.2%}" == "2.24%"


@pytest.mark.parametrize("kind, risk", [(SIMPLE, "4.0%"), (MULTIPLIER, "3.5%")])
def test_meters_with_a_common_bias(kind, risk):
    """For a prior with mean 0.8 T and spread 0.2 T, at 4:1, the false-accept risk is 4.0 % without a guard band and 3.5 %
    with M (computed): M guarantees nothing."""
    a = acceptance(kind, 4)
    found = global_risks(tolerance=(-1.0, 1.0), acceptance=(-a, a), u0=0.2, u=1 / 8, mean=0.8)[0]
    assert f"{found:.1%}" == risk
