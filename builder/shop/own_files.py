"""The two files of a shop that stand beside its folders: its own name and the register of its
meters."""

from __future__ import annotations

import os
from pathlib import Path

from builder.files import yaml_text
from builder.files.problems import Problem
from builder.files.yaml_text import Document
from builder.formats.fields import Strict
from builder.formats.shop_register import ShopRegister
from builder.formats.validation import validate
from builder.formats.workshop import Workshop

WORKSHOP, REGISTER = NAMES = ("workshop.yaml", "register.yaml")
KINDS: dict[str, type[Strict]] = {WORKSHOP: Workshop, REGISTER: ShopRegister}

def read(folder: Path, name: str) -> tuple[Document | None, Strict | None, list[Problem]]:
    """The file of that name with its model; no model where it holds errors, nothing at all where
    there is none."""
    path = folder / name
    if not os.path.lexists(path):
        return None, None, []
    document, problems = yaml_text.read(path, f"{folder.name}/{name}")
    if document is None:
        return None, None, problems
    model, document, more, whole = validate(KINDS[name], document)
    return document, model if whole else None, problems + more
