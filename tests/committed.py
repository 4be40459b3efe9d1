"""The schemas as they are committed, beside the demo's files."""

from __future__ import annotations

import json
from pathlib import Path

from builder.formats import schemas

PROCEDURES = Path(__file__).resolve().parent.parent / "procedures"


def schema(name: str) -> dict:
    """That of a kind of file or data, such as 'meter' or 'procedure-data'."""
    return json.loads(schemas.file(PROCEDURES, name).read_text(encoding="utf-8"))
