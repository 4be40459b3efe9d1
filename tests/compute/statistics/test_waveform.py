"""Waves against brute force: sampled in the time domain, with their harmonics taken from the
samples."""

import cmath
import math
from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.compute.statistics.waveform import (RECTIFIED, SINE, SQUARE, TRIANGLE, ac_part,
                                                 crest_squared, kept, mean_responding,
                                                 mean_with_third, peak_squared)

N = 8192  # samples of one period, halfway between the wave's corners and jumps


def sampled(wave: str) -> list[float]:
    """One period of peak 1."""
    phases = [(k + 0.5) / N for k in range(N)]
    if wave == SINE:
        return [math.sin(2 * math.pi * x) for x in phases]
    if wave == SQUARE:
        return [1.0 if x < 0.5 else -1.0 for x in phases]
    return [4 * x if x < 0.25 else 2 - 4 * x if x < 0.75 else 4 * x - 4 for x in phases]


def rms(samples: list[float]) -> float:
    return math.sqrt(math.fsum(x * x for x in samples) / len(samples))


def harmonic(samples: list[float], n: int) -> float:
    """The r.m.s. of the n-th harmonic."""
    turn = -2j * math.pi * n / N
    return abs(sum(x * cmath.exp(turn * k) for k, x in enumerate(samples))) / N * math.sqrt(2)


WAVES = pytest.mark.parametrize("wave", [SINE, SQUARE, TRIANGLE])


@WAVES
def test_crest_factor_of_the_sampled_wave(wave):
    """Peak over r.m.s. of the samples has the square that is given, and there is no DC part."""
    samples = sampled(wave)
    assert (1 / rms(samples)) ** 2 == pytest.approx(crest_squared(wave=wave), rel=1e-6)
    assert abs(math.fsum(samples)) < 1e-9


@WAVES
def test_mean_of_the_sampled_wave(wave):
    """The mean of |x|, scaled so that a sampled sine comes out as its r.m.s., over the r.m.s. of
    the samples."""
    def mean(samples):
        return math.fsum(map(abs, samples)) / N
    sine = sampled(SINE)
    scale = rms(sine) / mean(sine)
    assert mean(sampled(wave)) * scale / rms(sampled(wave)) == pytest.approx(
        mean_responding(wave=wave), rel=1e-6)


@pytest.mark.parametrize("wave", [SQUARE, TRIANGLE])
@pytest.mark.parametrize("harmonics", [1, 2, 3, 7, 22])
def test_harmonics_of_the_sampled_wave(wave, harmonics):
    """The r.m.s. of the first harmonics of the samples, even ones too, over that of all."""
    samples = sampled(wave)
    left = math.hypot(*(harmonic(samples, n) for n in range(1, harmonics + 1))) / rms(samples)
    assert kept(wave=wave, frequency=F(50),
                bandwidth=F(50 * harmonics)) == pytest.approx(left, rel=1e-5)


@pytest.mark.parametrize("wave, first, power",
                         [(SQUARE, 8 / math.pi ** 2, 2), (TRIANGLE, 96 / math.pi ** 4, 4)])
@pytest.mark.parametrize("highest", [1998, 1999, 2000, 2001, 2002, 2003, 5000])
def test_many_harmonics_are_summed_as_well_as_few(wave, first, power, highest):
    """Where an integral stands for the sum, the sum itself says the same."""
    direct = math.sqrt(first * math.fsum(1 / n ** power for n in range(1, highest + 1, 2)))
    assert kept(wave=wave, frequency=F(1), bandwidth=F(highest)) == pytest.approx(direct, abs=1e-10)


@given(st.sampled_from([SINE, SQUARE, TRIANGLE]), st.integers(1, 10**6), st.integers(1, 10**8),
       st.integers(1, 10**8))
def test_more_bandwidth_keeps_more(wave, frequency, one, other):
    """What is kept is a share, never falls with the bandwidth, and is nothing where the fundamental
    itself is lost."""
    narrow, wide = sorted((one, other))
    less, more = (kept(wave=wave, frequency=F(frequency, 100), bandwidth=F(b, 100))
                  for b in (narrow, wide))
    assert 0 <= less <= more + 1e-12 and more <= 1
    assert (less == 0) is (narrow < frequency)


def test_a_harmonic_at_the_bandwidth_is_kept():
    """The third harmonic of a third of a kilohertz lies at 1 kHz exactly, which no binary fraction
    could say."""
    third = F(1000, 3)
    assert kept(wave=SQUARE, frequency=third,
                bandwidth=F(1000)) == pytest.approx(math.sqrt(8 / math.pi ** 2 * (1 + 1 / 9)))
    assert kept(wave=SQUARE, frequency=third + F(1, 10**30),
                bandwidth=F(1000)) == pytest.approx(math.sqrt(8) / math.pi)


def test_a_sine_has_no_harmonics_to_lose():
    """A sine is whole or gone."""
    assert kept(wave=SINE, frequency=F(1000), bandwidth=F(1000)) == 1
    assert kept(wave=SINE, frequency=F(1001), bandwidth=F(1000)) == 0


@given(st.fractions(-1000, 1000))
def test_the_squared_peak_is_exact(value):
    """Crest² times rms², as a fraction."""
    assert [peak_squared(wave=wave, rms=value)
            for wave in (SINE, SQUARE, TRIANGLE)] == [2 * value ** 2, value ** 2, 3 * value ** 2]


@pytest.mark.parametrize("part", [0.2, -0.2, 1 / 3, 0.0])
def test_a_third_harmonic_as_a_mean_responding_meter_reads_it(part):
    """Against a sampled wave: its mean, rectified, times the factor of a sine."""
    wave = [math.sin(x) + part * math.sin(3 * x)
            for x in (2 * math.pi * (k + 0.5) / N for k in range(N))]
    mean = math.fsum(map(abs, wave)) / N
    assert mean_with_third(part=part) == pytest.approx(
        mean * math.pi / (2 * math.sqrt(2)) / rms(wave), rel=1e-6)


@pytest.mark.parametrize("rectified", RECTIFIED)
def test_what_is_left_of_a_rectified_sine_without_its_mean(rectified):
    sine = sampled(SINE)
    wave = [abs(x) for x in sine] if rectified == "full wave" else [max(0.0, x) for x in sine]
    mean = math.fsum(wave) / N
    left = rms([x - mean for x in wave])
    assert ac_part(rectified=rectified) == pytest.approx(left / rms(wave), rel=1e-6)
