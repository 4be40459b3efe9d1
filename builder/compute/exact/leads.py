"""The resistance that test leads add to a two-wire reading, in ohms."""

from __future__ import annotations

from fractions import Fraction

# The most that a metre of conductor may have at 20 °C, by its size in mm²: IEC 60228, class 5,
# plain copper (second hand).
OHMS_PER_METRE = {Fraction("0.75"): Fraction("0.0260"), Fraction(1): Fraction("0.0195"),
                  Fraction("1.5"): Fraction("0.0133"), Fraction("2.5"): Fraction("0.00798")}

PER_KELVIN = Fraction("0.00393")  # copper, of its resistance at 20 °C (second hand)


def highest_resistance(*, metres: Fraction, size: Fraction, celsius: Fraction = Fraction(20),
                       contacts: Fraction = Fraction(0)) -> Fraction:
    """R = 2·length·R₂₀·(1 + 0.00393·(celsius − 20)) + contacts, the highest resistance of two leads
    in ohms.

    `metres` is the length of one lead, `size` its conductor in mm², a key of `OHMS_PER_METRE` (R₂₀
    from IEC 60228, class 5, plain copper; both figures second hand); `contacts` is what all
    contacts together add, in ohms. """
    return 2 * metres * OHMS_PER_METRE[size] * (1 + PER_KELVIN * (celsius - 20)) + contacts


def negligible(*, leads: Fraction, resolution: Fraction, tolerance: Fraction) -> bool:
    """Whether the leads may be forgotten: their resistance is under half a count and under a tenth
    of the tolerance, all in ohms (choice of this project)."""
    return leads < resolution / 2 and leads < tolerance / 10


def left_in(*, leads: Fraction, resolution: Fraction) -> Fraction:
    """What leads that stay in a reading are taken to add: half of their most, cut to a thousandth
    of a count, all in one unit. They add between nothing and their most, so a component evenly
    around nothing would be a bias of known sign in the budget: it is corrected instead, and what
    is left on either side is the correction's uncertainty (GUM 6.3.1 and F.2.4.5)."""
    step = resolution / 1000
    return leads / 2 // step * step
