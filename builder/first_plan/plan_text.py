"""A first plan for a meter, written from its own file and those of the standards: complete, and
ready to edit."""

from __future__ import annotations

import os
from pathlib import Path

from builder.compute.exact.order import PROVING
from builder.file_rules.saying import nearest
from builder.files import problems, whole_files
from builder.files.problems import Problem, Wrong
from builder.first_plan.composing import Draft
from builder.procedure.sheet import Procedure
from builder.shop import loading
from builder.shop.contents import Shop

_LONGEST_NAME = 54   # of the meter's 60, so that '-draft' fits behind it


def draft(folder: Path, meter: str, *standards: str) -> tuple[str, list[Problem]]:
    """Writes the plan into the folder of the shop. Gives what was written in a sentence without its
    stop, and the draft's warnings; raises `Wrong` with the reason where there is none."""
    path, text, procedure, warnings = compose(loading.load_shop(folder, plans=False), folder, meter,
                                              *standards)
    shown = f"{folder.name}/plans/{path.name}"
    _write(path, text, shown)
    points = sum(1 for group in procedure.groups if group.stage != PROVING
                 for point in group.points if point.planned.judged)
    left = len(procedure.plan.left_out)
    return (f"{shown}: {points} point{'' if points == 1 else 's'}, {left or 'nothing'} left "
            f"out{', each with its reason' if left > 1 else ''}"), warnings


def compose(shop: Shop, folder: Path, meter: str,
            *standards: str) -> tuple[Path, str, Procedure, list[Problem]]:
    """The draft's path and text, what it computes to, and its warnings; raises `Wrong`."""
    slug = _named(shop, "meters", shop.meters, meter)
    used = {name: shop.standards[name]
            for name in (_named(shop, "standards", shop.standards, one) for one in standards)}
    plan = slug[:_LONGEST_NAME].rstrip("-") + "-draft"
    path = folder / "plans" / f"{plan}.yaml"
    shown = f"{folder.name}/plans/{path.name}"
    if os.path.lexists(path):
        raise Wrong(
            f"{shown} exists already, and a draft never overwrites a plan",
            "give it another name, in the file too ('plan: …'), or delete it; then draft again")
    return path, *Draft(shop, plan, shop.meters[slug], used, shown).written()


def _named(shop: Shop, kind: str, known: dict, name: str) -> str:
    """A file by its name, with or without its folder, or by the name that it states."""
    word, name = kind.removesuffix("s"), Path(name).stem if name.endswith(".yaml") else name
    slug = name if name in known else next(
        (slug for slug, model in known.items() if model.name.lower() == name.lower()), None)
    stem = slug or name
    if f"{kind}/{stem}" in shop.broken:
        own = [p for p in shop.errors if p.place.file.endswith(f"/{kind}/{stem}.yaml")]
        raise Wrong(f"the {word}'s file has problems:\n" + problems.as_text(own))
    if slug is None:
        others, other = (shop.standards, "standard") if kind == "meters" else (shop.meters, "meter")
        if name in others:
            hint = f"'{name}' is a {other}: the meter comes first, then the standards"
        else:
            hint = nearest(name, known) or f"add it as a file in {kind}/"
        raise Wrong(f"there is no {word} '{name}'", hint)
    return slug


def _write(path: Path, text: str, shown: str) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        whole_files.write_new(path, text)
    except OSError as error:
        raise Wrong(f"{shown} can't be written: {error.strerror or error}") from None
