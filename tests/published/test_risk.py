"""Risks of a wrong verdict, where more than a value is held; the values are in
`builder.published.risks`."""

import pytest

from builder.compute.statistics.risk import global_risks, prior_of_share
from builder.published.risks import resistors


def test_limits_may_stand_around_any_value():
    """The resistors of JCGM 106:2012, 9.5 (from memory), stated around 1500 Ω and around 0."""
    around = global_risks(tolerance=(1499.8, 1500.2), acceptance=(1499.82, 1500.18), u0=0.12,
                          u=0.04, mean=1500.0)
    assert around == pytest.approx(resistors(0.18), abs=1e-9)


def test_the_prior_of_the_classical_four_to_one():
    """95.45 % in tolerance are two standard deviations (computed)."""
    assert prior_of_share(share=0.9545, tolerance=1.0) == pytest.approx(0.5, abs=1e-5)
