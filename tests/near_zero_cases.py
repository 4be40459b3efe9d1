"""Readings that are to close a live group, for the builder and for the page: typed by hand, beside
what is claimed of them, and drawn, beside what whole numbers of microvolts say."""

from __future__ import annotations

import random

from builder.formats.group_data import GroupData


def group(limit: str | None = "1 V", hazardous: str | None = "30 V", unit: str = "V") -> GroupData:
    return GroupData(group="6", title="live", hazard="hazardous live", near_zero=unit,
                     near_zero_limit=limit, hazardous_from=hazardous)


AC, DC, COARSE = group(), group(hazardous="60 V", unit="mV"), group("5 V")
OLD = group(None, None, "mV")       # as data had it before

# typed, group, unit beside it, what it is
TYPED = [
    ("0.00 V", AC, "", "near zero"), ("−0.002 V", AC, "", "near zero"),
    ("-0,002V", AC, "", "near zero"), ("12 mV", AC, "", "near zero"),
    ("999.9mv", AC, "", "near zero"), ("1 V", AC, "", "near zero"),
    ("-1.000 V", AC, "", "near zero"), ("3 µV", AC, "", "near zero"),
    ("0.0 millivolts", AC, "", "near zero"), ("0.000 kV", AC, "", "near zero"),
    ("1.001 V", AC, "", "between"), ("30 V", AC, "", "between"), ("-30.0 V", AC, "", "between"),
    ("30.1 V", AC, "", "live"), ("30 001 mV", AC, "", "live"), ("60 V", AC, "", "live"),
    ("540 V", AC, "", "live"), ("-540 V", AC, "", "live"), ("0.54 kV", AC, "", "live"),
    ("60 V", DC, "", "between"), ("-60.1 V", DC, "", "live"),
    ("5 V", COARSE, "", "near zero"), ("5.1 V", COARSE, "", "between"),
    ("OL", AC, "", "overload"), ("-OL", AC, "V", "overload"), ("0.L V", AC, "", "overload"),
    ("banana", AC, "", "no-voltage"), ("banana", AC, "V", "no-voltage"),
    ("V", AC, "", "no-voltage"),
    ("yes", AC, "", "no-voltage"), ("0.5 A", AC, "", "no-voltage"),
    ("0.5 x", AC, "V", "no-voltage"),
    ("1,500 V", AC, "", "no-voltage"), ("1.2.3 V", AC, "", "no-voltage"),
    ("0 V V", AC, "", "no-voltage"), ("0" * 19 + " V", AC, "", "no-voltage"),
    ("0.0", AC, "", "no-unit"), ("540", AC, "", "no-unit"), ("-0.002", AC, "", "no-unit"),
    ("540", AC, "V", "live"), ("540", AC, "mV", "near zero"), ("540 V", AC, "mV", "live"),
    ("0.002", AC, "V", "near zero"), ("", AC, "", ""), ("  ", AC, "V", ""),
    ("1 V", OLD, "", "near zero"), ("31 V", OLD, "", "live"), ("20 V", OLD, "", "between"),
]


def drawn(rng: random.Random, count: int):
    """`count` readings on and beside the limits, as typed, with what microvolts make of them."""
    for _ in range(count):
        limit, hazardous = rng.choice([1, 2, 5]), rng.choice([30, 60])
        near = rng.choice([0, limit, hazardous, rng.randrange(1200)]) * 10**6
        micro = near + rng.choice([0, 1, -1, 10**3, -10**3, 10**5])
        prefix, power = rng.choice([("u", 0), ("m", 3), ("", 6), ("k", 9)])
        whole, rest = divmod(abs(micro), 10**power)
        digits = f"{whole}.{rest:0{power}d}".rstrip("0").rstrip(".") if power else str(whole)
        typed = rng.choice(["", "-", "−"]) + digits
        claimed = ("live" if abs(micro) > hazardous * 10**6
                   else "near zero" if abs(micro) <= limit * 10**6 else "between")
        if rng.random() < 0.5:
            yield f"{typed}{rng.choice(['', ' '])}{prefix}V", group(f"{limit} V",
                                                                     f"{hazardous} V"), "", claimed
        else:
            yield typed, group(f"{limit} V", f"{hazardous} V"), f"{prefix}V", claimed


def point(apply: str = "540.0 V", **more) -> dict:
    return {"group": "6", "id": "p", "unit": apply.split(" ")[1], "apply": apply,
            "hazard": "hazardous live", "find": None, "level": None} | more


HZ = point("1.0000 kHz", level="230 V")
LOW, HIGH, MINUS = point("120.0 V", id="low"), point(id="high"), point("-540.0 V", id="minus")

# readings as (point, reading, at), when the group was opened, whether the live value was seen
TAKEN = [
    ([], "", False),
    ([(HIGH, "540.3", "")], "", True), ([(HIGH, "540.3 V", "")], "", True),
    ([(HIGH, "539.9/540.1", "")], "", True), ([(HIGH, "3.0/540.1", "")], "", False),
    ([(HIGH, "1/2/3", "")], "", False),
    ([(HIGH, "486.0", "")], "", True), ([(HIGH, "485.9", "")], "", False),
    ([(HIGH, "594.0", "")], "", True), ([(HIGH, "594.1", "")], "", False),
    ([(HIGH, "-540", "")], "", False), ([(MINUS, "-539.8", "")], "", True),
    ([(MINUS, "539.8", "")], "", False), ([(HIGH, "OL", "")], "", False),
    ([(HIGH, "banana", "")], "", False), ([(HIGH, "0.540 kV", "")], "", False),
    ([(HIGH, "540", ""), (LOW, "3", "")], "", False),
    ([(LOW, "3", ""), (HIGH, "540", "")], "", True),
    # by the times, where all have one; the sheet's order where they don't
    ([(HIGH, "540", "2026-03-12T09:05"), (LOW, "3", "2026-03-12T09:01")], "", True),
    ([(LOW, "120", "2026-03-12T09:05"), (HIGH, "3", "2026-03-12T09:06")], "", False),
    ([(HIGH, "540", "2026-03-12T09:05"), (LOW, "3", "")], "", False),
    ([(LOW, "3", "2026-03-12T09:05"), (HIGH, "540", "2026-03-12T09:05")], "", True),
    # opened again since
    ([(HIGH, "540", "2026-03-12T09:05")], "2026-03-12T09:04", True),
    ([(HIGH, "540", "2026-03-12T09:05")], "2026-03-12T09:05", True),
    ([(HIGH, "540", "2026-03-12T09:05")], "2026-03-12T09:06", False),
    # another thing than a voltage that was applied
    ([(HZ, "1.0000", "")], "", False), ([(point(find="bandwidth"), "540", "")], "", False),
    ([(point(hazard=None), "540", "")], "", False), ([(point("540.0 mA"), "540", "")], "", False),
]
