"""What meters of a kind commonly have: their functions with ranges and steps, for a file whose
accuracies a person fills in. Ranges as the trade has them, of no maker."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class CommonFunction:
    """`ranges` are names with their steps, `keys` lines of the file as they stand."""

    function: str
    dial: str
    ranges: tuple[tuple[str, str], ...] = ()
    jacks: str = "[V, COM]"     # "" of a clamp
    keys: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CommonKind:
    says: str
    counts: str
    jacks: str
    functions: tuple[CommonFunction, ...]


def _table(function: str, dial: str, ranges: str = "", **more) -> CommonFunction:
    """`ranges` as in a data sheet's columns: '600 mV by 0.1 mV, 6 V by 1 mV'."""
    pairs = [tuple(one.strip().split(" by ")) for one in ranges.split(",") if one.strip()]
    return CommonFunction(function=function, dial=dial, ranges=tuple(pairs), **more)


_MILLI, _AMPS, _JAW = "[mA, COM]", "[10 A, COM]", ""
_TESTS = (_table("continuity", "Ω"), _table("diode test", "diode"))
_SENSITIVE = ("sensitivity: …",)

KINDS = {
    "pocket": CommonKind(
        says="4000 counts, volts and parts", counts="4000 counts", jacks="[COM, V]", functions=(
            _table("DC voltage", "V DC", "400 mV by 0.1 mV, 4 V by 1 mV, 40 V by 10 mV, "
                   "400 V by 0.1 V, 600 V by 1 V"),
            _table("AC voltage", "V AC", "4 V by 1 mV, 40 V by 10 mV, 400 V by 0.1 V, "
                   "600 V by 1 V"),
            _table("resistance", "Ω", "400 ohm by 0.1 ohm, 4 kohm by 1 ohm, 40 kohm by 10 ohm, "
                   "400 kohm by 100 ohm, 4 Mohm by 1 kohm, 40 Mohm by 10 kohm"),
            *_TESTS,
            _table("capacitance", "F", "40 nF by 10 pF, 400 nF by 100 pF, 4 uF by 1 nF, "
                   "40 uF by 10 nF, 400 uF by 100 nF"))),
    "field": CommonKind(
        says="6000 counts, volts, parts, currents and hertz", counts="6000 counts",
        jacks="[10 A, mA, COM, V]", functions=(
            _table("DC voltage", "V DC", "600 mV by 0.1 mV, 6 V by 1 mV, 60 V by 10 mV, "
                   "600 V by 0.1 V, 1000 V by 1 V"),
            _table("AC voltage", "V AC", "6 V by 1 mV, 60 V by 10 mV, 600 V by 0.1 V, "
                   "1000 V by 1 V"),
            _table("resistance", "Ω", "600 ohm by 0.1 ohm, 6 kohm by 1 ohm, 60 kohm by 10 ohm, "
                   "600 kohm by 100 ohm, 6 Mohm by 1 kohm, 60 Mohm by 10 kohm"),
            *_TESTS,
            _table("capacitance", "F", "60 nF by 10 pF, 600 nF by 100 pF, 6 uF by 1 nF, "
                   "60 uF by 10 nF, 600 uF by 100 nF"),
            _table("DC current", "mA", "60 mA by 10 uA, 600 mA by 0.1 mA", jacks=_MILLI,
                   keys=("name: DC milliamperes",)),
            _table("AC current", "mA", "60 mA by 10 uA, 600 mA by 0.1 mA", jacks=_MILLI,
                   keys=("name: AC milliamperes",)),
            _table("DC current", "A", "6 A by 1 mA, 10 A by 10 mA", jacks=_AMPS),
            _table("AC current", "A", "6 A by 1 mA, 10 A by 10 mA", jacks=_AMPS),
            _table("frequency", "Hz", "60 Hz by 10 mHz, 600 Hz by 0.1 Hz, 6 kHz by 1 Hz, "
                   "60 kHz by 10 Hz", keys=_SENSITIVE))),
    "electronics": CommonKind(
        says="20 000 counts, with temperature and conductance", counts="20 000 counts",
        jacks="[10 A, mA, COM, V]", functions=(
            _table("DC voltage", "V DC", "200 mV by 10 uV, 2 V by 0.1 mV, 20 V by 1 mV, "
                   "200 V by 10 mV, 1000 V by 0.1 V"),
            _table("AC voltage", "V AC", "200 mV by 10 uV, 2 V by 0.1 mV, 20 V by 1 mV, "
                   "200 V by 10 mV, 1000 V by 0.1 V"),
            _table("resistance", "Ω", "200 ohm by 10 mohm, 2 kohm by 0.1 ohm, 20 kohm by 1 ohm, "
                   "200 kohm by 10 ohm, 2 Mohm by 100 ohm, 20 Mohm by 1 kohm"),
            _table("conductance", "nS", "200 nS by 10 pS"), *_TESTS,
            _table("capacitance", "F", "20 nF by 1 pF, 200 nF by 10 pF, 2 uF by 100 pF, "
                   "20 uF by 1 nF, 200 uF by 10 nF"),
            _table("temperature", "°C", "1000 degC by 0.1 degC",
                   keys=("thermocouple: …",)),
            _table("DC current", "mA", "20 mA by 1 uA, 200 mA by 10 uA", jacks=_MILLI,
                   keys=("name: DC milliamperes",)),
            _table("AC current", "mA", "20 mA by 1 uA, 200 mA by 10 uA", jacks=_MILLI,
                   keys=("name: AC milliamperes",)),
            _table("DC current", "A", "2 A by 0.1 mA, 10 A by 1 mA", jacks=_AMPS),
            _table("AC current", "A", "2 A by 0.1 mA, 10 A by 1 mA", jacks=_AMPS),
            _table("frequency", "Hz", "200 Hz by 10 mHz, 2 kHz by 0.1 Hz, 20 kHz by 1 Hz, "
                   "200 kHz by 10 Hz", keys=_SENSITIVE))),
    "clamp": CommonKind(
        says="6000 counts, a jaw for currents, volts and ohms", counts="6000 counts",
        jacks="[COM, V]", functions=(
            _table("AC current", "A AC", "60 A by 10 mA, 600 A by 0.1 A", jacks=_JAW),
            _table("DC current", "A DC", "60 A by 10 mA, 600 A by 0.1 A", jacks=_JAW,
                   keys=("keys: press ZERO with the jaw closed around the coil",)),
            _table("DC voltage", "V DC", "6 V by 1 mV, 60 V by 10 mV, 600 V by 0.1 V, "
                   "1000 V by 1 V"),
            _table("AC voltage", "V AC", "6 V by 1 mV, 60 V by 10 mV, 600 V by 0.1 V, "
                   "1000 V by 1 V"),
            _table("resistance", "Ω", "600 ohm by 0.1 ohm, 6 kohm by 1 ohm, 60 kohm by 10 ohm"),
            *_TESTS)),
}
