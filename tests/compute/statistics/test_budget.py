"""Budgets against independent programs: GTC for propagation and degrees of freedom, scipy for
Student's t, a numerical convolution and a Monte Carlo run for the coverage factor."""

import math
import random
from itertools import pairwise

import GTC
import numpy as np
import pytest
from scipy import integrate, special, stats

from builder.compute.statistics.budget import (DIVISORS, NORMAL, RECTANGULAR, TRIANGULAR, Component,
                                               combine, distribution, normal, rectangles_and_sigma,
                                               rectangular, truncated_degrees, welch_satterthwaite)


def triangular(half_width: float, **more) -> Component:
    return Component(name="triangle", value=half_width, distribution=TRIANGULAR,
                     divisor=DIVISORS[TRIANGULAR], **more)


def rectangle(half_width: float, **more) -> Component:
    return rectangular(name="rectangle", half_width=half_width, **more)


def normally(u: float, **more) -> Component:
    return normal(name="normal", value=u, divisor=1.0, **more)


# ---------------------------------------------------------------- independent references

def half_width_by_convolution(components, probability: float, cells: int = 1 << 15) -> float:
    """The half-width over u that holds the probability, from the components' shapes on a grid,
    convolved by FFT."""
    u = math.sqrt(sum(c.contribution ** 2 for c in components))
    parts = [(c.distribution, c.contribution / u) for c in components if c.contribution > 1e-9 * u]
    reach = sum(s * {RECTANGULAR: math.sqrt(3), TRIANGULAR: math.sqrt(6), NORMAL: 9.0}[kind]
                for kind, s in parts)
    step = 2.1 * reach / cells
    edges = (np.arange(cells + 1) - cells / 2) * step
    spectrum = np.ones(cells // 2 + 1, complex)
    for kind, s in parts:
        if kind == RECTANGULAR:
            below = np.clip(edges / (s * math.sqrt(3)) / 2 + 0.5, 0, 1)
        elif kind == TRIANGULAR:
            x = np.clip(edges / (s * math.sqrt(6)), -1, 1)
            below = np.where(x < 0, (1 + x) ** 2 / 2, 1 - (1 - x) ** 2 / 2)
        else:
            below = special.ndtr(edges / s)
        spectrum *= np.fft.rfft(np.roll(np.diff(below), -cells // 2))
    mass = np.roll(np.fft.irfft(spectrum, cells), cells // 2)
    ends = (np.arange(cells + 1) - cells / 2) * step + (len(parts) - 1) * step / 2
    below = np.concatenate([[0.0], np.cumsum(mass)])
    widths = np.linspace(0.3, 4.0, 7401)
    held = np.interp(widths, ends, below) - np.interp(-widths, ends, below)
    return float(np.interp(probability, held, widths))


def some_budgets(many: int, *, rectangles: int, seed: int):
    """Budgets of 1 to 5 components over two decades, in units of very different sizes."""
    chance = random.Random(seed)
    while many:
        scale = 10 ** chance.uniform(-9, 6)
        budget = []
        for _ in range(chance.randint(1, 5)):
            size = scale * 10 ** chance.uniform(-2, 0)
            budget.append(chance.choice((normally, rectangle, rectangle, triangular))(size))
        if sum({RECTANGULAR: 1, TRIANGULAR: 2}.get(c.distribution, 0)
               for c in budget) <= rectangles:
            many -= 1
            yield budget, chance.choice((0.95, 0.9545, 0.99))


# ---------------------------------------------------------------- combined, degrees of freedom

@pytest.mark.parametrize("seed", range(60))
def test_combined_as_gtc_does(seed):
    """u and ν_eff of random budgets with sensitivities and few degrees of freedom agree with
    GTC."""
    chance = random.Random(seed)
    components, total = [], 0
    for n in range(chance.randint(1, 8)):
        size, c = 10 ** chance.uniform(-4, 0), chance.choice((1.0, -1.0, chance.uniform(-5, 5)))
        degrees = chance.choice((math.inf, chance.randint(1, 60)))
        kind = chance.choice((RECTANGULAR, TRIANGULAR, NORMAL))
        if kind == RECTANGULAR:
            components.append(rectangle(size, sensitivity=c, degrees=degrees))
            u = GTC.type_b.uniform(size)
        elif kind == TRIANGULAR:
            components.append(triangular(size, sensitivity=c, degrees=degrees))
            u = GTC.type_b.triangular(size)
        else:
            k = chance.choice((1.0, 1.96, 2.0, 2.58))
            components.append(normal(name=f"n{n}", value=size, divisor=k, sensitivity=c,
                                     degrees=degrees))
            u = size / k
        total += c * GTC.ureal(0.0, u, degrees)
    found = combine(components=components)
    assert found.u == pytest.approx(GTC.uncertainty(total), rel=1e-12)
    degrees = welch_satterthwaite(components=components)
    expected = GTC.dof(total)
    assert degrees == (math.inf if math.isinf(expected) else pytest.approx(expected, rel=1e-9))
    assert found.degrees == truncated_degrees(degrees=degrees)


def test_a_sign_of_sensitivity_does_not_matter():
    """A contribution is |c|·u."""
    assert rectangle(3.0,
                     sensitivity=-2.0).contribution == pytest.approx(2 * math.sqrt(3), rel=1e-15)


@pytest.mark.parametrize("degrees, cut",
                         [(18.9987, 19), (16.76, 16), (0.4, 1), (1.0, 1), (2.994, 2), (2.996, 3),
                          (99.96, 100), (1234.9, 1230), (math.inf, math.inf)])
def test_degrees_are_rounded_to_three_figures_then_cut(degrees, cut):
    """18.9987 is 19, 16.76 is 16; never less than 1."""
    assert truncated_degrees(degrees=degrees) == cut


def test_nothing_uncertain():
    """Where every component is 0, u, k and U are 0, without an exception."""
    found = combine(components=[rectangle(0.0), normally(0.0)])
    assert (found.u, found.k, found.expanded, found.degrees) == (0, 0, 0, math.inf)


# ---------------------------------------------------------------- Student's t


@pytest.mark.parametrize("n", [2, 3, 5, 10, 30])
def test_few_readings_alone_give_student(n):
    """A single Type A component of n readings has k = t for n − 1."""
    assert combine(components=[normally(0.3, degrees=n - 1)],
                   probability=0.95).k == pytest.approx(stats.t.ppf(0.975, n - 1), rel=1e-7)


# ---------------------------------------------------------------- the coverage factor

@pytest.mark.thorough
def test_factor_by_convolution():
    """k of random mixes of normal, rectangular and triangular components agrees with a convolution
    on a grid."""
    for components, probability in some_budgets(120, rectangles=6, seed=5):
        expected = half_width_by_convolution(components, probability)
        assert combine(components=components,
                       probability=probability).k == pytest.approx(expected, abs=5e-6), (
                           components, probability)


def test_factor_of_more_rectangles_than_keep_their_shape():
    """With more than six rectangles the smallest ones count as normal, which changes k by less than
    half a unit of its second decimal."""
    many = [triangular(1.0) for _ in range(5)]
    assert combine(components=many).k == pytest.approx(
        half_width_by_convolution(many, 0.9545), abs=0.005)


def test_factor_by_monte_carlo():
    """k of a budget of all three shapes agrees with a million seeded draws."""
    components = [normally(0.4), rectangle(1.0), triangular(1.2), rectangle(0.3)]
    chance = np.random.default_rng(20)
    draws = (chance.normal(0, 0.4,
                           10**6) + chance.uniform(-1, 1, 10**6) + chance.triangular(
                               -1.2, 0, 1.2, 10**6) + chance.uniform(-0.3, 0.3, 10**6))
    found = combine(components=components)
    assert np.std(draws) == pytest.approx(found.u, rel=0.003)
    # The spread of such a quantile over runs is about 0.002.
    assert np.quantile(np.abs(draws), 0.9545) / found.u == pytest.approx(found.k, abs=0.006)


@pytest.mark.parametrize("components, k",
                         [([normally(0.7)], 2.0), ([rectangle(0.5)], 0.9545 * math.sqrt(3)),
                          ([triangular(2.0)], (1 - math.sqrt(0.0455)) * math.sqrt(6))])
def test_factor_of_one_shape(components, k):
    """2.00 for a normal component, 1.6532 for a rectangle, 1.927 for a triangle, at 95.45 %."""
    assert combine(components=components).k == pytest.approx(k, abs=3e-6)


def test_factor_between_the_limits_without_a_jump():
    """From a lone rectangle to a lone normal component, k moves in small steps from 1.6532 to 2.00:
    neighbours don't jump."""
    angles = [n * math.pi / 4000 for n in range(2001)]
    factors = [combine(components=[rectangle(math.cos(a) * math.sqrt(3)), normally(math.sin(a))]).k
               for a in angles]
    assert factors[0] == pytest.approx(1.6532,
                                       abs=5e-5) and factors[-1] == pytest.approx(2.0, abs=5e-6)
    assert max(abs(b - a) for a, b in pairwise(factors)) < 0.0005
    # A little normal noise leaves U as it is and enlarges u, so k dips to 1.6523 first.
    assert min(factors) == pytest.approx(1.6523, abs=5e-5) and max(factors) < 2.00001


def test_factor_where_a_small_rectangle_joins_the_normal_part():
    """k is the same to 1e-6 on both sides of the size from which on a rectangle counts as
    normal."""
    u = math.sqrt(1 + 0.02 ** 2 / 3)
    below, above = (combine(components=[normally(1.0), rectangle(0.02 * u * f)]).k
                    for f in (0.999, 1.001))
    assert below == pytest.approx(above, abs=1e-6)


def test_factor_does_not_hang_on_unit_or_order():
    """The same budget in µV and in V, in any order, has one k."""
    sizes = (1.0, 0.4, 0.05)
    found = {round(combine(components=[shape(f * s) for shape, s in order]).k, 6)
             for f in (1.0, 1e-6, 1e9)
             for order in (list(zip((normally, rectangle, triangular), sizes, strict=True)),
                           list(zip((triangular, rectangle, normally), sizes[::-1], strict=True)))}
    assert len(found) == 1


@pytest.mark.parametrize("degrees", [1, 3, 16, 1000])
def test_factor_with_few_degrees_of_freedom(degrees):
    """k is the shapes' factor times t over the normal factor."""
    shapes = [normally(1.0), rectangle(1.0)]
    few = combine(components=[normally(1.0, degrees=degrees), rectangle(1.0)])
    nu = truncated_degrees(
        degrees=welch_satterthwaite(components=[normally(1.0, degrees=degrees), rectangle(1.0)]))
    assert few.degrees == nu
    assert few.k == pytest.approx(combine(components=shapes).k
                                  * stats.t.ppf(0.97725, nu) / stats.norm.ppf(0.97725), rel=1e-7)


def test_expanded_is_the_product():
    """U = k·u, unrounded."""
    found = combine(components=[normally(0.123456789), rectangle(0.987654321)])
    assert found.expanded == found.k * found.u


# ---------------------------------------------------------------- the distribution function

SHAPES = [((), 1.0), ((1.0,), 0.0), ((1.0,), 0.3), ((1.0,), 1e-7), ((1.0, 1.0), 0.0),
          ((2.0, 1.0), 0.0), ((2.0, 1.0), 0.1), ((3.0, 0.06, 0.05), 0.001),
          ((1.0, 0.5, 0.25), 0.2), ((1.0, 1.0, 1.0, 1.0), 0.0), ((1e-6, 5e-7), 3e-7), ((2e5,), 1e5)]


def spread(rectangles, sigma) -> float:
    return math.sqrt(sum(a * a / 3 for a in rectangles) + sigma * sigma)


@pytest.mark.parametrize("rectangles, sigma", SHAPES)
def test_distribution_rises_from_0_to_1(rectangles, sigma):
    """It never falls and stays within 0 and 1."""
    u = spread(rectangles, sigma)
    values = [distribution(x=u * (n / 100 - 8), rectangles=rectangles, sigma=sigma)
              for n in range(1601)]
    assert values[0] < 1e-9 and values[-1] > 1 - 1e-9
    assert all(b >= a - 1e-9 for a, b in pairwise(values))


@pytest.mark.parametrize("rectangles, sigma", SHAPES)
def test_distribution_is_symmetric(rectangles, sigma):
    """F(x) + F(−x) = 1, and F(0) is a half."""
    u = spread(rectangles, sigma)
    for n in range(0, 801):
        x = u * n / 100
        assert distribution(x=x, rectangles=rectangles,
                            sigma=sigma) + distribution(
                                x=-x, rectangles=rectangles,
                                sigma=sigma) == pytest.approx(1, abs=1e-9)


@pytest.mark.parametrize("x", [-3.0, -1.0, -0.25, 0.0, 0.5, 1.0, 4.0])
def test_distribution_of_a_normal_and_of_a_rectangle(x):
    """Φ(x/σ) without a rectangle, a straight line for one alone."""
    assert distribution(x=x, rectangles=(),
                        sigma=0.8) == pytest.approx(stats.norm.cdf(x / 0.8), abs=1e-14)
    assert distribution(x=x, rectangles=(2.0,),
                        sigma=0.0) == pytest.approx(min(1, max(0, (x + 2) / 4)), abs=1e-14)


@pytest.mark.parametrize("x", [n / 10 for n in range(-35, 36)])
def test_distribution_of_two_rectangles(x):
    """Half-widths 2 and 1 are a trapezoid, 1.5 twice a triangle."""
    assert distribution(x=x, rectangles=(2.0, 1.0),
                        sigma=0.0) == pytest.approx(
                            stats.trapezoid.cdf(x, 1 / 3, 2 / 3, -3, 6), abs=1e-12)
    assert distribution(x=x, rectangles=(1.5, 1.5),
                        sigma=0.0) == pytest.approx(stats.triang.cdf(x, 0.5, -3, 6), abs=1e-12)


@pytest.mark.parametrize("x", [-2.5, -1.2, -0.4, 0.0, 0.7, 1.0, 1.9])
@pytest.mark.parametrize("sigma", [0.02, 0.3, 1.5])
def test_distribution_of_a_rectangle_with_a_normal(x, sigma):
    """The mean of Φ((x − s)/σ) over the rectangle, by numerical integration."""
    expected, _ = integrate.quad(lambda s: stats.norm.cdf((x - s) / sigma) / 2, -1, 1,
                                 points=[min(1, max(-1, x))], epsabs=1e-12)
    assert distribution(x=x, rectangles=(1.0,), sigma=sigma) == pytest.approx(expected, abs=1e-10)


def test_far_tails():
    """Far out it is 0 and 1, also for a normal part that is tiny or missing, with up to three
    rectangles."""
    for rectangles, sigma in (((1.0,), 0.0), ((1.0,), 1e-9), ((1.0, 0.03), 0.02),
                              ((1.0, 0.03, 0.02), 1e-5), ((0.021, 0.021, 0.021), 1.0)):
        u = spread(rectangles, sigma)
        for x in (9 * u, 20 * u, 1000 * u):
            assert distribution(x=x, rectangles=rectangles,
                                sigma=sigma) == pytest.approx(1, abs=1e-6)
            assert distribution(x=-x, rectangles=rectangles,
                                sigma=sigma) == pytest.approx(0, abs=1e-12)


def test_far_tails_of_six_small_rectangles():
    """The same for the most rectangles that keep their shape."""
    assert distribution(x=20.0, rectangles=(0.021,) * 6, sigma=1.0) == pytest.approx(1, abs=1e-6)


def test_which_components_keep_their_shape():
    """A triangle is two rectangles of half its width, a normal component and a tiny rectangle are
    the normal part; the variance stays the same."""
    components = [triangular(2.0), rectangle(0.5), rectangle(0.001), normally(0.3)]
    rectangles, sigma = rectangles_and_sigma(components=components)
    assert rectangles == pytest.approx((1.0, 1.0, 0.5))
    assert spread(rectangles, sigma) == pytest.approx(combine(components=components).u, rel=1e-14)
