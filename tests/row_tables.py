"""Invented accuracy tables as data sheets print them, with rows that end in the open, hold at
single frequencies, or say DC; and what each says of values, worked out beside the builder: percent
and counts are typed here again, with the rows picked by hand. Without percent: no limits there."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What the table says at a value: percent of reading, counts and the value of one count."""

    meter: str
    function: str
    value: str
    hertz: str = ""
    percent: str = ""
    counts: int = 0
    step: str = ""

    def accepted(self) -> tuple[Fraction, Fraction]:
        """Inward to whole counts: ceil((x − T)/r)·r and floor((x + T)/r)·r."""
        x, r = Fraction(self.value.split()[0]), Fraction(self.step)
        tolerance = abs(x) * Fraction(self.percent) / 100 + self.counts * r
        return math.ceil((x - tolerance) / r) * r, math.floor((x + tolerance) / r) * r


HEAD = """
meter: {name}
name: {title}
maker: Invented Works
display: 6000 counts
specification: {{source: "{title} data sheet", holds: 18 to 28 degC}}
rated: {{between_terminals: 1000 V}}
functions:
"""[1:]

# A current range whose upper part has an accuracy of its own, to its end; and a lower part.
SHELDUCK = HEAD.format(name="shelduck-1", title="Shelduck 1") + """
  - function: DC current
    jacks: [A, COM]
    ranges:
      - range: 10 A
        resolution: 10 mA
        highest_reading: 12 A
        confirmed: the display runs to 12 A
        accuracy:
          - {values: up to 5 A, within: 1 % + 3 counts}
          - {values: above 5 A, within: 1.5 % + 5 counts}
  - function: DC voltage
    jacks: [V, COM]
    ranges:
      - range: 6 V
        resolution: 1 mV
        accuracy:
          - {values: < 1.5 V, within: 1 % + 5 counts}
          - {values: at least 1.5 V, within: 0.5 % + 2 counts}
"""[1:]
# AC rows at single frequencies inside a wider row, and one that names no lowest frequency.
GADWALL = HEAD.format(name="gadwall-2", title="Gadwall 2") + """
  - function: AC voltage
    jacks: [V, COM]
    lowest: 5 % of range
    accuracy:
      - {frequency: 50/60 Hz, within: 0.8 % + 3 counts}
      - {frequency: 40 Hz to 400 Hz, within: 1.2 % + 5 counts}
      - {frequency: 400 Hz to 1 kHz, within: 2.5 % + 5 counts}
    ranges:
      - {range: 6 V, resolution: 1 mV}
      - {range: 60 V, resolution: 10 mV}
  - function: AC current
    jacks: [A, COM]
    lowest: 5 % of range
    accuracy:
      - {frequency: < 500 Hz, within: 1.5 % + 5 counts, confirmed: the data sheet starts nowhere}
      - {frequency: 500 Hz to 2 kHz, within: 3 % + 8 counts}
    ranges:
      - {range: 6 A, resolution: 1 mA}
"""[1:]
# DC as a row of AC+DC.
POCHARD = HEAD.format(name="pochard-3", title="Pochard 3") + """
  - function: AC+DC voltage
    jacks: [V, COM]
    lowest: 5 % of range
    accuracy:
      - {frequency: "DC, 40 Hz to 1 kHz", within: 1 % + 8 counts}
      - {frequency: 1 kHz to 5 kHz, within: 2 % + 10 counts}
    ranges:
      - {range: 6 V, resolution: 1 mV}
      - {range: 60 V, resolution: 10 mV}
"""[1:]

# An accuracy for the whole function with one range that differs, and a meter like it.
SMEW = HEAD.format(name="smew-4", title="Smew 4") + """
  - function: DC voltage
    jacks: [V, COM]
    accuracy: 0.5 % + 3 counts
    ranges:
      - {range: 600 mV, resolution: 0.1 mV, accuracy: 0.9 % + 8 counts}
      - {range: 6 V, resolution: 1 mV}
      - {range: 60 V, resolution: 10 mV}
"""[1:]
SMEW_B = """
meter: smew-5
name: Smew 5
like: smew-4
functions:
  - function: DC voltage
    ranges:
      - {range: 60 V, accuracy: 0.7 % + 4 counts}
      - {range: 600 V, resolution: 100 mV}
"""[1:]
# Inductances, one range of which counts otherwise.
EIDER = HEAD.format(name="eider-6", title="Eider 6") + """
  - function: inductance
    jacks: [Lx, COM]
    method: 100 Hz, 1 mA
    ranges:
      - {range: 600 uH, resolution: 0.1 uH, accuracy: 1.5 % + 5 counts}
      - {range: 6 mH, resolution: 1 uH, accuracy: 1 % + 5 counts}
      - range: 60 mH
        resolution: 1 uH
        display: 60 000 counts
        accuracy: 0.8 % + 30 counts
        confirmed: its counts are ten times finer
"""[1:]
# The frequency of a current in a jaw.
SCAUP = HEAD.format(name="scaup-7", title="Scaup 7") + """
  - function: frequency
    clamp: yes
    signal: current
    dial: A AC
    accuracy: 0.1 % + 2 counts
    ranges:
      - {range: 60 Hz, resolution: 10 mHz}
      - {range: 600 Hz, resolution: 0.1 Hz, accuracy: 0.2 % + 3 counts}
"""[1:]

# An accuracy for each time since adjustment: of any value the longest holds.
WIGEON = HEAD.format(name="wigeon-8", title="Wigeon 8") + """
  - function: DC voltage
    jacks: [V, COM]
    ranges:
      - range: 6 V
        resolution: 1 mV
        accuracy:
          - values: up to 3 V
            within_since: {2 years: 0.3 % + 4 counts, 90 days: 0.1 % + 2 counts}
          - values: above 3 V
            within_since: {90 days: 0.2 % + 2 counts, 2 years: 0.4 % + 5 counts}
      - range: 60 V
        resolution: 10 mV
        accuracy: 0.5 % + 2 counts
"""

TABLES = {"wigeon-8": WIGEON, "smew-4": SMEW, "smew-5": SMEW_B, "eider-6": EIDER, "scaup-7": SCAUP,
          "shelduck-1": SHELDUCK, "gadwall-2": GADWALL, "pochard-3": POCHARD}

_SHELDUCK = {"meter": "shelduck-1"}
_GADWALL = {"meter": "gadwall-2", "function": "AC voltage", "value": "3 V", "step": "0.001"}
_CURRENT = {"meter": "gadwall-2", "function": "AC current", "value": "3 A", "step": "0.001"}
_POCHARD = {"meter": "pochard-3", "function": "AC+DC voltage", "value": "3 V", "step": "0.001"}
_SMEW = {"meter": "smew-4", "function": "DC voltage"}
_SMEW_B = {"meter": "smew-5", "function": "DC voltage"}
_EIDER = {"meter": "eider-6", "function": "inductance"}
_SCAUP = {"meter": "scaup-7", "function": "frequency"}
_WIGEON = {"meter": "wigeon-8", "function": "DC voltage"}

ASKED = [
    Asked(**_WIGEON, value="2 V", percent="0.3", counts=4, step="0.001"),
    Asked(**_WIGEON, value="-5.001 V", percent="0.4", counts=5, step="0.001"),
    Asked(**_WIGEON, value="50 V", percent="0.5", counts=2, step="0.01"),
    Asked(**_SMEW, value="400 mV", percent="0.9", counts=8, step="0.1"),
    Asked(**_SMEW, value="-4.321 V", percent="0.5", counts=3, step="0.001"),
    Asked(**_SMEW, value="54 V", percent="0.5", counts=3, step="0.01"),
    Asked(**_SMEW_B, value="400 mV", percent="0.9", counts=8, step="0.1"),
    Asked(**_SMEW_B, value="4.321 V", percent="0.5", counts=3, step="0.001"),
    Asked(**_SMEW_B, value="54 V", percent="0.7", counts=4, step="0.01"),
    Asked(**_SMEW_B, value="540 V", percent="0.5", counts=3, step="0.1"),
    Asked(**_EIDER, value="400 uH", percent="1.5", counts=5, step="0.1"),
    Asked(**_EIDER, value="5 mH", percent="1", counts=5, step="0.001"),
    Asked(**_EIDER, value="40.123 mH", percent="0.8", counts=30, step="0.001"),
    Asked(**_SCAUP, value="50 Hz", percent="0.1", counts=2, step="0.01"),
    Asked(**_SCAUP, value="400 Hz", percent="0.2", counts=3, step="0.1"),
    Asked(**_SHELDUCK, function="DC current", value="4 A", percent="1", counts=3, step="0.01"),
    # 5 A itself is of 'up to 5 A', and 'above' begins with the next value
    Asked(**_SHELDUCK, function="DC current", value="5 A", percent="1", counts=3, step="0.01"),
    Asked(**_SHELDUCK, function="DC current", value="5.01 A", percent="1.5", counts=5, step="0.01"),
    Asked(**_SHELDUCK, function="DC current", value="-9 A", percent="1.5", counts=5, step="0.01"),
    Asked(**_SHELDUCK, function="DC current", value="11.7 A", percent="1.5", counts=5, step="0.01"),
    Asked(**_SHELDUCK, function="DC voltage", value="1.499 V", percent="1", counts=5, step="0.001"),
    # of the two only 'at least' has 1.5 V, so its 0.5 % + 2 counts hold though 1 % is looser
    Asked(**_SHELDUCK, function="DC voltage", value="1.5 V", percent="0.5", counts=2, step="0.001"),
    Asked(**_GADWALL, hertz="50 Hz", percent="0.8", counts=3),
    Asked(**_GADWALL, hertz="60 Hz", percent="0.8", counts=3),
    # between the two single frequencies the wider row holds
    Asked(**_GADWALL, hertz="55 Hz", percent="1.2", counts=5),
    Asked(**_GADWALL, hertz="400 Hz", percent="1.2", counts=5),
    Asked(**_GADWALL, hertz="401 Hz", percent="2.5", counts=5),
    Asked(**_GADWALL, hertz="1001 Hz"),
    Asked(**_CURRENT, hertz="499 Hz", percent="1.5", counts=5),
    # below 500 Hz is not 500 Hz: the looser row alone holds there
    Asked(**_CURRENT, hertz="500 Hz", percent="3", counts=8),
    Asked(**_CURRENT, hertz="1 Hz", percent="1.5", counts=5),
    Asked(**_CURRENT, hertz="2001 Hz"),
    Asked(**_POCHARD, hertz="DC", percent="1", counts=8),
    Asked(**_POCHARD, hertz="1 kHz", percent="1", counts=8),
    Asked(**_POCHARD, hertz="1.001 kHz", percent="2", counts=10),
    Asked(**_POCHARD, hertz="5 kHz", percent="2", counts=10),
    # nothing between DC and 40 Hz
    Asked(**_POCHARD, hertz="39 Hz"),
    Asked(**_POCHARD, hertz="5.001 kHz"),
]
