"""Resistance of a platinum thermometer by temperature: the functions of IEC 60751 (Callendar and
Van Dusen), in exact fractions.

Temperatures are in degrees Celsius, resistances in ohms. The coefficients are second hand: copies
made by others agree on them, the standard itself wasn't open. """

from __future__ import annotations

from fractions import Fraction

from builder.compute.exact.points import Refused

# The resistance of each type at 0 °C.
TYPES = {"Pt100": Fraction(100), "Pt1000": Fraction(1000)}

# To how many decimals of an ohm the standard's tables give it.
DECIMALS = {"Pt100": 2, "Pt1000": 1}

# The span of the functions, in degrees Celsius.
SPAN = Fraction(-200), Fraction(850)

_A, _B, _C = Fraction("3.9083e-3"), Fraction("-5.775e-7"), Fraction("-4.183e-12")


def resistance(*, kind: str, celsius: Fraction) -> Fraction:
    """R(t) = R0·(1 + A·t + B·t²), below 0 °C with C·(t − 100)·t³ added in the brackets, exactly
    (IEC 60751). Raises `Refused` outside the span."""
    if not SPAN[0] <= celsius <= SPAN[1]:
        raise Refused("outside-thermocouple", kind=kind, low=SPAN[0], high=SPAN[1],
                      celsius=celsius)
    below = _C * (celsius - 100) * celsius ** 3 if celsius < 0 else 0
    return TYPES[kind] * (1 + _A * celsius + _B * celsius ** 2 + below)


def sensitivity(*, kind: str, celsius: Fraction) -> Fraction:
    """dR/dt in ohms per degree: R0·(A + 2·B·t), below 0 °C with C·(4·t³ − 300·t²) added in the
    brackets. Above zero everywhere in the span."""
    below = _C * (4 * celsius ** 3 - 300 * celsius ** 2) if celsius < 0 else 0
    return TYPES[kind] * (_A + 2 * _B * celsius + below)


def step(*, kind: str) -> Fraction:
    """What a box is set in, in ohms: a hundred-thousandth of R0, which is 0.003 °C (choice of this
    project)."""
    return TYPES[kind] / 10**5


def to_set(*, kind: str, celsius: Fraction, beside: Fraction = Fraction(0)) -> Fraction:
    """R(t) less what is in the circuit `beside` the box, both in ohms, rounded once, half to even,
    to `step`. Raises `Refused` outside the span."""
    return round((resistance(kind=kind, celsius=celsius) - beside) / step(kind=kind)) * step(
        kind=kind)


def temperature(*, kind: str, ohms: Fraction, grain: Fraction = Fraction(1, 10**6)) -> Fraction:
    """The temperature of a resistance, the nearest multiple of `grain` to it: found by halving,
    since R(t) rises over the whole span, and compared in exact fractions, so that R(t − grain/2) ≤
    ohms < R(t + grain/2). Raises `Refused` outside the span."""
    ends = [resistance(kind=kind, celsius=end) for end in SPAN]
    if not ends[0] <= ohms <= ends[1]:
        raise Refused("outside-resistances", kind=kind, low=ends[0], high=ends[1])
    low, high = (round(end / grain) for end in SPAN)
    while low < high:   # the highest whole n with R((n − ½)·grain) ≤ ohms
        middle = (low + high + 1) // 2
        if resistance(kind=kind, celsius=(middle - Fraction(1, 2)) * grain) <= ohms:
            low = middle
        else:
            high = middle - 1
    return low * grain
