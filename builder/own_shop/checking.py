"""A shop with every problem that `check` lists: those of its files, of its lessons, and of an
update."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from builder.files.cache import Cache
from builder.lessons import tags
from builder.own_shop import after_update
from builder.shop import loading
from builder.shop.contents import Shop


def checked(procedures: Path, kept: Cache | None = None, as_of: date | None = None) -> Shop:
    """As `load_shop` gives it."""
    shop = loading.load_shop(procedures, kept=kept, as_of=as_of)
    shop.problems += tags.read(procedures.parent / "site_src", shop)[1]
    shop.problems += after_update.problems(procedures.parent)
    return shop
