"""One number for a sentence of a lesson: of a meter or a plan, or of what holds for every meter,
such as a thermocouple, a waveform or a risk."""

from __future__ import annotations

import math
from fractions import Fraction

from builder.compute.exact import thermocouple
from builder.compute.statistics import budget, risk, waveform
from builder.files.problems import Wrong
from builder.lessons.asked import AskedValue, items_of, number_of, refuse_unknown
from builder.lessons.examples import find_example
from builder.numbers import units
from builder.numbers.exact_text import NARROW, amount
from builder.numbers.statistics_text import expanded, figures, percent, ratio
from builder.shop.contents import Shop


def _thermocouple(asked: AskedValue) -> dict[str, str]:
    """{example: thermocouple, K, 100 degC, junction: 23 degC, show: to apply}"""
    _, kind, value = items_of(asked, "'thermocouple', its type and a temperature", 3)
    celsius, junction = (units.quantity(text).value
                         for text in (value, asked.named.get("junction", "23 degC")))
    if kind not in thermocouple.TYPES:
        raise Wrong(f"there is no type '{kind}'", "one of: " + ", ".join(thermocouple.TYPES))

    def millivolts(volts: Fraction) -> str:
        return amount(round(volts, 6), units.unit("mV"), 3)

    wrong = thermocouple.emf(kind=kind, celsius=celsius - junction)
    slope = thermocouple.sensitivity(kind=kind, celsius=celsius)
    return {"voltage": millivolts(thermocouple.emf(kind=kind, celsius=celsius)),
            "junction": millivolts(thermocouple.emf(kind=kind, celsius=junction)),
            "to apply": millivolts(
                thermocouple.to_apply(kind=kind, celsius=celsius, junction=junction)),
            "of the difference": millivolts(wrong),
            "sensitivity": f"{figures(float(slope) * 1e6, 2)}{NARROW}µV"}


def _wave(asked: AskedValue) -> dict[str, str]:
    """{example: wave, square, 400 Hz, 1 kHz, show: lost}: what a bandwidth of 1 kHz takes from a
    square wave of 400 Hz."""
    _, wave, *band = items_of(
        asked, "'wave', its shape, and for 'lost' a frequency and a bandwidth", 2, 4)
    if wave not in (waveform.SINE, waveform.SQUARE, waveform.TRIANGLE):
        raise Wrong(f"there is no wave '{wave}'", "sine, square or triangle")
    shows = {"mean-responding": _signed(100 * (waveform.mean_responding(wave=wave) - 1)),
             "crest factor": figures(math.sqrt(waveform.crest_squared(wave=wave)), 3)}
    if len(band) == 2:
        frequency, bandwidth = (units.quantity(text).value for text in band)
        shows["lost"] = figures(
            100
            * (1 - waveform.kept(wave=wave, frequency=frequency,
                                 bandwidth=bandwidth))) + NARROW + "%"
    return shows


def _risk(asked: AskedValue) -> dict[str, str]:
    """{example: risk, 4, 95 %, show: false accept}: at TUR 4, for meters of which 95 % are in
    tolerance, without a guard band."""
    _, tur_text, share_text = items_of(
        asked, "'risk', a test uncertainty ratio and a share in tolerance", 3)
    tur = float(units.plain_number(tur_text, "the ratio"))
    share = float(units.quantity(share_text).number / 100)
    if not (tur > 0 and 0 < share < 1):
        raise Wrong(f"no risk is known for a ratio of {tur_text} and a share of {share_text}")
    accept, reject = risk.global_risks(tolerance=(-1.0, 1.0), acceptance=(-1.0, 1.0),
                                       u0=risk.prior_of_share(share=share, tolerance=1.0),
                                       u=1 / (2 * tur))
    return {"false accept": percent(accept), "false reject": percent(reject)}


def _resolution(asked: AskedValue) -> dict[str, str]:
    """{example: resolution alone, 2, show: TUR}: the best ratio for a tolerance of two counts,
    whatever the standard."""
    _, counts = items_of(asked, "'resolution alone' and a number of counts", 2)
    half = budget.combine(components=[budget.rectangular(name="half a count", half_width=0.5)])
    return {"TUR": ratio(float(units.plain_number(counts, "a tolerance")) / half.expanded) + ":1",
            "U": f"{expanded(half.expanded)} counts", "k": figures(half.k, 3)}


OTHERS = {"thermocouple": (_thermocouple, ("show", "junction")), "wave": (_wave, ("show",)),
          "risk": (_risk, ("show",)), "resolution alone": (_resolution, ("show",))}


def shown(shop: Shop, asked: AskedValue) -> str:
    """One number, with its unit."""
    what = asked.named["show"]
    if asked.items and asked.items[0] in OTHERS:
        compute, names = OTHERS[asked.items[0]]
        refuse_unknown(asked, names)
        return number_of(compute(asked), what)
    return find_example(shop, asked).show(what)


def _signed(value: float) -> str:
    text = figures(value, 3) + NARROW + "%"
    return text if value < 0 else "+" + text
