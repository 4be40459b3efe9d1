"""Thermocouple voltages against published values. The sureness words are those of the project's list of check values:
*second hand* (in a copy of the publication made by others), *from memory* (the printed value is remembered, and a computation from
the stated inputs agrees; the publication was not open) and *computed* (exact mathematics, printed nowhere that we know)."""

from fractions import Fraction as F

import pytest
import thermocouple_its90

from builder.compute.thermocouple import TYPES, emf, sensitivity, to_apply


def printed(volts: F) -> str:
    """As the tables print it: millivolts to the microvolt."""
    return f"{round(volts * 10**6) / 1000:.3f}"


@pytest.mark.parametrize("celsius, k, j", [(-100, "-3.554", "-4.633"), (0, "0.000", "0.000"), (100, "4.096", "5.269"), (200, "8.138", "10.779"),
                                           (500, "20.644", "27.393"), (1000, "41.276", "57.953")])
def test_table(celsius, k, j):
    """Types K and J in mV with the junction at 0 °C, NIST Monograph 175 and IEC 60584-1 (second hand)."""
    assert (printed(emf(kind="K", celsius=F(celsius))), printed(emf(kind="J", celsius=F(celsius)))) == (k, j)


@pytest.mark.parametrize("kind, low, high", [("K", "-6.458", "54.886"), ("J", "-8.095", "69.553"), ("N", "-4.345", "47.513"),
                                             ("T", "-6.258", "20.872"), ("E", "-9.835", "76.373")])
def test_ends_of_the_tables(kind, low, high):
    """The first and the last value of each type's table in mV, NIST Monograph 175 (from memory)."""
    assert tuple(printed(emf(kind=kind, celsius=end)) for end in TYPES[kind]) == (low, high)


@pytest.mark.parametrize("kind, at_100", [("K", "4.096"), ("J", "5.269"), ("N", "2.774"), ("T", "4.279"), ("E", "6.319")])
def test_at_the_boiling_point(kind, at_100):
    """Each type at 100 °C in mV, NIST Monograph 175 (K and J second hand, the others from memory)."""
    assert printed(emf(kind=kind, celsius=F(100))) == at_100


@pytest.mark.parametrize("celsius, volts", [(100, "0.003177"), (500, "0.019725")])
def test_junction_at_room_temperature(celsius, volts):
    """With the junction at 23 °C type K wants 3.177 mV at 100 °C and 19.725 mV at 500 °C (computed)."""
    assert to_apply(kind="K", celsius=F(celsius), junction=F(23)) == F(volts)


@pytest.mark.parametrize("kind", TYPES)
def test_every_whole_degree(kind):
    """Voltage and derivative at every whole degree of each type's whole span, against the package thermocouple-its90, which is
    a copy made by others of NIST's database (second hand). To the printed microvolt, and far closer. The coefficients here are
    the package's figures too, so this checks how they were copied, spans, joints and arithmetic, not the publication itself."""
    reference = thermocouple_its90.get(kind)
    assert TYPES[kind] == reference.range
    for celsius in range(int(TYPES[kind][0]), int(TYPES[kind][1]) + 1):
        volts = emf(kind=kind, celsius=F(celsius))
        assert printed(volts) == f"{reference.emf(celsius):.3f}", celsius
        assert abs(float(volts) * 1000 - reference.emf(celsius)) < 1e-9, celsius
        assert abs(float(sensitivity(kind=kind, celsius=F(celsius))) * 1000 - reference.seebeck(celsius)) < 1e-10, celsius
