"""Thermocouple voltages by temperature: the ITS-90 reference functions of NIST Monograph 175 and
IEC 60584-1.

Temperatures are in degrees Celsius, results in volts. The coefficients are second hand: copies made
by others of the functions and of the tables printed beside them agree on them, the publications
themselves weren't open. """

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from builder.compute.exact.points import Refused

# The span of each type's reference function, in degrees Celsius.
TYPES = {"K": (Fraction(-270), Fraction(1372)), "J": (Fraction(-210), Fraction(1200)),
         "N": (Fraction(-270), Fraction(1300)),
         "T": (Fraction(-270), Fraction(400)), "E": (Fraction(-270), Fraction(1000)),
         "R": (Fraction(-50), Fraction("1768.1")), "S": (Fraction(-50), Fraction("1768.1")),
         "B": (Fraction(0), Fraction(1820))}

# Type B falls from 0 °C to about 21 °C and is back at 0 V at 42 °C. From here on each voltage is of
# one temperature only, so nothing below is asked of a thermometer (choice of this project); its own
# junction may be there.
_B_IS_CLEAR = Fraction(43)

_TO_VOLTS = 1000       # the figures below are in millivolts
_GRAIN = 10**12        # voltages are whole picovolts
_FINE_GRAIN = 10**15   # sensitivities are whole femtovolts per degree


def _coefficients(text: str) -> tuple[Fraction, ...]:
    return tuple(map(Fraction, text.split()))


# By type: up to which temperature a polynomial holds, and its coefficients from the constant
# upward, in mV.
_PIECES: dict[str, tuple[tuple[int | str, str], ...]] = {
    "K": (
        (0, """0 3.9450128025e-2 2.3622373598e-5 -3.2858906784e-7 -4.9904828777e-9
               -6.7509059173e-11 -5.7410327428e-13 -3.1088872894e-15 -1.0451609365e-17
               -1.9889266878e-20 -1.6322697486e-23"""),
        (1372, """-1.7600413686e-2 3.8921204975e-2 1.8558770032e-5 -9.9457592874e-8
                  3.1840945719e-10 -5.6072844889e-13 5.6075059059e-16 -3.2020720003e-19
                  9.7151147152e-23 -1.2104721275e-26"""),
    ),
    "J": (
        (760, """0 5.0381187815e-2 3.047583693e-5 -8.568106572e-8 1.3228195295e-10
                 -1.7052958337e-13 2.0948090697e-16 -1.2538395336e-19 1.5631725697e-23"""),
        (1200, """296.45625681 -1.4976127786 3.1787103924e-3 -3.1847686701e-6 1.5720819004e-9
                  -3.0691369056e-13"""),
    ),
    "N": (
        (0, """0 2.6159105962e-2 1.0957484228e-5 -9.3841111554e-8 -4.6412039759e-11
               -2.6303357716e-12 -2.2653438003e-14 -7.6089300791e-17 -9.3419667835e-20"""),
        (1300, """0 2.5929394601e-2 1.571014188e-5 4.3825627237e-8 -2.5261169794e-10
                  6.4311819339e-13 -1.0063471519e-15 9.9745338992e-19 -6.0863245607e-22
                  2.0849229339e-25 -3.0682196151e-29"""),
    ),
    "T": (
        (0, """0 3.8748106364e-2 4.4194434347e-5 1.1844323105e-7 2.0032973554e-8
               9.0138019559e-10 2.2651156593e-11 3.6071154205e-13 3.8493939883e-15
               2.8213521925e-17 1.4251594779e-19 4.8768662286e-22 1.079553927e-24
               1.3945027062e-27 7.9795153927e-31"""),
        (400, """0 3.8748106364e-2 3.329222788e-5 2.0618243404e-7 -2.1882256846e-9
                 1.0996880928e-11 -3.0815758772e-14 4.547913529e-17 -2.7512901673e-20"""),
    ),
    "E": (
        (0, """0 5.8665508708e-2 4.5410977124e-5 -7.7998048686e-7 -2.5800160843e-8
               -5.9452583057e-10 -9.3214058667e-12 -1.0287605534e-13 -8.0370123621e-16
               -4.3979497391e-18 -1.6414776355e-20 -3.9673619516e-23 -5.5827328721e-26
               -3.4657842013e-29"""),
        (1000, """0 5.866550871e-2 4.5032275582e-5 2.8908407212e-8 -3.3056896652e-10
                  6.502440327e-13 -1.9197495504e-16 -1.2536600497e-18 2.1489217569e-21
                  -1.4388041782e-24 3.5960899481e-28"""),
    ),
    "R": (
        ("1064.18", """0 5.28961729765e-3 1.39166589782e-5 -2.38855693017e-8 3.56916001063e-11
                       -4.62347666298e-14 5.00777441034e-17 -3.73105886191e-20
                       1.57716482367e-23 -2.81038625251e-27"""),
        ("1664.5", """2.95157925316 -2.52061251332e-3 1.59564501865e-5 -7.64085947576e-9
                      2.05305291024e-12 -2.93359668173e-16"""),
        ("1768.1", """1.52232118209e2 -2.68819888545e-1 1.71280280471e-4 -3.45895706453e-8
                      -9.34633971046e-15"""),
    ),
    "S": (
        ("1064.18", """0 5.40313308631e-3 1.2593428974e-5 -2.32477968689e-8 3.22028823036e-11
                       -3.31465196389e-14 2.55744251786e-17 -1.25068871393e-20
                       2.71443176145e-24"""),
        ("1664.5", """1.32900444085 3.34509311344e-3 6.54805192818e-6 -1.64856259209e-9
                      1.29989605174e-14"""),
        ("1768.1", """1.46628232636e2 -2.58430516752e-1 1.63693574641e-4 -3.30439046987e-8
                      -9.43223690612e-15"""),
    ),
    "B": (
        ("630.615", """0 -2.4650818346e-4 5.9040421171e-6 -1.3257931636e-9 1.5668291901e-12
                       -1.694452924e-15 6.2990347094e-19"""),
        (1820, """-3.8938168621 2.857174747e-2 -8.4885104785e-5 1.5785280164e-7
                  -1.6835344864e-10 1.1109794013e-13 -4.4515431033e-17 9.8975640821e-21
                  -9.3791330289e-25"""),
    ),
}
_POLYNOMIALS = {kind: tuple((Fraction(top), _coefficients(text)) for top, text in pieces)
                for kind, pieces in _PIECES.items()}

# Type K above 0 degrees has a term height·e^(−width·(T − centre)²) besides, in mV.
_HEIGHT, _WIDTH, _CENTRE = Fraction("0.1185976"), Fraction("1.183432e-4"), Fraction("126.9686")


def emf(*, kind: str, celsius: Fraction) -> Fraction:
    """E(T) in volts with the reference junction at 0 degrees Celsius, to the picovolt:

    E = Σ cᵢ·Tⁱ, for type K above 0 degrees with a₀·e^(a₁·(T − a₂)²) added (NIST Monograph 175; IEC
    60584-1). At a joint the lower polynomial holds. Raises `Refused` outside the type's span. """
    return Fraction(round(_volts(kind, celsius) * _GRAIN), _GRAIN)


def measured(*, kind: str) -> tuple[Fraction, Fraction]:
    """Between which temperatures in degrees Celsius a thermometer of this type can be asked: its
    function's span, of type B that above which no voltage belongs to two temperatures."""
    low, high = TYPES[kind]
    return (_B_IS_CLEAR if kind == "B" else low), high


def to_apply(*, kind: str, celsius: Fraction, junction: Fraction,
             step: Fraction = Fraction(1, 10**6)) -> Fraction:
    """E(T) − E(T_junction) in volts, never E(T − T_junction), since E is no straight line (NIST
    Monograph 175).

    What makes a thermometer show T when copper leads reach its terminals and these are at
    T_junction. Rounded once, half to even, to `step`, which is what the source can be set to.
    Raises `Refused` where either is outside the span. """
    return round((_volts(kind, celsius) - _volts(kind, junction)) / step) * step


def sensitivity(*, kind: str, celsius: Fraction) -> Fraction:
    """dE/dT in volts per degree, the Seebeck coefficient: the derivative of the function in `emf`,
    to the femtovolt per degree. At a joint that of the lower polynomial. Raises `Refused` outside
    the type's span."""
    return Fraction(round(_slope(kind, celsius) * _FINE_GRAIN), _FINE_GRAIN)


def e_to_minus(*, x: Fraction) -> Fraction:
    """e^(−x) for x ≥ 0, as 1/Σ xⁿ/n! in whole numbers.

    All terms are positive, so cutting each down to a 10⁻³⁰ loses less than (number of terms)·10⁻³⁰
    of the sum: for the x of this module, up to 184, the error stays below 10⁻²⁶. """
    term = total = 10**30
    n = 0
    while term:
        n += 1
        term = term * x.numerator // (x.denominator * n)
        total += term
    return Fraction(10**30, total)


@lru_cache(maxsize=4096)
def _volts(kind: str, celsius: Fraction) -> Fraction:
    value = _horner(_polynomial(kind, celsius), celsius)
    return (value + _bump(kind, celsius)) / _TO_VOLTS


@lru_cache(maxsize=4096)
def _slope(kind: str, celsius: Fraction) -> Fraction:
    derived = tuple(n * c for n, c in enumerate(_polynomial(kind, celsius)))[1:]
    return (_horner(derived, celsius) - 2 * _WIDTH
            * (celsius - _CENTRE) * _bump(kind, celsius)) / _TO_VOLTS


def _polynomial(kind: str, celsius: Fraction) -> tuple[Fraction, ...]:
    low, high = TYPES[kind]
    if not low <= celsius <= high:
        raise Refused("outside-thermocouple", kind=kind, low=low, high=high, celsius=celsius)
    return next(coefficients for top, coefficients in _POLYNOMIALS[kind] if celsius <= top)


def _horner(coefficients: tuple[Fraction, ...], x: Fraction) -> Fraction:
    total = Fraction(0)
    for c in reversed(coefficients):
        total = total * x + c
    return total


def _bump(kind: str, celsius: Fraction) -> Fraction:
    if kind != "K" or celsius <= 0:
        return Fraction(0)
    return _HEIGHT * e_to_minus(x=_WIDTH * (celsius - _CENTRE) ** 2)
