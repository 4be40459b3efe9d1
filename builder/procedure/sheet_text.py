"""A computed procedure → all that its pages show, as plain texts and drawings."""

from __future__ import annotations

from builder.drawing.connection_drawings import connection_picture
from builder.drawing.tolerances import tolerance_picture
from builder.formats.sheet_text import SheetText
from builder.procedure.sheet import Procedure

_DRAWN = {"connection": connection_picture, "tolerances": tolerance_picture}


def sheet_text(procedure: Procedure) -> SheetText:
    """What its page and its evidence show, which an approval freezes."""
    return SheetText.model_validate(procedure, context=_DRAWN)
