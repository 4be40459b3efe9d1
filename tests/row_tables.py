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

TABLES = {"shelduck-1": SHELDUCK, "gadwall-2": GADWALL, "pochard-3": POCHARD}

_SHELDUCK = {"meter": "shelduck-1"}
_GADWALL = {"meter": "gadwall-2", "function": "AC voltage", "value": "3 V", "step": "0.001"}
_CURRENT = {"meter": "gadwall-2", "function": "AC current", "value": "3 A", "step": "0.001"}
_POCHARD = {"meter": "pochard-3", "function": "AC+DC voltage", "value": "3 V", "step": "0.001"}

ASKED = [
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
