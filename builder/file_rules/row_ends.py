"""Rules for the ends of an accuracy row's frequencies and values."""

from __future__ import annotations

from builder.file_rules.plausible import CONFIRM
from builder.file_rules.saying import Say
from builder.files.problems import WARNING
from builder.formats.functions import FunctionKind
from builder.formats.row_entry import RowEntry
from builder.formats.row_parts import RowPart, Parts


def frequencies(say: Say, path: tuple, kind: FunctionKind, row: RowEntry, sure: bool) -> bool:
    """Whether a row's frequencies, which are frequencies, can be used: each ends somewhere, and DC
    is one of an AC+DC function alone."""
    for part in row.frequency.parts:
        if part.high is None:
            say((*path, "frequency"), "open-end",
                f"'{part}' has no end, and no accuracy holds at any frequency",
                "write where it ends, as 'A to B'; if the data sheet doesn't say, leave the row "
                "out, and plan a point there as an observation: 'observe: …'")
            return False
        if part.high.value == 0 and not kind.with_dc:
            say((*path, "frequency"), "frequency", f"{kind.name} has no frequency of zero",
                "'DC' is a row of an AC+DC function")
            return False
        if part.low is None and kind.is_ac and not (sure or row.confirmed):
            say((*path, "frequency"), "open-end",
                f"'{part}' doesn't say from which frequency on, so it is taken for all of them",
                f"write 'A to B' if the data sheet says where it starts; {CONFIRM}",
                severity=WARNING)
    return True


def overlap(first: RowEntry, other: RowEntry) -> bool:
    """Whether two rows have more in common than an end or a single frequency."""
    return _meet(first.frequency, other.frequency) and _shared(first.values, other.values)


def _meet(first: Parts | None, other: Parts | None) -> bool:
    if first is None or other is None:
        return True
    return any(max(a, c) < min(b, d) for a, b in first.bands for c, d in other.bands)


def _shared(first: RowPart | None, other: RowPart | None) -> bool:
    if first is None or other is None:
        return True
    lows = [end.value for end in (first.low, other.low) if end is not None]
    highs = [end.value for end in (first.high, other.high) if end is not None]
    return not lows or not highs or max(lows) < min(highs)
