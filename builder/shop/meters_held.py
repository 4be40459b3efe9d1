"""The shop's meters with their histories, and its register: how each stands on the shop's day."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from builder.compute.statistics.interval import Steps
from builder.files.kept_texts import KeptTexts
from builder.formats.workshop import Workshop
from builder.records import history, register
from builder.records.history import History
from builder.records.register import Register
from builder.shop import kept_histories
from builder.shop.contents import Shop
from builder.shop.missing import whole


def histories(shop: Shop, texts: KeptTexts | None = None) -> dict[tuple[str, str], History]:
    """Of each meter that a record is about, by its file and serial number; as far as `texts` has
    them from an earlier build."""
    return history.histories(
        shop.records, {name: plan.interval_agreed for name, plan in whole(shop, "plans").items()},
        steps_of(shop.workshop),
        partial(kept_histories.history, texts=texts) if texts else None)


def register_of(shop: Shop, known: dict[tuple[str, str], History]) -> Register:
    """The register of a shop whose histories are known."""
    return register.register(histories=known, plans=whole(shop, "plans"),
                             standards=whole(shop, "standards"), listed=shop.register,
                             as_of=shop.as_of, past=set(shop.past),
                             meters={name: meter.name for name, meter in shop.meters.items()
                                     if name in shop.functions})


def steps_of(workshop: Workshop | None) -> Steps:
    """Those of the staircase, as the workshop's file sets them."""
    own = workshop.staircase if workshop else None
    if own is None:
        return history.USUAL
    shares = {name: float(share) for name in ("good", "longer", "shorter")
              if (share := getattr(own, name)) is not None}
    return replace(history.USUAL, in_a_row=own.in_a_row or history.USUAL.in_a_row,
                   **{name: share if name == "good" else share / 100
                      for name, share in shares.items()})
