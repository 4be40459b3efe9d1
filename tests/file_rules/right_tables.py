"""Twelve accuracy tables as data sheets have them, all invented and all right: what is doubted in
them is doubted falsely. A line a range: name, resolution, accuracy; rows by frequency in brackets."""

from __future__ import annotations

from tests.small_shop import function, meter, range_, row

# title of the meter: display, rating, and its functions
TABLES = {
    "pocket 2000": ("2000", "600 V", """
DC voltage: 200 mV, 0.1 mV, 0.5 % + 3 | 2 V, 1 mV, 0.5 % + 2 | 20 V, 10 mV, 0.5 % + 2 | 200 V, 0.1 V, 0.5 % + 2 | 600 V, 1 V, 0.8 % + 2
AC voltage: 200 V, 0.1 V, [45 Hz to 400 Hz: 1.2 % + 10] | 600 V, 1 V, [45 Hz to 400 Hz: 1.2 % + 10]
DC current: 200 uA, 0.1 uA, 1 % + 2 | 2 mA, 1 uA, 1 % + 2 | 20 mA, 10 uA, 1 % + 2 | 200 mA, 0.1 mA, 1.5 % + 2 | 10 A, 10 mA, 3 % + 2
resistance: 200 ohm, 0.1 ohm, 0.8 % + 4 | 2 kohm, 1 ohm, 0.8 % + 2 | 20 kohm, 10 ohm, 0.8 % + 2 | 200 kohm, 100 ohm, 0.8 % + 2 | 2 Mohm, 1 kohm, 1 % + 2 | 20 Mohm, 10 kohm, 2 % + 5"""),
    "site 4000": ("4000", "1000 V", """
DC voltage: 400 mV, 0.1 mV, 0.8 % + 5 | 4 V, 1 mV, 0.8 % + 1 | 40 V, 10 mV, 0.8 % + 1 | 400 V, 0.1 V, 0.8 % + 1 | 1000 V, 1 V, 1 % + 3
AC voltage: 4 V, 1 mV, [50 Hz to 400 Hz: 1.2 % + 3] | 40 V, 10 mV, [50 Hz to 400 Hz: 1.2 % + 3] | 400 V, 0.1 V, [50 Hz to 400 Hz: 1.2 % + 3] | 1000 V, 1 V, [50 Hz to 400 Hz: 1.5 % + 5]
DC current: 400 uA, 0.1 uA, 1 % + 2 | 4 mA, 1 uA, 1 % + 2 | 40 mA, 10 uA, 1 % + 2 | 400 mA, 0.1 mA, 1.2 % + 2 | 10 A, 10 mA, 1.5 % + 5
resistance: 400 ohm, 0.1 ohm, 1.2 % + 4 | 4 kohm, 1 ohm, 1 % + 2 | 40 kohm, 10 ohm, 1 % + 2 | 400 kohm, 100 ohm, 1 % + 2 | 4 Mohm, 1 kohm, 1.2 % + 2 | 40 Mohm, 10 kohm, 2 % + 3
capacitance: 40 nF, 10 pF, 3 % + 10 | 400 nF, 100 pF, 3 % + 5 | 4 uF, 1 nF, 3 % + 5 | 40 uF, 10 nF, 3 % + 5 | 100 uF, 100 nF, 5 % + 10"""),
    "bench 50000": ("50000", "1000 V", """
DC voltage: 50 mV, 1 uV, 0.05 % + 20 | 500 mV, 10 uV, 0.03 % + 4 | 5 V, 0.1 mV, 0.03 % + 2 | 50 V, 1 mV, 0.03 % + 2 | 500 V, 10 mV, 0.03 % + 2 | 1000 V, 0.1 V, 0.03 % + 2
AC voltage: 500 mV, 10 uV, [20 Hz to 45 Hz: 1.5 % + 60; 45 Hz to 1 kHz: 0.4 % + 40; 1 kHz to 10 kHz: 1 % + 40; 10 kHz to 20 kHz: 2 % + 40] | 5 V, 0.1 mV, [20 Hz to 45 Hz: 1.5 % + 60; 45 Hz to 1 kHz: 0.4 % + 40; 1 kHz to 10 kHz: 1 % + 40; 10 kHz to 20 kHz: 2 % + 40] | 50 V, 1 mV, [20 Hz to 45 Hz: 1.5 % + 60; 45 Hz to 1 kHz: 0.4 % + 40; 1 kHz to 10 kHz: 1 % + 40] | 1000 V, 0.1 V, [45 Hz to 1 kHz: 0.4 % + 40; 1 kHz to 5 kHz: 1 % + 40]
resistance: 500 ohm, 10 mohm, 0.08 % + 10 | 5 kohm, 0.1 ohm, 0.08 % + 2 | 50 kohm, 1 ohm, 0.08 % + 2 | 500 kohm, 10 ohm, 0.08 % + 2 | 5 Mohm, 100 ohm, 0.2 % + 5 | 50 Mohm, 1 kohm, 0.8 % + 10 | 500 Mohm, 0.1 Mohm, 3 % + 10
frequency: 50 Hz, 1 mHz, 0.02 % + 5 | 500 Hz, 0.01 Hz, 0.005 % + 5 | 5 kHz, 0.1 Hz, 0.005 % + 5 | 50 kHz, 1 Hz, 0.005 % + 5 | 500 kHz, 10 Hz, 0.005 % + 5"""),
    "clamp 600 A": ("6000", "600 V", """
DC current: 60 A, 10 mA, 1.5 % + 10 | 600 A, 0.1 A, 1.5 % + 5
AC current: 60 A, 10 mA, [50 Hz to 60 Hz: 1.8 % + 8; 60 Hz to 400 Hz: 3 % + 8] | 600 A, 0.1 A, [50 Hz to 60 Hz: 1.8 % + 5; 60 Hz to 400 Hz: 3 % + 5]
DC voltage: 600 mV, 0.1 mV, 1 % + 8 | 6 V, 1 mV, 0.8 % + 5 | 60 V, 10 mV, 0.8 % + 5 | 600 V, 0.1 V, 1 % + 5
capacitance: 60 nF, 10 pF, 4 % + 25 | 600 nF, 0.1 nF, 4 % + 5 | 6 uF, 1 nF, 4 % + 5 | 60 uF, 10 nF, 4 % + 5 | 600 uF, 0.1 uF, 4 % + 5 | 6 mF, 1 uF, 5 % + 5 | 60 mF, 10 uF, 10 % + 5"""),
    "calibrator-like": ("200000", "1000 V", """
DC voltage: 200 mV, 1 uV, 0.008 % of reading + 0.004 % of range | 2 V, 10 uV, 0.006 % of reading + 0.002 % of range | 20 V, 0.1 mV, 0.006 % of reading + 0.002 % of range | 200 V, 1 mV, 0.008 % of reading + 0.002 % of range | 1000 V, 10 mV, 0.008 % of reading + 0.003 % of range
DC current: 200 uA, 1 nA, 0.03 % of reading + 0.01 % of range | 2 mA, 10 nA, 0.03 % of reading + 0.005 % of range | 20 mA, 0.1 uA, 0.03 % of reading + 0.01 % of range | 200 mA, 1 uA, 0.05 % of reading + 0.01 % of range | 2 A, 10 uA, 0.15 % of reading + 0.02 % of range
resistance: 200 ohm, 1 mohm, 0.01 % of reading + 0.005 % of range | 2 kohm, 10 mohm, 0.01 % of reading + 0.002 % of range | 20 kohm, 0.1 ohm, 0.01 % of reading + 0.002 % of range | 200 kohm, 1 ohm, 0.01 % of reading + 0.002 % of range | 2 Mohm, 10 ohm, 0.03 % of reading + 0.003 % of range | 20 Mohm, 100 ohm, 0.1 % of reading + 0.005 % of range"""),
    "field 6000": ("6000", "1000 V", """
DC voltage: 600 mV, 0.1 mV, 0.09 % + 2 | 6 V, 1 mV, 0.09 % + 2 | 60 V, 10 mV, 0.09 % + 2 | 600 V, 0.1 V, 0.09 % + 2 | 1000 V, 1 V, 0.15 % + 2
AC voltage: 600 mV, 0.1 mV, [45 Hz to 500 Hz: 1 % + 3; 500 Hz to 1 kHz: 2 % + 3] | 6 V, 1 mV, [45 Hz to 500 Hz: 1 % + 3; 500 Hz to 1 kHz: 2 % + 3] | 60 V, 10 mV, [45 Hz to 500 Hz: 1 % + 3; 500 Hz to 1 kHz: 2 % + 3] | 1000 V, 1 V, [45 Hz to 500 Hz: 1.5 % + 3; 500 Hz to 1 kHz: 3 % + 3]
DC current: 60 mA, 10 uA, 1 % + 3 | 400 mA, 0.1 mA, 1 % + 3 | 6 A, 1 mA, 1 % + 3 | 10 A, 10 mA, 1 % + 3
AC current: 60 mA, 10 uA, [45 Hz to 1 kHz: 1.5 % + 3] | 400 mA, 0.1 mA, [45 Hz to 1 kHz: 1.5 % + 3] | 6 A, 1 mA, [45 Hz to 1 kHz: 1.5 % + 3] | 10 A, 10 mA, [45 Hz to 1 kHz: 1.5 % + 3]
resistance: 600 ohm, 0.1 ohm, 0.9 % + 2 | 6 kohm, 1 ohm, 0.9 % + 1 | 60 kohm, 10 ohm, 0.9 % + 1 | 600 kohm, 100 ohm, 0.9 % + 1 | 6 Mohm, 1 kohm, 0.9 % + 1 | 50 Mohm, 10 kohm, 1.5 % + 3"""),
    "low currents": ("20000", "250 V", """
DC current: 20 nA, 1 pA, 1 % + 10 | 200 nA, 10 pA, 0.5 % + 5 | 2 uA, 0.1 nA, 0.3 % + 5 | 20 uA, 1 nA, 0.2 % + 3 | 200 uA, 10 nA, 0.2 % + 3 | 2 mA, 0.1 uA, 0.2 % + 3
conductance: 20 nS, 1 pS, 2 % + 20 | 200 nS, 10 pS, 1 % + 10
resistance: 200 ohm, 10 mohm, 0.2 % + 10 | 2 kohm, 0.1 ohm, 0.1 % + 3 | 20 kohm, 1 ohm, 0.1 % + 3 | 200 kohm, 10 ohm, 0.1 % + 3 | 2 Mohm, 100 ohm, 0.2 % + 3 | 20 Mohm, 1 kohm, 0.5 % + 3 | 200 Mohm, 10 kohm, 2 % + 5"""),
    "temperatures": ("10000", "300 V", """
temperature: 1000 degC, 0.1 degC, 0.3 % + 1 degC
DC voltage: 100 mV, 10 uV, 0.2 % + 3 | 1 V, 0.1 mV, 0.2 % + 2 | 10 V, 1 mV, 0.2 % + 2 | 100 V, 10 mV, 0.2 % + 2 | 300 V, 0.1 V, 0.3 % + 2
frequency: 100 Hz, 0.01 Hz, 0.1 % + 1 | 1 kHz, 0.1 Hz, 0.1 % + 1 | 10 kHz, 1 Hz, 0.1 % + 1 | 100 kHz, 10 Hz, 0.1 % + 1 | 1 MHz, 100 Hz, 0.1 % + 1 | 10 MHz, 1 kHz, 0.1 % + 1"""),
    "automotive": ("4000", "600 V", """
DC voltage: 400 mV, 0.1 mV, 0.5 % + 5 | 4 V, 1 mV, 0.5 % + 2 | 40 V, 10 mV, 0.5 % + 2 | 400 V, 0.1 V, 0.5 % + 2 | 600 V, 1 V, 1 % + 4
DC current: 400 mA, 0.1 mA, 1 % + 3 | 20 A, 10 mA, 2 % + 5
AC current: 400 mA, 0.1 mA, [40 Hz to 400 Hz: 2 % + 5] | 20 A, 10 mA, [40 Hz to 400 Hz: 3 % + 7]
duty cycle: 100 %, 0.1 %, [10 Hz to 10 kHz: 1 % + 3]"""),
    "wide AC": ("60000", "1000 V", """
AC voltage: 60 mV, 1 uV, [20 Hz to 45 Hz: 1.3 % + 60; 45 Hz to 65 Hz: 0.3 % + 40; 65 Hz to 1 kHz: 0.4 % + 40; 1 kHz to 20 kHz: 2 % + 60] | 600 mV, 10 uV, [20 Hz to 45 Hz: 1.3 % + 60; 45 Hz to 65 Hz: 0.3 % + 25; 65 Hz to 1 kHz: 0.4 % + 25; 1 kHz to 20 kHz: 1 % + 40; 20 kHz to 100 kHz: 3.5 % + 100] | 6 V, 0.1 mV, [20 Hz to 45 Hz: 1.3 % + 60; 45 Hz to 65 Hz: 0.3 % + 25; 65 Hz to 1 kHz: 0.4 % + 25; 1 kHz to 20 kHz: 0.7 % + 40; 20 kHz to 100 kHz: 3.5 % + 100] | 60 V, 1 mV, [20 Hz to 45 Hz: 1.3 % + 60; 45 Hz to 65 Hz: 0.3 % + 25; 65 Hz to 1 kHz: 0.4 % + 25; 1 kHz to 20 kHz: 0.7 % + 40; 20 kHz to 100 kHz: 3.5 % + 100] | 600 V, 10 mV, [45 Hz to 65 Hz: 0.3 % + 25; 65 Hz to 1 kHz: 0.4 % + 25; 1 kHz to 10 kHz: 1 % + 40] | 1000 V, 0.1 V, [45 Hz to 65 Hz: 0.3 % + 40; 65 Hz to 1 kHz: 0.6 % + 40]"""),
    "insulation-like": ("6000", "1000 V", """
resistance: 600 ohm, 0.1 ohm, 1 % + 5 | 6 kohm, 1 ohm, 1 % + 2 | 60 kohm, 10 ohm, 1 % + 2 | 600 kohm, 100 ohm, 1 % + 2 | 6 Mohm, 1 kohm, 1.5 % + 3 | 60 Mohm, 10 kohm, 3 % + 5 | 600 Mohm, 0.1 Mohm, 8 % + 10
AC voltage: 600 V, 0.1 V, [45 Hz to 400 Hz: 2 % + 3] | 1000 V, 1 V, [45 Hz to 400 Hz: 2 % + 3]
DC voltage: 600 V, 0.1 V, 1 % + 3 | 1000 V, 1 V, 1 % + 3"""),
    "capacitors": ("10000", "100 V", """
capacitance: 1 nF, 0.1 pF, 2 % + 20 | 10 nF, 1 pF, 1 % + 10 | 100 nF, 10 pF, 1 % + 5 | 1 uF, 0.1 nF, 1 % + 5 | 10 uF, 1 nF, 1 % + 5 | 100 uF, 10 nF, 1.5 % + 5 | 1 mF, 0.1 uF, 2 % + 5 | 10 mF, 1 uF, 5 % + 10
resistance: 10 ohm, 1 mohm, 0.5 % + 10 | 100 ohm, 10 mohm, 0.3 % + 5 | 1 kohm, 0.1 ohm, 0.3 % + 3 | 10 kohm, 1 ohm, 0.3 % + 3 | 100 kohm, 10 ohm, 0.3 % + 3 | 1 Mohm, 100 ohm, 0.5 % + 3 | 10 Mohm, 1 kohm, 1 % + 5"""),
}


def made(title: str) -> dict:
    """A meter's file of such a table."""
    display, rated, text = TABLES[title]
    functions = []
    for line in text.strip().splitlines():
        name, ranges = line.split(": ", 1)
        kind = {"jacks": ["A", "COM"]} if "current" in name else {}
        functions.append(function(name, *map(_range, ranges.split(" | ")), **kind))
    return meter(*functions, display=f"{display} counts", rated={"between_terminals": rated})


def _range(text: str) -> dict:
    name, step, accuracy = text.split(", ", 2)
    if not accuracy.startswith("["):
        return range_(name, step, _counts(accuracy))
    rows = [row(_counts(within), frequency=band) for band, within in
            (one.split(": ") for one in accuracy.strip("[]").split("; "))]
    lowest = {} if step == "0.1 %" else {"lowest": "5 % of range"}
    return range_(name, step, rows, **lowest)


def _counts(text: str) -> str:
    return text if text.endswith(("range", "degC")) else f"{text} counts"


def rows_of(one: dict) -> int:
    """How many accuracies a meter's file states."""
    return sum(len(on["accuracy"]) if isinstance(on["accuracy"], list) else 1
               for f in one["functions"] for on in f.get("ranges", []))
