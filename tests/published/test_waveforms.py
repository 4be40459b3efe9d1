"""Waveforms against exact mathematics. The sureness words are those of the project's list of check values: *computed* (exact
mathematics; printed nowhere that we know) and *read* (in the publication itself)."""

import math
from fractions import Fraction as F

import pytest

from builder.compute.waveform import SINE, SQUARE, TRIANGLE, crest_squared, kept, mean_responding, peak_squared


@pytest.mark.parametrize("wave, of_rms", [(SQUARE, "+11.07%"), (TRIANGLE, "-3.81%"), (SINE, "+0.00%")])
def test_mean_responding_meter(wave, of_rms):
    """A mean-responding meter calibrated for sine, AC coupled: square +11.07 %, triangle −3.81 % (computed)."""
    assert f"{mean_responding(wave=wave) - 1:+.2%}" == of_rms


def test_mean_responding_meter_in_closed_form():
    """π/(2√2) for a square, π·√3/(4√2) for a triangle (computed)."""
    assert mean_responding(wave=SQUARE) == pytest.approx(math.pi / math.sqrt(8), rel=1e-15)
    assert mean_responding(wave=TRIANGLE) == pytest.approx(math.pi * math.sqrt(3 / 32), rel=1e-15)


@pytest.mark.parametrize("wave, rms, crest", [(SINE, "0.7071", "1.414"), (SQUARE, "1.0000", "1.000"), (TRIANGLE, "0.5774", "1.732")])
def test_true_rms_of_peak_one(wave, rms, crest):
    """True r.m.s. of peak 1: sine 0.7071, square 1, triangle 0.5774; crest factors 1.414, 1, 1.732 (computed)."""
    assert (f"{math.sqrt(1 / crest_squared(wave=wave)):.4f}", f"{math.sqrt(crest_squared(wave=wave)):.3f}") == (rms, crest)


def test_threshold_of_hazard_by_peak():
    """42.4 V peak belongs to 30 V r.m.s. as a sine: scope of EN 61010-031:2015/A11 (read); a triangle of 30 V r.m.s. has
    52.0 V peak and a square 30 V (computed)."""
    assert [f"{math.sqrt(peak_squared(wave=wave, rms=F(30))):.1f}" for wave in (SINE, TRIANGLE, SQUARE)] == ["42.4", "52.0", "30.0"]


@pytest.mark.parametrize("frequency, low_by", [(400, "10.0%"), (45, "0.9%")])
def test_square_into_a_meter_good_to_one_kilohertz(frequency, low_by):
    """A 400 Hz square into a meter good to 1 kHz reads about 10 % low, a 45 Hz one about 0.9 % (computed)."""
    assert f"{1 - kept(wave=SQUARE, frequency=F(frequency), bandwidth=F(1000)):.1%}" == low_by


def test_fundamental_alone():
    """Of a square the fundamental has √8/π = 0.9003 of the r.m.s., of a triangle √96/π² = 0.9927 (computed)."""
    assert f"{kept(wave=SQUARE, frequency=F(400), bandwidth=F(1000)):.4f}" == f"{math.sqrt(8) / math.pi:.4f}" == "0.9003"
    assert f"{kept(wave=TRIANGLE, frequency=F(400), bandwidth=F(1000)):.4f}" == f"{math.sqrt(96) / math.pi ** 2:.4f}" == "0.9927"
