"""What each meter read at its last verification, for the band beside a new reading on the phone."""

from __future__ import annotations

from collections.abc import Iterable

from builder.pages.page_text import as_script
from builder.records.history import History


def scripts(meters: Iterable[str], histories: Iterable[History]) -> dict[str, str]:
    """By path, a script for each kind of meter: of each serial number and point the day of the last
    reading and its error in percent of the tolerance, as text with one decimal. An overload has
    none."""
    by_meter: dict[str, dict[str, dict[str, list]]] = {meter: {} for meter in meters}
    for history in histories:
        by_meter.setdefault(history.meter, {})[history.serial] = history.last_errors
    return {f"data/last/{meter}.js": f"Bench.last({as_script(found)});\n"
            for meter, found in by_meter.items()}
