"""What is connected to what, for one group of points, and the same in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Device:
    name: str
    note: str = ""                    # a second line: source, box at 100 Ω, reference meter
    terminals: tuple[str, ...] = ()   # all of them, or those worth showing


@dataclass(frozen=True, slots=True)
class Lead:
    jack: str
    high: bool                  # drawn solid; the low side is dashed
    # a place in Connection.devices; None where the lead's other end is at no device
    device: int | None = None
    terminal: str = ""


@dataclass(frozen=True, slots=True)
class Link:
    """A lead from device to device."""
    device: int
    terminal: str
    other: int
    other_terminal: str
    high: bool


@dataclass(frozen=True, slots=True)
class DrawnCoil:
    """A coil that the meter's jaw closes around; the current enters it from `enters` and returns to
    `returns`."""
    turns: int
    device: int
    enters: str
    returns: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Connection:
    meter: str
    jacks: tuple[str, ...] = ()       # from left to right
    dial: str | None = None
    devices: tuple[Device, ...] = ()
    leads: tuple[Lead, ...] = ()
    links: tuple[Link, ...] = ()      # two, in parallel to the meter; one, in series with it
    together: bool = False            # leads that end at no device: ends together, or apart
    coil: DrawnCoil | None = None
    thermometer: str = ""             # its name, where one measures the temperature at a jack
    thermometer_at: str = ""          # that jack, one of those in use
    note: str = ""                    # what to know of the leads: copper leads


def in_words(connection: Connection) -> str:
    """The same in words, for readers who don't see the drawing."""
    names = [d.name for d in connection.devices]
    sentences = []
    if coil := connection.coil:
        sentences += [f"Jaw: closed around the middle of the coil of {turns_in_words(coil)}, "
                      "current as the arrow shows.",
                      f"Coil: {coil.enters} and {coil.returns} of {names[coil.device]}."]
    if not connection.leads:
        sentences.append("Leads: off the meter.")
    elif all(lead.device is None for lead in connection.leads):
        ends = "their other ends together" if connection.together else "their other ends apart"
        sentences.append(
            f"Leads: {' and '.join(lead.jack for lead in connection.leads)}, {ends}, nothing else "
            "connected.")
    else:
        pairs = _pairs([(lead.jack, lead.terminal, names[lead.device])
                        for lead in connection.leads if lead.device is not None])
        sentences.append(f"Leads: {pairs}.")
    for device in dict.fromkeys(link.device for link in connection.links):
        pairs = _pairs([(link.terminal, link.other_terminal, names[link.other])
                        for link in connection.links if link.device == device])
        sentences.append(f"From {names[device]}: {pairs}.")
    if connection.thermometer:
        sentences.append(f"At the jack {connection.thermometer_at}: {connection.thermometer}.")
    if connection.note:
        sentences.append(f"{connection.note[0].upper()}{connection.note[1:]}.")
    return " ".join(sentences)


def _pairs(ends: Sequence[tuple[str, str, str]]) -> str:
    """V to HI, COM to LO of Fulmar; where two devices follow each other, each is named."""
    return ", ".join(f"{a} to {b}" + (f" of {name}" if n + 1 == len(ends) or ends[n + 1][2] != name
                                      else "") for n, (a, b, name) in enumerate(ends))


def turns_in_words(coil: DrawnCoil) -> str:
    """How many of them, in words."""
    return "1 turn" if coil.turns == 1 else f"{coil.turns} turns"
