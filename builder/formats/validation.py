"""A document as a model of its kind, and what pydantic has against it as problems with a place."""

from __future__ import annotations

import difflib
import re
from pathlib import Path
from typing import Any, TypeVar, get_args

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from builder.files import yaml_text
from builder.files.problems import Problem
from builder.files.yaml_text import Document
from builder.formats import functions, written_out
from builder.formats.fields import EMPTY, FILL_IN, TO_FILL_IN, Strict

MOST_AT_ONCE = 300    # problems in one round; who has more mends these first

Model = TypeVar("Model", bound=Strict)


def validate(kind: type[Model],
             document: Document) -> tuple[Model | None, Document, list[Problem], bool]:
    """The file as a model, what of the document stands behind it, its problems, and whether the
    model is whole.

    After problems, the entries that hold them are left out, values at the file's head are replaced
    by the model's stand-ins, and the rest is tried again, so that the rules across fields can still
    be checked in the same run; such a model is not whole, and nothing is computed from it. """
    problems: list[Problem] = []
    whole = True
    stand_ins: dict[str, Any] = {}
    document = kind.written_out(document)
    for _ in range(12):
        try:
            model = kind.model_validate({**document.data, **stand_ins})
            return model, document, list(dict.fromkeys(problems)), whole
        except ValidationError as refused:
            # All of them are told before anything is given up: a key may be missing because another
            # one is misspelt.
            problems += _problems(kind, document, refused, whole)
            doomed = set()
            for error in _errors(refused):
                doomed.add(_to_leave_out(kind, document, error))
                if () in doomed:
                    doomed.discard(())
                    head = str(error["loc"][0]) if error["loc"] else ""
                    if head in stand_ins or head not in kind.STAND_INS:
                        return None, document, problems, False
                    stand_ins[head] = kind.STAND_INS[head]
                    doomed.add((head,))
            whole = False
            document = document.without(doomed)
    return None, document, problems, False


def read_file(kind: type[Model],
              path: Path, shown: str) -> tuple[Document | None, Model | None, list[Problem], bool]:
    """A file as `validate` gives it, `shown` being the name that problems give it; None and None
    where it can't be read at all."""
    document, problems = yaml_text.read(path, shown)
    if document is None:
        return None, None, problems, False
    document, wrong = kind.beside_another(document, path)
    model, document, more, whole = validate(kind, document)
    problems = written_out.told_beside(document, problems + wrong + more)
    return document, model, problems, whole and not wrong


def tried(kind: type[Model], document: Document) -> tuple[Model | None, list[Problem]]:
    """A part of a file as a model, or what is wrong with it."""
    try:
        return kind.model_validate(document.data), []
    except ValidationError as error:
        return None, worded_errors(kind, document, error)


def worded_errors(kind: type[Strict], document: Document,
                  refused: ValidationError) -> list[Problem]:
    """The problems of a file that was tried once, for a kind that can't go on without the entries
    that hold them."""
    return _problems(kind, document, refused, True)


def _errors(refused: ValidationError) -> list[ErrorDetails]:
    return refused.errors(include_url=False, include_input=False)[:MOST_AT_ONCE]


def _problems(kind: type[Strict], document: Document, refused: ValidationError,
              first_try: bool) -> list[Problem]:
    """In our words, without those that only follow from another."""
    errors = _errors(refused)
    cut = _cut_by_a_comma(document, errors)
    return [_worded(kind, document, error) for error in errors
            if not any(tuple(error["loc"][:len(value)]) == value for value in cut)
            and not _follows_from_another(kind, error, errors, first_try)]


def _cut_by_a_comma(document: Document, errors: list[ErrorDetails]) -> set[tuple]:
    """Values that lost their end to a key that only a comma made, such as '0' of '0,5 %': the key
    is the mistake."""
    cut = set()
    for error in errors:
        *parent, name = error["loc"] or ("",)
        if error["type"] == "extra_forbidden" and _made_by_a_comma(str(name)):
            keys = list(_value(document, tuple(parent)))
            cut.add((*parent, keys[keys.index(name) - 1]))
    return cut


def _made_by_a_comma(key: str) -> bool:
    return key[:1].isdigit() or key[-1:] in "“”"


def _follows_from_another(kind: type[Strict], error: ErrorDetails, errors: list[ErrorDetails],
                          first_try: bool) -> bool:
    """A key that is missing because it was misspelt, or a list that is empty because its entries
    were left out."""
    if error["type"] == "value_error" and not first_try and str(error["ctx"]["error"]) == EMPTY:
        return True
    *parent, name = error["loc"] or ("",)
    if error["type"] != "missing":
        return False
    unknown = [str(other["loc"][-1]) for other in errors
               if other["type"] == "extra_forbidden" and list(other["loc"][:-1]) == parent]
    known = _known_keys(kind, tuple(parent))
    return any(_meant(word, known) == name for word in unknown)


def _meant(word: str, known: list[str]) -> str | None:
    """The key that a word stands for: misspelt, or with its value behind it for want of a colon or
    a blank."""
    first = re.match(r"\w+", word)
    if first and first[0] in known:
        return first[0]
    return next(iter(difflib.get_close_matches(word, known, 1, 0.5)), None)


def _to_leave_out(kind: type[Strict], document: Document, error: ErrorDetails) -> tuple:
    """The smallest thing whose absence cures this error without hiding others: a key that isn't
    known, an optional key, or else the list entry around it; () if there is none."""
    path = tuple(error["loc"])
    if error["type"] == "extra_forbidden":
        return path
    for cut in range(len(path), 0, -1):
        if isinstance(path[cut - 1], int):
            break
        field = _field(_model_at(kind, path[:cut - 1]), path[cut - 1])
        if field is not None and not field.is_required() and _exists(document, path[:cut]):
            return path[:cut]
    for cut in range(len(path), 0, -1):
        if isinstance(path[cut - 1], int) and _exists(document, path[:cut]):
            return path[:cut]
    return ()


def _exists(document: Document, path: tuple) -> bool:
    node = document.root
    for step in path:
        if isinstance(node.value, dict) and step in node.value:
            node = node.value[step]
        elif isinstance(node.value, list) and isinstance(step, int) and step < len(node.value):
            node = node.value[step]
        else:
            return False
    return True


def _worded(kind: type[Strict], document: Document, error: ErrorDetails) -> Problem:
    path, last = tuple(error["loc"]), (error["loc"] or ("",))[-1]
    match error["type"]:
        case "missing":
            return document.problem(path[:-1], "missing", f"'{last}' is missing here",
                                    _describe(kind, path))
        case "extra_forbidden":
            known = _known_keys(kind, path[:-1])
            roman = re.sub(r"[234]", lambda m: {"2": "II", "3": "III", "4": "IV"}[m[0]],
                           str(last)).upper()
            near = ([roman] if roman in known
                    else difflib.get_close_matches(str(last), known, 1, 0.5))
            hint = f"did you mean '{near[0]}'?" if near else "known here: " + ", ".join(known)
            run_on = re.fullmatch(r"(\w+)(:|\s)\s*(\S.*)", str(last))
            if run_on and run_on[1] in known:
                lacks, behind = ("blank", ":") if run_on[2] == ":" else ("colon", "")
                return document.problem(path, "unknown-key",
                                        f"a {lacks} is missing behind '{run_on[1]}{behind}'",
                                        f"write '{run_on[1]}: {run_on[3]}'", of_key=True)
            if str(last)[:1].isdigit():
                hint = ("a comma between brackets begins a new key: decimals take a point, as in "
                        "'0.5 %'")
            elif str(last)[-1:] in "“”":
                hint = "curly quotation marks quote nothing: write straight ones"
            elif last == "typical" and "accuracy" in known:
                hint = "a typical figure is a row of the accuracy: 'accuracy: [{typical: 5 %}]'"
            elif last == "withdrawn" and "address" in known:
                hint = ("a meter is withdrawn in register.yaml: '{serial: …, meter: …, "
                        "withdrawn: why}'")
            elif last in ("from", "to") and "within" in known:
                hint = ("write 'frequency: 40 Hz to 400 Hz', or 'values: 0.6 V to 3 V' for a part "
                        "of the range")
            return document.problem(path, "unknown-key", f"'{last}' is not a key known here", hint,
                                    of_key=True)
        case "value_error":
            wrong = error["ctx"]["error"]
            return document.problem(path, "value", getattr(wrong, "sentence", str(wrong)),
                                    getattr(wrong, "hint", ""))
        case "literal_error":
            expected = error["ctx"]["expected"].replace(" or ", ", ").replace("'", "").split(", ")
            value = str(_value(document, path))
            if value in TO_FILL_IN:
                return document.problem(path, "value", *FILL_IN)
            hint = functions.hint(value) if last == "function" else ""
            near = difflib.get_close_matches(value, expected, 1, 0.5)
            hint = hint or (f"did you mean '{near[0]}'?" if near
                            else "one of: " + ", ".join(expected))
            return document.problem(path, "choice",
                                    f"'{value[:60]}' is not one of the words used here", hint)
        case "list_type":
            return document.problem(path, "list", f"'{last}' must be a list",
                                    "write each entry on a line that starts with '- '")
        case _:
            return document.problem(path, "shape", f"'{last}' must be a group of keys and values",
                                    _describe(kind, path))


def _value(document: Document, path: tuple):
    """What stands at a path; a single value may stand for a list of one."""
    value = document.data
    for step in path:
        if isinstance(value, dict) and step in value or isinstance(value, list):
            value = value[step]
    return value


def _model_at(kind: type[Strict], path: tuple) -> type[Strict] | None:
    """The model class whose keys stand at this path."""
    model: Any = kind
    for step in path:
        if isinstance(step, int):
            continue
        field = _field(model, step)
        model = _inner_model(field.annotation) if field else None
    return model


def _field(model: Any, key: str | int) -> FieldInfo | None:
    fields = getattr(model, "model_fields", {})
    return next((field for name, field in fields.items() if key == (field.alias or name)), None)


def _inner_model(annotation: Any) -> Any:
    """The model that a field's type holds, as `list[RangeEntry] | None` does; None without one."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    inner = (_inner_model(part) for part in get_args(annotation))
    return next((model for model in inner if model is not None), None)


def _known_keys(kind: type[Strict], path: tuple) -> list[str]:
    """The keys as a file has them."""
    fields = getattr(_model_at(kind, path), "model_fields", {})
    return [field.alias or name for name, field in fields.items()]


def _describe(kind: type[Strict], path: tuple) -> str:
    field = _field(_model_at(kind, path[:-1]), path[-1] if path else "")
    return field.description or "" if field else ""
