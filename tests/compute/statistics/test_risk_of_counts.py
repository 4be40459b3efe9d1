"""Risks of a display that rounds: each count by itself with scipy, meters drawn one by one, and the
limit of a display so fine that it rounds nothing."""

import math
import random
from fractions import Fraction as F

import numpy as np
import pytest
from scipy import integrate, stats
from scipy.special import ndtr

from builder.compute.statistics.risk import global_risks, outside, prior_of_share
from builder.compute.statistics.rounding import cells
from tests.compute.statistics.test_risk import by_bivariate_normal

# In counts: T, what is applied beside a count, u of the standard; then the accepted counts beside
# what is applied, and false accept and false reject in percent of meters of which 95 % come in
# tolerance, for the error before rounding. Points of invented meters; computed.
POINTS = [
    (3.0, 0.0, 0.04, (-3, 3), "2.774", "0.000"),
    (3.0, 0.0, 0.0005, (-3, 3), "2.778", "0.000"),
    (4.0, 0.0, 0.4, (-4, 4), "2.089", "0.137"),
    (2.25, 0.0, 0.0125, (-2, 2), "2.056", "0.000"),
    (6.0, 0.0, 0.058, (-6, 6), "1.624", "0.000"),
    (30.0, 0.0, 0.208, (-30, 30), "0.368", "0.000"),
    (2.5, 0.0, 0.025, (-2, 2), "0.089", "0.094"),
    (4.5, 0.0, 0.0225, (-4, 4), "0.045", "0.046"),
]


def known(t: float, beside: float, counts: tuple[int, int]) -> dict:
    x = F(str(beside))
    return {"tolerance": (-t, t), "u0": prior_of_share(share=0.95, tolerance=t),
            "acceptance": cells(lowest=counts[0] - x, highest=counts[1] - x, step=F(1))}


@pytest.mark.parametrize("t, beside, u, counts, accept, reject", POINTS)
def test_points_of_a_few_counts(t, beside, u, counts, accept, reject):
    """To three decimals of a percent, and by scipy's bivariate normal distribution to 1e-6."""
    case = known(t, beside, counts) | {"u": u}
    found = global_risks(**case)
    assert tuple(f"{100 * share:.3f}" for share in found) == (accept, reject)
    assert found == pytest.approx(by_bivariate_normal(**case), abs=1e-6)


@pytest.mark.parametrize("t, beside, u, counts", [
    *(point[:4] for point in POINTS), (3.2, 0.4, 0.3, (-2, 3)), (5.7, -0.3, 1.1, (-6, 5)),
    (0.9, 0.0, 0.2, (0, 0)), (20.0, 0.25, 3.0, (-17, 17))])
def test_meters_drawn_one_by_one(t, beside, u, counts):
    """Two million seeded meters: an error, a standard that is off, and a display that rounds. On
    the grid or off it, with a guard band or without."""
    chance = np.random.default_rng(11)
    case = known(t, beside, counts)
    error = chance.normal(0, case["u0"], 2 * 10**6)
    reading = np.floor(beside + chance.normal(0, u, error.size) + error + 0.5)
    good, accepted = np.abs(error) <= t, (reading >= counts[0]) & (reading <= counts[1])
    expected = np.mean(~good & accepted), np.mean(good & ~accepted)
    assert global_risks(**case, u=u) == pytest.approx(expected, abs=5e-4)
    # as it is shown: a meter is good that shows an accepted count for just what was planned
    shown = np.floor(beside + error + 0.5)
    good = (shown >= counts[0]) & (shown <= counts[1])
    expected = np.mean(~good & accepted), np.mean(good & ~accepted)
    assert global_risks(**case | {"tolerance": case["acceptance"]}, u=u) == pytest.approx(
        expected, abs=5e-4)


def by_counts(error: float, beside: float, u: float, counts: tuple[int, int], u0: float) -> float:
    """The density of an error times how likely an accepted count is shown."""
    return math.exp(-(error / u0) ** 2 / 2) / (u0 * math.sqrt(2 * math.pi)) * sum(
        ndtr((n + 0.5 - beside - error) / u) - ndtr((n - 0.5 - beside - error) / u)
        for n in range(counts[0], counts[1] + 1))


def test_each_count_by_itself():
    """The sum over the accepted counts of how likely each is shown, integrated over the errors
    beyond the tolerance with scipy: to 1e-7."""
    chance = random.Random(5)
    for _ in range(25):
        t, beside, u = chance.uniform(0.6, 9), chance.uniform(-0.5, 0.5), chance.uniform(0.02, 2)
        counts = math.ceil(beside - t), math.floor(beside + t)
        case = known(t, beside, counts)
        near = [cut for edge in case["acceptance"] for cut in (edge - 3 * u, edge, edge + 3 * u)]
        expected = sum(
            integrate.quad(by_counts, *ends, args=(beside, u, counts, case["u0"]), limit=200,
                           points=[cut for cut in near if ends[0] < cut < ends[1]] or None)[0]
            for ends in ((-6 * case["u0"], -t), (t, 6 * case["u0"])))
        assert global_risks(**case, u=u)[0] == pytest.approx(expected, abs=1e-7)


@pytest.mark.parametrize("tur, u", [(4, 0.125), (2, 0.25), (1, 0.5)])
def test_a_fine_display_tends_to_the_smooth_risks(tur, u):
    """With a hundred, ten thousand, a million counts in T the risks go to those without rounding:
    a hundred times finer, a hundred times nearer."""
    smooth = global_risks(tolerance=(-1.0, 1.0), acceptance=(-1.0, 1.0), u=u,
                          u0=prior_of_share(share=0.95, tolerance=1.0))
    off = []
    for counts in (100, 10**4, 10**6):
        case = known(float(counts), 0.0, (-counts, counts)) | {"u": u * counts}
        off.append([abs(a - b) for a, b in zip(global_risks(**case), smooth, strict=True)])
    for coarse, finer in zip(off, off[1:], strict=False):
        assert finer == pytest.approx([gap / 100 for gap in coarse], rel=0.05, abs=2e-9)


def shifted(shift: float, which: int, case: dict) -> float:
    return by_bivariate_normal(**case, acceptance=(-3.5 + shift, 3.5 + shift))[which]


@pytest.mark.parametrize("blur", [1e-5, 0.05, 0.5, 4.0])
@pytest.mark.parametrize("tolerance, u, mean", [((-3.0, 3.0), 0.2, 0.0), ((-2.0, 4.0), 0.7, 1.0)])
def test_a_rounding_at_an_unknown_place(tolerance, u, mean, blur):
    """Edges that lie evenly anywhere within ± blur: the mean over them, by scipy, to 1e-6."""
    case = {"tolerance": tolerance, "u0": 1.6, "u": u, "mean": mean}
    expected = [integrate.quad(shifted, -blur, blur, args=(which, case), epsabs=1e-8)[0]
                / (2 * blur) for which in (0, 1)]
    assert global_risks(**case, acceptance=(-3.5, 3.5), blur=blur) == pytest.approx(expected,
                                                                                    abs=1e-6)


def test_a_display_that_hides_one_side():
    """What is shown as 0 however far below it lies: every error below the tolerance is accepted."""
    accept, _ = global_risks(tolerance=(-3.0, 3.0), acceptance=(-math.inf, 3.5), u0=1.5, u=0.01)
    _, above = global_risks(tolerance=(-3.0, 3.0), acceptance=(-3.5, 3.5), u0=1.5, u=0.01)
    one_side, _ = global_risks(tolerance=(-math.inf, 3.0), acceptance=(-math.inf, 3.5), u0=1.5,
                               u=0.01)
    assert accept == pytest.approx(stats.norm.cdf(-2) + one_side, abs=1e-9) and above < 1e-9
    assert outside(tolerance=(-3.0, 3.0), u0=1.5) == pytest.approx(2 * stats.norm.cdf(-2))
    assert outside(tolerance=(-2.0, 4.0), u0=1.5, mean=1.0) == pytest.approx(
        2 * stats.norm.cdf(-2))


@pytest.mark.parametrize("share, passed", [(1, 36), (2, 27), (4, 17)])
def test_of_the_meters_that_are_out(share, passed):
    """A smooth display, 95 % in tolerance, at 1:1, 2:1 and 4:1: so many percent of those that are
    out pass."""
    u0 = prior_of_share(share=0.95, tolerance=1.0)
    accept, _ = global_risks(tolerance=(-1.0, 1.0), acceptance=(-1.0, 1.0), u0=u0, u=0.5 / share)
    assert round(100 * accept / outside(tolerance=(-1.0, 1.0), u0=u0)) == passed
