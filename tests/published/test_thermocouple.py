"""Thermocouple voltages against another program, degree by degree; the published values are in
`builder.published.tables`."""

from fractions import Fraction as F

import pytest
import thermocouple_its90

from builder.compute.exact.thermocouple import TYPES, emf, sensitivity
from builder.published.tables import millivolts


@pytest.mark.parametrize("kind", TYPES)
def test_every_whole_degree(kind):
    """Voltage and derivative at every whole degree of each type's whole span, against the package
    thermocouple-its90, which is a copy made by others of NIST's database (NIST Monograph 175,
    second hand). To the printed microvolt, and far closer. The coefficients here are the package's
    figures too, so this checks how they were copied, spans, joints and arithmetic, not the
    publication itself."""
    reference = thermocouple_its90.get(kind)
    assert TYPES[kind] == reference.range
    for celsius in range(int(TYPES[kind][0]), int(TYPES[kind][1]) + 1):
        volts = emf(kind=kind, celsius=F(celsius))
        assert millivolts(volts) == f"{reference.emf(celsius):.3f}", celsius
        assert abs(float(volts) * 1000 - reference.emf(celsius)) < 1e-9, celsius
        assert abs(float(sensitivity(kind=kind, celsius=F(celsius))) * 1000
                   - reference.seebeck(celsius)) < 1e-10, celsius
