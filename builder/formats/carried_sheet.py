"""The data of a sheet that a record carries, or that lie beside it, as what it is judged by."""

from __future__ import annotations

import re
from typing import Any

from pydantic import ValidationError

from builder.files.problems import Problem, Wrong
from builder.files.yaml_text import Document
from builder.formats.sheet_data import SheetData


def sheet_data(raw: Any, document: Document,
               path: tuple = ()) -> tuple[SheetData | None, list[Problem]]:
    """The data at `path` of a document, or the problem with it."""
    try:
        return SheetData.model_validate(raw), []
    except ValidationError as error:
        first = error.errors(include_url=False, include_input=False)[0]
        field = tuple(step for step in first["loc"]
                      if isinstance(step, int) or re.fullmatch(r"\w+", str(step)))
        where = ".".join(map(str, field)) or "the data"
        wrong = first.get("ctx", {}).get("error")
        if field == ("format",) and first["type"] == "literal_error":
            sentence = "this builder reads format 1"
        elif isinstance(wrong, Wrong):
            sentence = wrong.sentence
        else:
            sentence = ("it is missing" if first["type"] == "missing"
                        else "it isn't what stands there in a procedure's data")
        return None, [document.problem((*path, *field), "judged-by",
                                       f"this is not the data of a procedure: {where}: {sentence}",
                                       "'python3 -m builder blank PROCEDURE' writes it; a phone's "
                                       "record carries it inside; never edit it by hand")]
