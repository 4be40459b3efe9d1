"""The shop's meters with their histories, and its register: how each stands on the shop's day."""

from __future__ import annotations

from builder.records import history, register
from builder.records.history import History
from builder.records.register import Register
from builder.shop.contents import Shop
from builder.shop.missing import whole


def histories(shop: Shop) -> dict[tuple[str, str], History]:
    """Of each meter that a record is about, by its file and serial number."""
    return history.histories(
        shop.records, {name: plan.interval_agreed for name, plan in whole(shop, "plans").items()},
        history.steps_of(shop.workshop))


def register_of(shop: Shop, known: dict[tuple[str, str], History]) -> Register:
    """The register of a shop whose histories are known."""
    return register.register(histories=known, plans=whole(shop, "plans"),
                             standards=whole(shop, "standards"), listed=shop.register,
                             as_of=shop.as_of, past=set(shop.past),
                             meters={name: meter.name for name, meter in shop.meters.items()
                                     if name in shop.functions})
