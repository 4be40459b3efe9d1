"""One number for a sentence of a lesson: of a meter or a plan, or of what holds for every meter,
such as a thermocouple, a waveform or a risk."""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction

from builder.compute.exact import hazard, thermocouple
from builder.compute.statistics import budget, risk, waveform
from builder.files.problems import Wrong
from builder.lessons import error_courses
from builder.lessons.asked import (AskedValue, GeneralExample, items_of, number_of,
                                   refuse_unknown, there)
from builder.lessons.examples import find_example
from builder.lessons.of_points import flicker, parts
from builder.numbers import units
from builder.numbers.exact_text import NARROW, amount, energy, quantity
from builder.numbers.statistics_text import expanded, figures, percent, ratio
from builder.shop import contents, quick_answer
from builder.shop.contents import Shop


def _thermocouple(_: Shop, asked: AskedValue) -> GeneralExample:
    """{example: thermocouple, K, 100 degC, junction: 23 degC, show: to apply}"""
    _, kind, value = items_of(asked, "'thermocouple', its type and a temperature", 3)
    hot, cold = (units.quantity(text) for text in (value, asked.named.get("junction", "23 degC")))
    celsius, junction = hot.value, cold.value
    if kind not in thermocouple.TYPES:
        raise Wrong(f"there is no type '{kind}'", "one of: " + ", ".join(thermocouple.TYPES))

    def millivolts(volts: Fraction) -> str:
        return amount(round(volts, 6), units.unit("mV"), 3)

    low, high = thermocouple.TYPES[kind]
    if not all(low <= value <= high for value in (celsius, junction, celsius - junction)):
        raise Wrong(f"type {kind} is not defined there", "another temperature")
    slope = thermocouple.sensitivity(kind=kind, celsius=celsius)
    shows = {"voltage": millivolts(thermocouple.emf(kind=kind, celsius=celsius)),
             "junction": millivolts(thermocouple.emf(kind=kind, celsius=junction)),
             "to apply": millivolts(
                 thermocouple.to_apply(kind=kind, celsius=celsius, junction=junction)),
             "of the difference": millivolts(
                 thermocouple.emf(kind=kind, celsius=celsius - junction)),
             "sensitivity": f"{figures(float(slope) * 1e6, 2)}{NARROW}µV"}
    wanted, jacks = quantity(hot), quantity(cold)
    return GeneralExample(shows, (
        f"Type {kind}, the display is to show {wanted}, the jacks have {jacks}",
        f"The table’s voltage for {wanted}: {shows['voltage']}",
        f"The table’s voltage for {jacks}: {shows['junction']}",
        f"To apply: {shows['voltage']} − {shows['junction']} = {shows['to apply']}"))


def _wave(_: Shop, asked: AskedValue) -> GeneralExample:
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
    return GeneralExample(shows)


def _distorted(_: Shop, asked: AskedValue) -> GeneralExample:
    """{example: third harmonic, 20 %, show: in step}: what a mean-responding meter makes of it."""
    _, share = items_of(asked, "'third harmonic' and its share of the fundamental", 2)
    part = float(units.quantity(share).number / 100)
    if not 0 < part <= 1 / 3:
        raise Wrong(f"no sum is known for a share of {share}", "up to a third")
    return GeneralExample({name: _signed(100 * (waveform.mean_with_third(part=sign * part) - 1), 2)
                           for name, sign in (("in step", 1), ("against", -1))})


def _rectified(_: Shop, asked: AskedValue) -> GeneralExample:
    """{example: rectified, half wave, show: AC part}: of its r.m.s. value, what is left when the
    mean is blocked."""
    _, wave = items_of(asked, "'rectified' and 'half wave' or 'full wave'", 2)
    if wave not in waveform.RECTIFIED:
        raise Wrong(f"there is no '{wave}'", "one of: " + ", ".join(waveform.RECTIFIED))
    left = waveform.ac_part(rectified=wave)
    return GeneralExample({"AC part": percent(left), "lost": percent(1 - left)})


def _risk(_: Shop, asked: AskedValue) -> GeneralExample:
    """{example: risk, 4, 95 %, show: false accept}: at TUR 4, for meters of which 95 % are in
    tolerance, without a guard band."""
    _, tur_text, share_text = items_of(
        asked, "'risk', a test uncertainty ratio and a share in tolerance", 3)
    tur = float(units.plain_number(tur_text, "the ratio"))
    share = float(units.quantity(share_text).number / 100)
    if not (tur > 0 and 0 < share < 1):
        raise Wrong(f"no risk is known for a ratio of {tur_text} and a share of {share_text}")
    prior, u = risk.prior_of_share(share=share, tolerance=1.0), 1 / (2 * tur)
    accept, reject = risk.global_risks(tolerance=(-1.0, 1.0), acceptance=(-1.0, 1.0), u0=prior,
                                       u=u)
    shows = {
        "false accept": percent(accept), "false reject": percent(reject),
        "out that pass": percent(accept / (1 - share)),
        "at the limit": percent(risk.beyond_when_read(reading=1.0, tolerance=1.0, u0=prior, u=u))}
    out, all_in = percent(1 - share), percent(share)
    passed, failed = (figures(100 * one, 3) + NARROW + "%" for one in (accept, reject))
    return GeneralExample(shows, (
        f"Ratio {tur_text}:1, {all_in} of the meters in tolerance",
        f"Out and accepted: {passed}; in and rejected: {failed}",
        f"All that are out: 100{NARROW}% − {all_in} = {out}",
        f"Of those out, accepted: {passed} / {out} = {shows['out that pass']}",
        f"Of those in, rejected: {failed} / {all_in} = {percent(reject / share)}"))


def _resolution(_: Shop, asked: AskedValue) -> GeneralExample:
    """{example: resolution alone, 2, show: TUR}: the best ratio for a tolerance of two counts,
    whatever the standard."""
    _, counts = items_of(asked, "'resolution alone' and a number of counts", 2)
    half = budget.combine(components=[budget.rectangular(name="half a count", half_width=0.5)])
    return GeneralExample({
        "TUR": ratio(float(units.plain_number(counts, "a tolerance")) / half.expanded) + ":1",
        "U": f"{expanded(half.expanded)} counts", "k": figures(half.k, 3)})


def loading(shop: Shop, asked: AskedValue) -> GeneralExample:
    """{example: loading, dunlin-60, DC voltage, 1 Mohm, 5 V, show: lost}: a voltage behind a
    resistance, and the input resistance of a meter's own file. Lost: Rs/(Rs + Rin)."""
    _, meter, function, behind, voltage = items_of(
        asked, "'loading', a meter, a function, a resistance and a voltage", 5)
    view = quick_answer.find(contents.functions(shop, meter), function)
    inside = there(view.given.input_resistance, f"{view.title} states no input resistance")
    source, volts = _positive(behind, "ohm"), _positive(voltage, "V")
    both = source.value + inside.value
    lost, reads = source.value / both, volts.value * inside.value / both
    shows = {"source": quantity(source), "input resistance": quantity(inside),
             "voltage": quantity(volts), "lost": figures(float(100 * lost)) + NARROW + "%",
             "reads": figures(float(reads / volts.unit.scale), 3) + NARROW + volts.unit.shown}
    return GeneralExample(shows, (
        f"{view.meter.name}, {view.title}: {shows['voltage']} behind {shows['source']}",
        f"The input: {shows['input resistance']}",
        f"Share that is lost: {shows['source']} / ({shows['source']} + "
        f"{shows['input resistance']}) = {shows['lost']}",
        f"The meter reads: {shows['reads']}"))


def _reversal(_: Shop, asked: AskedValue) -> GeneralExample:
    """{example: reversal, 0.13 mV, -0.09 mV, show: half difference}: two readings, the polarity
    turned between them."""
    _, first, second = items_of(asked, "'reversal' and two readings", 3)
    plus, minus = units.quantity(first), units.quantity(second)
    if plus.dimension != minus.dimension:
        raise Wrong(f"'{first}' and '{second}' are not of one kind", "give both in one unit")
    half, stays = (plus.value - minus.value) / 2, (plus.value + minus.value) / 2
    shows = {"half difference": amount(half, plus.unit), "what stays": amount(stays, plus.unit)}
    return GeneralExample(shows, (
        f"Read {quantity(plus)}; turned, {quantity(minus)}",
        f"The voltage: ({quantity(plus)} − ({quantity(minus)})) / 2 = {shows['half difference']}",
        f"What did not turn: ({quantity(plus)} + ({quantity(minus)})) / 2 = "
        f"{shows['what stays']}"))


def _four_wires(_: Shop, asked: AskedValue) -> GeneralExample:
    """{example: four wires, 50 ohm, 0.05 ohm, 1 mA}: a resistor, each lead, the current through
    it (Ohm's law)."""
    _, resistor, each, current = items_of(
        asked, "'four wires', a resistance, that of a lead, and a current", 4)
    value, lead, amps = (_positive(resistor, "ohm"), _positive(each, "ohm"),
                         _positive(current, "A"))
    volts, drop = value.value * amps.value, 2 * lead.value * amps.value
    ohms, two = units.unit("ohm"), value.value + 2 * lead.value
    shows = {"two wires": amount(two, ohms), "four wires": amount(value.value, ohms),
             "drop": amount(drop, units.unit("mV"))}
    return GeneralExample(shows, (
        f"{quantity(value)}, {quantity(amps)} through it, {quantity(lead)} in each lead",
        f"Across the resistor: {amount(volts, units.unit('mV'))}",
        f"Across two leads: 2 × {quantity(lead)} × {quantity(amps)} = {shows['drop']}",
        f"Two wires show: ({amount(volts, units.unit('mV'))} + {shows['drop']}) / "
        f"{quantity(amps)} = {shows['two wires']}",
        f"Four wires show: {amount(volts, units.unit('mV'))} / {quantity(amps)} = "
        f"{shows['four wires']}"))


def _charge(_: Shop, asked: AskedValue) -> GeneralExample:
    """{example: charge, 100 uF, 400 V, through: 1 kohm, to: 60 V, show: time}: C·U²/2, U²/R and
    R·C·ln(U/U₁)."""
    _, capacitor, voltage = items_of(asked, "'charge', a capacitance and a voltage", 3)
    c, volts = _positive(capacitor, "F"), _positive(voltage, "V")
    ohms = _positive(asked.named.get("through", "1 kohm"), "ohm")
    end = _positive(asked.named.get("to", "60 V"), "V")
    if volts.value <= end.value:
        raise Wrong(f"{quantity(end)} isn't below {quantity(volts)}", "name 'to: …', such as 60 V")
    constant = float(ohms.value * c.value)
    seconds = constant * math.log(volts.value / end.value)
    shows = {"energy": energy(hazard.stored(farads=c.value, volts=volts.value)),
             "power": figures(float(volts.value ** 2 / ohms.value), 2) + NARROW + "W",
             "time": figures(seconds, 2) + NARROW + "s"}
    return GeneralExample(shows, (
        f"{quantity(c)} at {quantity(volts)}, through {quantity(ohms)}",
        f"Energy: {quantity(c)} × ({quantity(volts)})² / 2 = {shows['energy']}",
        f"Power at first: ({quantity(volts)})² / {quantity(ohms)} = {shows['power']}",
        f"Time to {quantity(end)}: {figures(constant, 2)}{NARROW}s × ln({quantity(volts)} / "
        f"{quantity(end)}) = {shows['time']}"))


_MAKERS: dict[str, tuple[Callable[[Shop, AskedValue], GeneralExample], tuple[str, ...]]] = {
    "thermocouple": (_thermocouple, ("junction",)), "wave": (_wave, ()),
    "third harmonic": (_distorted, ()), "rectified": (_rectified, ()), "risk": (_risk, ()),
    "resolution alone": (_resolution, ()), "loading": (loading, ()),
    "reversal": (_reversal, ()), "four wires": (_four_wires, ()),
    "flicker": (flicker, ()), "parts": (parts, ()),
    "years": (error_courses.years_worked, ()), "mornings": (error_courses.mornings_worked, ()),
    "charge": (_charge, ("through", "to"))}


def general(shop: Shop, asked: AskedValue) -> GeneralExample | None:
    """What holds for every meter, where that is asked for."""
    if not asked.items or asked.items[0] not in _MAKERS:
        return None
    make, names = _MAKERS[asked.items[0]]
    refuse_unknown(asked, (*names, "show", "lines", "given"))
    return make(shop, asked)


def shown(shop: Shop, asked: AskedValue) -> str:
    """One number, with its unit."""
    what = asked.named["show"]
    if (found := general(shop, asked)) is not None:
        return number_of(found.shows, what)
    return find_example(shop, asked).show(what)


def worked(shop: Shop, asked: AskedValue) -> list[str]:
    """The lines of an example, a title first."""
    return (general(shop, asked) or find_example(shop, asked)).worked()


def _positive(text: str, like: str) -> units.Quantity:
    """An amount above nothing, of the kind of this unit. Wrong otherwise."""
    given = units.quantity(text)
    if given.dimension != units.unit(like).dimension or given.value <= 0:
        raise Wrong(f"'{text}' can't stand here", f"an amount in {units.unit(like).shown}")
    return given


def _signed(value: float, digits: int = 3) -> str:
    text = figures(value, digits) + NARROW + "%"
    return text if value < 0 else "+" + text
