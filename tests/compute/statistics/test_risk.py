"""Specific and global risks against scipy's bivariate normal distribution."""

import math
import random
import re
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from builder.compute.statistics.budget import normal, rectangular
from builder.compute.statistics.risk import (beyond_when_read, global_risks, prior_of_share,
                                             specific_at_limit)


def by_bivariate_normal(*, tolerance, acceptance, u0, u, mean=0.0) -> tuple[float, float]:
    """(false accept, false reject) from the joint distribution of a meter's error and its reading,
    whose covariance is [[u0², u0²], [u0², u0² + u²]]."""
    total = math.hypot(u0, u)
    joint = stats.multivariate_normal([0, 0], [[1, u0 / total], [u0 / total, 1]],
                                      allow_singular=True)
    low, high = (((tolerance[i] - mean) / u0, (acceptance[i] - mean) / total) for i in (0, 1))
    both = joint.cdf(high, lower_limit=low)
    conforming, accepted = (float(stats.norm.cdf(b) - stats.norm.cdf(a))
                            for a, b in zip(low, high, strict=True))
    return float(accepted - both), float(conforming - both)


def agree(**case) -> None:
    found, expected = global_risks(**case), by_bivariate_normal(**case)
    assert found == pytest.approx(expected, abs=1e-6), case


def size(chance, low: float, high: float) -> float:
    return 10 ** chance.uniform(math.log10(low), math.log10(high))


def test_centred_as_the_bivariate_normal_has_it():
    """Symmetric limits, spreads of a thirtieth to thirty times the tolerance, guard bands of 0 to 5
    U: to 1e-6."""
    chance = random.Random(1)
    for _ in range(150):
        t, u = size(chance, 1e-6, 1e6), size(chance, 1e-3, 3)
        a = max(0.0, 1 - chance.choice((0, chance.uniform(0, 10))) * u)
        agree(tolerance=(-t, t), acceptance=(-a * t, a * t), u0=t * size(chance, 1 / 30, 30),
              u=t * u)


def test_biased_and_lopsided_as_the_bivariate_normal_has_it():
    """Limits of different sizes, acceptance limits moved independently, priors with their mean
    inside or outside: to 1e-6."""
    chance = random.Random(2)
    for _ in range(150):
        u, low, high = size(chance, 1e-3, 3), -chance.uniform(0.2, 1), chance.uniform(0.2, 1)
        a_low, a_high = low + chance.uniform(0, 4) * u, high - chance.uniform(0, 4) * u
        if a_low < a_high:
            agree(tolerance=(low, high), acceptance=(a_low, a_high), u0=size(chance, 0.01, 30), u=u,
                  mean=chance.uniform(-1.5, 1.5))


def test_tiny_and_huge_uncertainties_as_the_bivariate_normal_has_it():
    """From a millionth to a thousand times the tolerance, for the measurement and for the prior: to
    1e-6."""
    chance = random.Random(3)
    for _ in range(150):
        u = size(chance, 1e-6, 1e3)
        a = max(0.01, 1 - chance.choice((0, 1, 2, 10)) * u)
        agree(tolerance=(-1.0, 1.0), acceptance=(-a, a), u0=size(chance, 1e-4, 1e3), u=u,
              mean=chance.choice((0.0, 0.0, 0.8, 1.0, -0.3)))


def test_acceptance_beyond_the_tolerance():
    """Limits relaxed outward by some u, as a rule that gives the meter the benefit of the doubt has
    them: to 1e-6."""
    chance = random.Random(4)
    for _ in range(50):
        u = size(chance, 1e-3, 1)
        a = 1 + chance.uniform(0, 4) * u
        agree(tolerance=(-1.0, 1.0), acceptance=(-a, a), u0=size(chance, 0.05, 5), u=u)


def test_a_guard_band_of_very_many_u():
    """Limits far inside, a thousand u from the tolerance limits: to 1e-6."""
    agree(tolerance=(-1.0, 1.0), acceptance=(-0.083, 0.083), u0=0.28, u=0.0013)


def test_the_risks_by_monte_carlo():
    """Two million seeded meters and readings, drawn without any formula."""
    chance = np.random.default_rng(7)
    error = chance.normal(0.1, 0.45, 2 * 10**6)
    reading = error + chance.normal(0, 0.15, error.size)
    good, accepted = np.abs(error) <= 1, np.abs(reading) <= 0.9
    found = global_risks(tolerance=(-1.0, 1.0), acceptance=(-0.9, 0.9), u0=0.45, u=0.15, mean=0.1)
    assert found == pytest.approx((np.mean(~good & accepted), np.mean(good & ~accepted)), abs=6e-4)


def test_a_perfect_measurement_is_never_wrong():
    """With a very small u and no guard band both risks go to 0; with a huge u nearly every good
    meter is rejected."""
    assert global_risks(tolerance=(-1.0, 1.0), acceptance=(-1.0, 1.0), u0=0.5,
                        u=1e-9) == pytest.approx((0, 0), abs=1e-8)
    accept, reject = global_risks(tolerance=(-1.0, 1.0), acceptance=(-1.0, 1.0), u0=0.5, u=1e4)
    assert accept < 1e-4 and reject == pytest.approx(0.9545, abs=2e-4)


def test_a_guard_band_trades_false_accepts_for_false_rejects():
    """As the acceptance limits move inward, the one falls and the other rises."""
    risks = [global_risks(tolerance=(-1.0, 1.0), acceptance=(-a, a), u0=0.5, u=0.125)
             for a in (1.0, 0.9, 0.8, 0.5, 0.2)]
    assert [r[0] for r in risks] == sorted((r[0] for r in risks), reverse=True)
    assert [r[1] for r in risks] == sorted(r[1] for r in risks)


@pytest.mark.parametrize("share", [0.3, 0.6827, 0.95, 0.9545, 0.995, 0.9999])
def test_prior_of_a_share(share):
    """So many of a centred normal prior lie within the tolerance."""
    u0 = prior_of_share(share=share, tolerance=3.0)
    assert 2 * stats.norm.cdf(3.0 / u0) - 1 == pytest.approx(share, abs=1e-12)


# ---------------------------------------------------------------- specific

def test_specific_risk_of_a_normal_measurement():
    """Φ for both limits, by scipy."""
    for u in (0.05, 0.3, 1.0, 5.0):
        for guard in (0.0, 0.1, 0.5, 1.0):
            found = specific_at_limit(components=[normal(name="u", value=2 * u, divisor=2.0)],
                                      guard=guard, tolerance=1.0)
            assert found == pytest.approx(
                stats.norm.sf(guard / u) + stats.norm.cdf((guard - 2) / u), abs=1e-12)


def test_specific_risk_of_a_rectangle():
    """A lone rectangle of ±0.5 counts: 50 % at the limit, 25 % a quarter of a count inside, none
    half a count inside."""
    resolution = [rectangular(name="resolution", half_width=0.5)]
    for guard, risk in ((0.0, 0.5), (0.25, 0.25), (0.5, 0.0), (0.9, 0.0)):
        assert specific_at_limit(components=resolution, guard=guard,
                                 tolerance=2.0) == pytest.approx(risk, abs=1e-12)


def test_specific_risk_by_monte_carlo():
    """A million seeded draws of a mixed budget around a reading at the acceptance limit."""
    chance = np.random.default_rng(8)
    off = chance.normal(0, 0.2, 10**6) + chance.uniform(-0.5, 0.5, 10**6)
    components = [normal(name="standard", value=0.4, divisor=2.0),
                  rectangular(name="resolution", half_width=0.5)]
    found = specific_at_limit(components=components, guard=0.4, tolerance=0.6)
    assert found == pytest.approx(np.mean(np.abs(0.2 + off) > 0.6), abs=0.0015)


def test_no_tolerance_at_all():
    """Where the tolerance is 0 a reading of the nominal says nothing: the risk is 100 %."""
    assert specific_at_limit(components=[rectangular(name="resolution", half_width=0.5)], guard=0.0,
                             tolerance=0.0) == 1.0


# ---------------------------------------------------------------- speed

@pytest.mark.thorough
def test_the_benchmark_runs_and_prints_its_times():
    """Its numbers are for a quiet machine, not for a test."""
    script = Path(__file__).parents[2] / "benchmark/risk_time.py"
    done = subprocess.run([sys.executable, str(script), "--points", "200", "--procedures", "0",
                           "--repeat", "1"],
                          stdin=subprocess.DEVNULL, capture_output=True, text=True,
                          encoding="utf-8", timeout=120)
    assert done.returncode == 0, done.stdout + done.stderr
    assert re.search(r"(?m)^  risks +\d+\.\d\d s .* target 0\.0 s",
                     done.stdout) and re.search(r"(?m)^  k +\d+\.\d\d s", done.stdout)


def test_what_is_known_beforehand_makes_the_limit_less_of_a_toss_up():
    """Against a sum over errors: prior times the chance of the reading, beyond the limit and in
    all. Where nothing is known it is one half."""
    u0, u = prior_of_share(share=0.95, tolerance=1.0), 0.125
    weights = [(eta, math.exp(-(eta / u0) ** 2 / 2 - ((1 - eta) / u) ** 2 / 2))
               for eta in (n / 10000 for n in range(-10000, 30001))]
    beyond = math.fsum(w for eta, w in weights if eta > 1) + 0.5 * weights[20000][1]
    assert beyond_when_read(reading=1.0, tolerance=1.0, u0=u0, u=u) == pytest.approx(
        beyond / math.fsum(w for _, w in weights), rel=1e-4)
    assert beyond_when_read(reading=1.0, tolerance=1.0, u0=1e6, u=u) == pytest.approx(0.5)
