"""What all file kinds share: strict models, exact fields, and pydantic's errors in our words."""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from functools import cached_property, lru_cache
from typing import Annotated, Any, Callable, ClassVar, get_args

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, PlainValidator, ValidationError, WithJsonSchema

from builder import units
from builder.problems import Problem, Wrong
from builder.source import Document
from builder.units import Quantity


class Strict(BaseModel):
    """Unknown keys are refused, and nothing changes after loading."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)

    STAND_INS: ClassVar[dict[str, Any]] = {}
    """For each key at a file's head that must be there, a value to go on checking with."""


def typed(function: Callable[[str], Any], schema: dict):
    def from_text(value):
        if not isinstance(value, str):
            raise Wrong("a single value is expected here, not a list or a group of keys")
        if value == "":
            raise Wrong("nothing stands here", "write a value or delete the key")
        return function(value)
    return PlainValidator(from_text), WithJsonSchema(schema, mode="validation")


def exact(of: type, function: Callable[[str], Any], **schema):
    """A field type: text in the file, `of` in the model."""
    return Annotated[(of, *typed(function, {"type": "string", **schema}))]


def _text(value: str) -> str:
    if len(value) > 400:
        raise Wrong("the text is longer than 400 characters", "a sheet has little room: say it shorter")
    return value


def _slug(value: str) -> str:
    if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", value) or len(value) > 60:
        raise Wrong(f"'{value[:70]}' can't be an address",
                    "small letters, digits and single hyphens, such as 'dunlin-60'")
    if value in _DEVICES or value in ("index", "readme"):
        raise Wrong(f"'{value}' can't be the name of a file or a page everywhere", "choose another name")
    return value


_DEVICES = {"con", "prn", "aux", "nul", *(f"{d}{n}" for d in ("com", "lpt") for n in range(1, 10))}


def _date(value: str) -> date:
    try:
        if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value):
            raise ValueError(value)
        return date.fromisoformat(value)
    except ValueError:
        raise Wrong(f"'{value}' is not a date", "year-month-day, such as '2027-03-31'") from None


def _boolean(value: str) -> bool:
    if value not in ("true", "false", "yes", "no"):
        raise Wrong(f"'{value}' is neither yes nor no", "write 'yes' or 'no'")
    return value in ("true", "yes")


def counts(text: str) -> int:
    try:
        number, rest = units.split_number(text)
    except Wrong:
        number, rest = Fraction(0), text
    if rest.lower() not in ("", "counts", "count") or number.denominator != 1 or not 10 <= number <= 10**9:
        raise Wrong(f"'{text}' is not a number of counts", "write for example '6000 counts'")
    return int(number)


@dataclass(frozen=True)
class Span:
    """From `low` to `high`, both included."""

    low: Quantity
    high: Quantity

    def __str__(self) -> str:
        if self.low.unit == self.high.unit:
            return f"{units.decimal_text(self.low.number)} to {self.high}"
        return f"{self.low} to {self.high}"

    @cached_property
    def band(self) -> tuple[Fraction, Fraction]:
        return self.low.value, self.high.value

    @property
    def celsius(self) -> tuple[Fraction, Fraction]:
        """A span of temperatures in degC, exactly."""
        return tuple((q.number - 32) * 5 / 9 if q.unit.ascii == "degF" else q.number for q in (self.low, self.high))


@lru_cache(maxsize=4096)
def span(text: str) -> Span:
    """`40 Hz to 1 kHz`, `18 to 28 degC` or `23 ± 5 degC`."""
    if "±" in text or "+/-" in text:
        middle, half = re.split(r"\s*(?:±|\+/-)\s*", text, maxsplit=1)
        width = units.quantity(half)
        number, rest = units.split_number(middle)
        if (rest and units.unit(rest) != width.unit) or width.number <= 0:
            raise Wrong(f"'{text}' is not a span", "such as '23 ± 5 degC', or write 'A to B'")
        return Span(Quantity(number - width.number, width.unit), Quantity(number + width.number, width.unit))
    parts = re.split(r"\s+to\s+", text)
    if len(parts) != 2:
        raise Wrong(f"'{text}' is not a span", "write 'A to B' with a unit, such as '40 Hz to 1 kHz', '18 to 28 degC' or '0 to 75 %'")
    high = units.quantity(parts[1])
    number, rest = units.split_number(parts[0])
    low = Quantity(number, units.unit(rest) if rest else high.unit)
    if low.dimension != high.dimension or (low.unit.is_temperature and low.unit != high.unit):
        raise Wrong(f"'{text}' goes from {units.DIMENSIONS[low.dimension]} in {low.unit.shown} to "
                    f"{units.DIMENSIONS[high.dimension]} in {high.unit.shown}", "both ends in units of one kind")
    if low.dimension == "[frequency]" and low.value < 0:
        raise Wrong(f"'{text}': a frequency is never below zero", "'A to B' without a minus")
    if low.value == high.value:
        raise Wrong(f"'{text}' has no width", "for a single value write where the span around it begins and ends")
    if low.value > high.value:
        raise Wrong(f"'{text}' runs from high to low", f"write '{Span(high, low)}' if the two are exchanged")
    return Span(low, high)


def _cycle_rate(text: str) -> Quantity:
    found = units.quantity(text)
    if found.value <= 0:
        raise Wrong(f"'{text}' must be above zero")
    return found


Text = exact(str, _text)
Slug = exact(str, _slug, pattern="^[a-z0-9]+(-[a-z0-9]+)*$")
Date = exact(date, _date, format="date")
YesNo = Annotated[(bool, *typed(_boolean, {"type": ["boolean", "string"]}))]
Counts = Annotated[(int, *typed(counts, {"type": ["string", "integer"], "examples": ["6000 counts"]}))]
Amount = exact(Quantity, units.quantity, examples=["600 mV", "1 kHz", "10 A"])
PositiveAmount = exact(Quantity, _cycle_rate, examples=["600 mV", "1 kHz", "10 A"])
SpanText = exact(Span, span, examples=["40 Hz to 1 kHz", "18 to 28 degC"])


def one_or_more(item: Any) -> Any:
    """A list field that may be written as a single value."""
    return Annotated[list[item], BeforeValidator(lambda v: v if isinstance(v, list) else [v]), AfterValidator(not_empty),
                     Field(json_schema_extra=_or_single)]


EMPTY = "the list is empty"


def not_empty(value: list) -> list:
    if not value:
        raise Wrong(EMPTY, "write at least one entry, or delete the key")
    return value


def _or_single(schema: dict) -> None:
    as_list = {k: schema.pop(k) for k in ("type", "items") if k in schema}
    schema["anyOf"] = [as_list["items"], as_list]


MOST_AT_ONCE = 300    # problems in one round; who has more mends these first


def validate(kind: type[Strict], document: Document) -> tuple[Strict | None, Document, list[Problem], bool]:
    """The file as a model, what of the document stands behind it, its problems, and whether the model is whole.

    After problems, the entries that hold them are left out, values at the file's head are replaced by the
    model's stand-ins, and the rest is tried again, so that the rules across fields can still be checked in
    the same run; such a model is not whole, and nothing is computed from it.
    """
    problems: list[Problem] = []
    whole, stand_ins = True, {}
    for _ in range(12):
        try:
            return kind.model_validate({**document.data, **stand_ins}), document, problems, whole
        except ValidationError as error:
            doomed = set()
            found = error.errors(include_url=False, include_input=False)[:MOST_AT_ONCE]
            # All of them are told before anything is given up: a key may be missing because another one is misspelt.
            problems += [_worded(kind, document, one) for one in found if not _follows_from_another(kind, one, found, whole)]
            for one in found:
                doomed.add(_to_leave_out(kind, document, one))
                if () in doomed:
                    doomed.discard(())
                    head = one["loc"][0] if one["loc"] else ""
                    if head in stand_ins or head not in kind.STAND_INS:
                        return None, document, problems, False
                    stand_ins[head] = kind.STAND_INS[head]
            whole = False
            document = document.without(doomed)
    return None, document, problems, False


def worded_errors(kind: type[Strict], document: Document, error: ValidationError) -> list[Problem]:
    """A file's problems in our words, without those that only follow from another."""
    found = error.errors(include_url=False, include_input=False)[:MOST_AT_ONCE]
    return [_worded(kind, document, one) for one in found if not _follows_from_another(kind, one, found, True)]


def _follows_from_another(kind: type[Strict], error: dict, found: list[dict], first_try: bool) -> bool:
    """A key that is missing because it was misspelt, or a list that is empty because its entries were left out."""
    if error["type"] == "value_error" and not first_try and str(error["ctx"]["error"]) == EMPTY:
        return True
    *parent, name = error["loc"] or ("",)
    return error["type"] == "missing" and any(
        other["type"] == "extra_forbidden" and list(other["loc"][:-1]) == parent
        and difflib.get_close_matches(str(other["loc"][-1]), known_keys(kind, tuple(parent)), 1, 0.5) == [name] for other in found)


def _to_leave_out(kind: type[Strict], document: Document, error: dict) -> tuple:
    """The smallest thing whose absence cures this error without hiding others: a key that isn't known, an
    optional key, or else the list entry around it; () if there is none."""
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


def _worded(kind: type[Strict], document: Document, error: dict) -> Problem:
    path, last = tuple(error["loc"]), (error["loc"] or ("",))[-1]
    match error["type"]:
        case "missing":
            return document.problem(path[:-1], "missing", f"'{last}' is missing here", _describe(kind, path))
        case "extra_forbidden":
            known = known_keys(kind, path[:-1])
            roman = re.sub(r"[234]", lambda m: {"2": "II", "3": "III", "4": "IV"}[m[0]], str(last)).upper()
            near = [roman] if roman in known else difflib.get_close_matches(str(last), known, 1, 0.5)
            hint = f"did you mean '{near[0]}'?" if near else "known here: " + ", ".join(known)
            if str(last)[:1].isdigit():
                hint = "a comma between brackets begins a new key: decimals take a point, as in '0.5 %'"
            elif last in ("from", "to") and "within" in known:
                hint = "write 'frequency: 40 Hz to 400 Hz', or 'values: 0.6 V to 3 V' for a part of the range"
            return document.problem(path, "unknown-key", f"'{last}' is not a key known here", hint, of_key=True)
        case "value_error":
            wrong = error["ctx"]["error"]
            return document.problem(path, "value", getattr(wrong, "sentence", str(wrong)), getattr(wrong, "hint", ""))
        case "literal_error":
            expected = error["ctx"]["expected"].replace(" or ", ", ").replace("'", "").split(", ")
            value = str(_value(document, path))
            near = difflib.get_close_matches(value, expected, 1, 0.5)
            hint = f"did you mean '{near[0]}'?" if near else "one of: " + ", ".join(expected)
            return document.problem(path, "choice", f"'{value[:60]}' is not one of the words used here", hint)
        case "list_type":
            return document.problem(path, "list", f"'{last}' must be a list", "write each entry on a line that starts with '- '")
        case _:
            return document.problem(path, "shape", f"'{last}' must be a group of keys and values", _describe(kind, path))


def _value(document: Document, path: tuple):
    value = document.data
    for step in path:
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


def _field(model, key):
    fields = getattr(model, "model_fields", {})
    return next((field for name, field in fields.items() if key == (field.alias or name)), None)


def _inner_model(annotation) -> Any:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for part in get_args(annotation):
        if (found := _inner_model(part)) is not None:
            return found
    return None


def known_keys(kind: type[Strict], path: tuple) -> list[str]:
    """The keys as a file has them."""
    return [field.alias or name for name, field in getattr(_model_at(kind, path), "model_fields", {}).items()]


def _describe(kind: type[Strict], path: tuple) -> str:
    field = _field(_model_at(kind, path[:-1]), path[-1] if path else "")
    return field.description or "" if field else ""
