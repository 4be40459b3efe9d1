"""What a new site has, and what the last one had beside it. Asks the two sites alone: no clock, and
nothing kept elsewhere."""

from __future__ import annotations

import json
from pathlib import Path

from builder.formats.site_data import SiteData

DATA = "data/site.json"
_WORDS = {"meters": "meter", "standards": "standard", "procedures": "procedure",
          "reports": "report"}
_SHOWN = 10     # names of what is gone, of each kind


def read(site: Path) -> SiteData | None:
    """The data of a built site; None where there is none, or another builder made it."""
    try:
        return SiteData.model_validate(json.loads((site / DATA).read_text(encoding="utf-8")))
    except (OSError, ValueError):
        return None


def said(new: SiteData | None, last: SiteData | None) -> list[str]:
    """What is gone since the last site, a line a kind as a warning; and the counts."""
    if new is None:
        return []
    lines = []
    for kind, word in _WORDS.items():
        gone = sorted(set(getattr(last, kind)) - set(getattr(new, kind))) if last else []
        if gone:
            names = ", ".join(gone[:_SHOWN]) + (f" and {len(gone) - _SHOWN} more"
                                                if len(gone) > _SHOWN else "")
            lines.append(f"warning: the last site had {_counted(len(gone), word)} more: {names}. "
                         "If that is not meant, look for the files.")
    counts = ", ".join(_counted(len(getattr(new, kind)), word) for kind, word in _WORDS.items())
    missing = (f"; {len(new.missing)} of them missing, with a page that says why" if new.missing
               else "")
    return [*lines, f"{counts}{missing}."]


def _counted(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"
