"""Thermocouples and resistance thermometers: what the tables print."""

from __future__ import annotations

from fractions import Fraction as F

from builder.compute.exact import resistance_thermometer
from builder.compute.exact.thermocouple import TYPES, emf, to_apply
from builder.numbers.exact_text import number
from builder.published.base import COMPUTED, SECOND_HAND, Source, Value, listed

DEGREES = (-100, 0, 100, 200, 500, 1000)
HIGH = (100, 1000, 1500)


def millivolts(volts: F) -> str:
    """As the tables print it: to the microvolt."""
    return f"{round(volts * 10**6) / 1000:.3f}"


def _emf(kind: str, *celsius) -> str:
    return listed((millivolts(emf(kind=kind, celsius=F(t))) for t in celsius), "mV")


def _ends(kind: str) -> str:
    """At the first and the last whole degree that the table has."""
    low, high = TYPES[kind]
    return _emf(kind, low, int(high))


THERMOCOUPLES = Source("Thermocouples: NIST Monograph 175 and IEC 60584-1, ITS-90", (
    *(Value(clause="", what=f"type {kind}, junction at 0 °C, at −100, 0, 100, 200, 500 and 1000 °C",
            should_be=said,
            sure=SECOND_HAND, built=lambda kind=kind: _emf(kind, *DEGREES)) for kind, said in (
                ("K", "−3.554, 0.000, 4.096, 8.138, 20.644, 41.276 mV"),
                ("J", "−4.633, 0.000, 5.269, 10.779, 27.393, 57.953 mV"))),
    *(Value(clause="", what=f"type {kind} at 100, 1000 and 1500 °C", should_be=said,
            sure=SECOND_HAND, built=lambda kind=kind: _emf(kind, *HIGH))
      for kind, said in (("R", "0.647, 10.506, 17.451 mV"), ("S", "0.646, 9.587, 15.582 mV"),
                         ("B", "0.033, 4.834, 10.099 mV"))),
    *(Value(clause="", what=f"type {kind} at 100 °C", should_be=said, sure=SECOND_HAND,
            built=lambda kind=kind: _emf(kind, 100))
      for kind, said in (("N", "2.774 mV"), ("T", "4.279 mV"), ("E", "6.319 mV"))),
    *(Value(clause="", what=f"first and last value of type {kind}", should_be=said,
            sure=SECOND_HAND, built=lambda kind=kind: _ends(kind)) for kind, said in (
                ("K", "−6.458, 54.886 mV"), ("J", "−8.095, 69.553 mV"), ("N", "−4.345, 47.513 mV"),
                ("T", "−6.258, 20.872 mV"), ("E", "−9.835, 76.373 mV"),
                ("R", "−0.226, 21.101 mV"), ("S", "−0.236, 18.693 mV"),
                ("B", "0.000, 13.820 mV"))),
    Value(clause="", what="type K, junction at 23 °C, at 100 and 500 °C",
          should_be="3.177, 19.725 mV", sure=COMPUTED,
          built=lambda: listed((millivolts(to_apply(kind="K", celsius=F(t), junction=F(23)))
                                for t in (100, 500)), "mV")),
), "The first two lines are of both publications, the rest of NIST’s, whose tables were read in "
   "copies. The tests hold every whole degree of all eight tables.")


def _pt100(*celsius: int) -> str:
    return listed((f"{float(resistance_thermometer.resistance(kind='Pt100', celsius=F(t))):.2f}"
                   for t in celsius), "Ω")


def _of_pt100(ohms: str) -> F:
    return resistance_thermometer.temperature(kind="Pt100", ohms=F(ohms))


PLATINUM = Source("Resistance thermometers: IEC 60751", (
    Value(clause="", what="Pt100 at −200, −100, 0, 100, 200 and 400 °C",
          should_be="18.52, 60.26, 100.00, 138.51, 175.86, 247.09 Ω", sure=SECOND_HAND,
          built=lambda: _pt100(-200, -100, 0, 100, 200, 400)),
    Value(clause="", what="Pt100 and Pt1000 at 100 °C, from the coefficients",
          should_be="138.5055, 1385.055 Ω", sure=COMPUTED,
          built=lambda: listed((number(resistance_thermometer.resistance(kind=kind,
                                                                         celsius=F(100)))
                                for kind in resistance_thermometer.TYPES), "Ω")),
    Value(clause="", what="the temperature of 138.5055 Ω", should_be="100 °C", sure=COMPUTED,
          built=lambda: f"{number(_of_pt100('138.5055'))} °C"),
), "A = 3.9083·10⁻³, B = −5.775·10⁻⁷ and C = −4.183·10⁻¹² are second hand too.")
