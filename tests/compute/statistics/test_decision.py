"""Decision rules: the width of the guard band, and the readings that it leaves, by brute force over
counts."""

import math
import random
from fractions import Fraction as F
from itertools import pairwise

import pytest

from builder.compute.exact.display import accepted
from builder.compute.statistics.decision import (MULTIPLE, MULTIPLIER, ROOT_SUM_SQUARE, SIMPLE,
                                                 Rule, exact, guard_band, multiplier)

RULES = [Rule(SIMPLE), Rule(MULTIPLE, F(1)), Rule(MULTIPLE, F("0.8")), Rule(MULTIPLE, F(2)),
         Rule(ROOT_SUM_SQUARE), Rule(MULTIPLIER)]


def named(rule: Rule) -> str:
    return f"{rule.kind} {rule.g}" if rule.kind == MULTIPLE else rule.kind


@pytest.mark.parametrize("rule", RULES, ids=named)
@pytest.mark.parametrize("tolerance, expanded",
                         [(1.0, 0.25), (0.003, 0.001), (5.0, 5.0), (2.0, 3.0), (1e-9, 1e-12),
                          (1.0, 1e-6)])
def test_every_rule_by_its_formula(rule, tolerance, expanded):
    """w is 0, g·U, T − √(T² − U²), or M·U where M is above 0."""
    w = guard_band(rule=rule, tolerance=tolerance, expanded=expanded)
    m = 1.04 - math.exp(0.38 * math.log(tolerance / expanded) - 0.54)
    expected = {SIMPLE: 0.0, MULTIPLE: float(rule.g) * expanded, MULTIPLIER: max(0.0, m) * expanded,
                ROOT_SUM_SQUARE: tolerance - math.sqrt(max(0.0, tolerance ** 2 - expanded ** 2))
                if expanded < tolerance else math.inf}[rule.kind]
    assert w == pytest.approx(expected, rel=1e-9, abs=1e-15)


def test_root_sum_square_is_a_right_angle():
    """A² + U² = T²."""
    for expanded in (0.001, 0.3, 0.6, 0.999):
        a = 1 - guard_band(rule=Rule(ROOT_SUM_SQUARE), tolerance=1.0, expanded=expanded)
        assert a * a + expanded * expanded == pytest.approx(1, abs=1e-12)


def test_the_multiplier_ends_at_4_6():
    """M falls as the test uncertainty ratio grows, and is 0 at about 4.59; from there on no guard
    band, never a negative one."""
    turs = [1 + n / 100 for n in range(1901)]
    values = [multiplier(tur=t) for t in turs]
    assert all(a > b for a, b in pairwise(values))
    assert multiplier(tur=4.58) > 0 > multiplier(tur=4.60)
    assert all(guard_band(rule=Rule(MULTIPLIER), tolerance=t, expanded=1.0) == 0 for t in turs
               if t >= 4.6)


@pytest.mark.parametrize("rule", RULES, ids=named)
def test_a_guard_band_is_never_negative_and_scales_with_the_unit(rule):
    """The same point in mV and in V has the same guard band."""
    chance = random.Random(4)
    for _ in range(200):
        t, u = 10 ** chance.uniform(-6, 6), 10 ** chance.uniform(-6, 6)
        w = guard_band(rule=rule, tolerance=t, expanded=u)
        assert w >= 0
        assert guard_band(rule=rule, tolerance=t * 1000,
                          expanded=u * 1000) == pytest.approx(w * 1000, rel=1e-6, abs=t * 1e-10)


@pytest.mark.parametrize("rule", RULES, ids=named)
def test_no_uncertainty_needs_no_guard_band(rule):
    """With U = 0 every rule is simple acceptance."""
    assert guard_band(rule=rule, tolerance=1.0, expanded=0.0) == 0


@pytest.mark.parametrize("rule", [r for r in RULES if r.kind in (MULTIPLE, ROOT_SUM_SQUARE)],
                         ids=named)
def test_no_tolerance_leaves_no_room(rule):
    """With T = 0, as 0.5 % of zero is, any guard band is more than the tolerance."""
    assert guard_band(rule=rule, tolerance=0.0, expanded=0.001) > 0


def test_no_tolerance_with_the_multiplier():
    """The same for M, whose formula has no value at TUR = 0: no room, or no guard band, but no
    exception."""
    assert guard_band(rule=Rule(MULTIPLIER), tolerance=0.0, expanded=0.001) >= 0


# ---------------------------------------------------------------- readings

def by_brute_force(applied: F, inside: F, resolution: F, shows_minus: bool) -> list[int]:
    """Every count of which the reading lies within ± inside of the applied value; a display without
    a minus shows the readings below 0 as 0."""
    middle, reach = applied / resolution, inside / resolution
    counts = [n for n in range(math.floor(middle - reach) - 3, math.ceil(middle + reach) + 4)
              if abs(n * resolution - applied) <= inside]
    return counts if shows_minus else [n for n in counts if n >= 0]


@pytest.mark.thorough
@pytest.mark.parametrize("rule", RULES, ids=named)
def test_limits_lie_inside_by_brute_force(rule):
    """A reading is accepted when and only when it lies within T − w, whatever the grid of the
    display."""
    chance = random.Random(9)
    with_room = 0
    for _ in range(400):
        resolution = F(chance.choice((1, 2, 5)), 10 ** chance.randint(0, 6))
        applied = resolution * F(chance.randint(-40_000, 40_000), 10)
        tolerance = resolution * F(chance.randint(1, 300), 10)
        shows_minus = chance.random() < 0.6
        applied = applied if shows_minus else abs(applied)
        w = guard_band(rule=rule, tolerance=float(tolerance),
                       expanded=float(tolerance) * 10 ** chance.uniform(-2, 0.3))
        if w >= float(tolerance):
            continue
        inside = tolerance - exact(value=w)
        found = accepted(low=applied - inside, high=applied + inside, resolution=resolution,
                         shows_minus=shows_minus)
        expected = by_brute_force(applied, inside, resolution, shows_minus)
        assert list(range(found.low, found.high + 1)) == expected
        assert all(abs(n * resolution - applied) <= tolerance for n in expected)
        with_room += bool(expected)
    assert with_room > 30


@pytest.mark.parametrize("expanded", [0.5, 0.50001, 0.7, 0.99])
def test_one_count_with_half_a_count_accepts_only_the_nominal_reading(expanded):
    """T of one count with U of half a count or more leaves the nominal reading alone."""
    r = F("0.001")
    w = guard_band(rule=Rule(MULTIPLE, F(1)), tolerance=float(r), expanded=expanded * float(r))
    inside = r - exact(value=w)
    found = accepted(low=3 - inside, high=3 + inside, resolution=r, shows_minus=True)
    assert (found.low, found.high) == (3000, 3000)


def test_one_count_with_half_a_count_between_two_readings():
    """If the applied value lies between two counts, nothing is left there."""
    r = F("0.001")
    inside = r - exact(value=0.00051)
    found = accepted(low=F("3.0005") - inside, high=F("3.0005") + inside, resolution=r,
                     shows_minus=True)
    assert found.is_empty


def test_a_limit_just_on_a_count_is_kept():
    """A guard band of exactly one count of three takes one count on each side, no more: 3 ± 2."""
    r = F("0.1")
    w = guard_band(rule=Rule(MULTIPLE, F(1)), tolerance=0.3, expanded=0.1)
    inside = 3 * r - exact(value=w)
    found = accepted(low=3 - inside, high=3 + inside, resolution=r, shows_minus=True)
    assert (found.low, found.high) == (28, 32)


def test_no_minus_clamps_the_guarded_limit_too():
    """On a display without a minus the lower guarded limit is 0 where it falls below."""
    inside = F("0.005") - exact(value=0.001)
    found = accepted(low=F("0.002") - inside, high=F("0.002") + inside, resolution=F("0.001"),
                     shows_minus=False)
    assert (found.low, found.high, found.clamped) == (0, 6, True)


# ---------------------------------------------------------------- from a statistic to a limit

def test_exact_keeps_twelve_figures():
    """The same decimal on every machine, within a part in 10¹¹ of the statistic."""
    assert exact(value=0.25) == F(1, 4)
    assert exact(value=1 / 3) == F("0.333333333333")
    assert exact(value=0.1 + 0.2) == F("0.3")
    chance = random.Random(2)
    for _ in range(200):
        value = 10 ** chance.uniform(-15, 9)
        assert abs(exact(value=value) / F(value) - 1) <= F(5, 10**12)


def test_exact_does_not_hang_on_the_last_bit():
    """A last bit more or less, as another machine's library may give, makes no other limit."""
    for value in (0.0123, 4.7725e-4, 12.5, 1e-7):
        assert exact(value=value) == exact(value=math.nextafter(value, 1)) == exact(
            value=math.nextafter(value, 0))


@pytest.mark.parametrize("tur", [0.0, -1.0])
def test_without_a_ratio_the_multiplier_is_its_highest(tur):
    """1.04, to which the curve runs as the ratio goes to nothing."""
    assert multiplier(tur=tur) == 1.04 and multiplier(tur=1e-12) == pytest.approx(1.04, abs=1e-4)
