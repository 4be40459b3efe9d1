"""Waveforms in closed form; the values are in `builder.published.tables`. *computed*: exact
mathematics; printed nowhere that we know."""

import math
from fractions import Fraction as F

import pytest

from builder.compute.statistics.waveform import SQUARE, TRIANGLE, kept, mean_responding


def test_mean_responding_meter_in_closed_form():
    """π/(2√2) for a square, π·√3/(4√2) for a triangle (computed)."""
    assert mean_responding(wave=SQUARE) == pytest.approx(math.pi / math.sqrt(8), rel=1e-15)
    assert mean_responding(wave=TRIANGLE) == pytest.approx(math.pi * math.sqrt(3 / 32), rel=1e-15)


def test_fundamental_alone_in_closed_form():
    """Of a square the fundamental has √8/π of the r.m.s., of a triangle √96/π² (computed)."""
    assert kept(wave=SQUARE, frequency=F(400),
                bandwidth=F(1000)) == pytest.approx(math.sqrt(8) / math.pi, rel=1e-14)
    assert kept(wave=TRIANGLE, frequency=F(400),
                bandwidth=F(1000)) == pytest.approx(math.sqrt(96) / math.pi ** 2, rel=1e-14)
