"""A data sheet's accuracy as text: `±(0.5 % + 3 counts)`, `0.05 % of reading + 0.01 % of range`,
`50 ppm + 20 uV`, `+1 % -6 %`."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from typing import Annotated, Any

from builder.compute.exact.tolerance import Accuracy
from builder.files.problems import Wrong
from builder.formats import patterns
from builder.formats.fields import exact
from builder.numbers.units import Quantity, Unit, is_decimal, kind_of, split_number, unit

_READING = {"", "of reading", "of rdg", "rdg", "rd", "of rd", "reading", "of value"}
_RANGE = {"of range", "range", "of rng", "rng"}
_COUNTS = {"count", "counts", "digit", "digits", "dgt", "dgts", "dig", "dgs", "lsd", "lsds", "d",
           "ct", "cts", "cnt", "cnts", "c"}
_FULL_SCALE = {"full scale", "full-scale", "fs", "f.s", "f.s."}
_HINT = "for example '0.5 % + 3 counts', '0.05 % of reading + 0.01 % of range' or '50 ppm + 20 uV'"


@dataclass(frozen=True, slots=True, kw_only=True)
class AccuracyText:
    """The terms as they were written; what a bare percent means depends on the function's unit."""

    text: str
    bare_percent: Fraction = Fraction(0)
    of_reading: Fraction = Fraction(0)
    of_range: Fraction = Fraction(0)
    counts: Fraction = Fraction(0)
    fixed: Quantity | None = None
    below: AccuracyText | None = None    # of the lower limit, where that is another

    @property
    def sides(self) -> list[AccuracyText]:
        """The one for both limits, or that of the upper and that of the lower."""
        return [replace(self, below=None), self.below] if self.below else [self]

    def of(self, dimension: str, shown: Unit) -> Accuracy:
        """The exact terms for a function, of each of `sides` apart; raises `Wrong` where a term
        makes no sense for it."""
        if self.below is not None:
            raise Wrong(f"'{self.text}' differs up and down, which only a meter's accuracy does",
                        "write the same for both")
        fixed = Fraction(0)
        if self.fixed is not None:
            if self.fixed.dimension != dimension:
                raise Wrong(
                    f"'{self.fixed}' in an accuracy is {kind_of(self.fixed.dimension)}, this "
                    "function "
                    f"needs {kind_of(dimension)}")
            fixed = self.fixed.value
            if shown.is_temperature:
                # An interval: 1 degC is 1.8 degF. The other way round few have a finite decimal.
                fixed = self.fixed.number * self.fixed.unit.scale / shown.scale
                if not is_decimal(fixed):
                    raise Wrong(f"'{self.fixed}' has no exact value in degC",
                                "write it in degC, as the ranges are; 1.8 degF is 1 degC")
        if dimension == "[ratio]":
            # Percent of a percentage would be ambiguous; a duty cycle's percent are percentage
            # points.
            if self.of_reading or self.of_range:
                raise Wrong(
                    "a duty cycle's accuracy is in percentage points, not percent of reading or of "
                    "range",
                    "write for example '0.5 % + 2 counts'")
            return Accuracy(counts=self.counts, fixed=self.bare_percent + fixed)
        return Accuracy(self.bare_percent + self.of_reading, self.counts, self.of_range, fixed)


@lru_cache(maxsize=4096)
def accuracy(text: str) -> AccuracyText:
    """A sum of terms, or one for each limit: `+1 % -6 %`, `+(1 % + 2 counts) -(6 % + 2 counts)`."""
    if up_and_down := _SIDES.fullmatch(text) or _SIDES_TURNED.fullmatch(text):
        above, below = (_terms_of(up_and_down[side], text) for side in ("up", "down"))
        if above.keys() != below.keys() and "(" not in text:
            raise Wrong(f"'{text}' differs up and down by another kind of term",
                        "write both sides in brackets, if so: '+(1 %) -(3 counts)'")
        if not any(map(_is_something, (above, below))):
            raise Wrong(f"'{text}' leaves no tolerance at all", _HINT)
        differ = AccuracyText(text="", **above) != AccuracyText(text="", **below)
        return AccuracyText(text=text, below=AccuracyText(text=text, **below) if differ else None,
                            **above)
    _refuse_beyond_words(text)
    body = re.sub(r"^\s*(±|\+/-|\+-)\s*", "", text).strip()
    terms = _terms_of(body, text)
    if not _is_something(terms):
        raise Wrong(f"'{text}' leaves no tolerance at all", _HINT)
    return AccuracyText(text=text, **terms)


_SIDE = r"\([^()]+\)|[^()+\-−/]+?"
_BETWEEN = r"\s*(?:/|\bto\b|\band\b)?\s*"
_SIDES = re.compile(rf"\s*\+\s*(?P<up>{_SIDE}){_BETWEEN}[-−]\s*(?P<down>{_SIDE})\s*")
_SIDES_TURNED = re.compile(rf"\s*[-−]\s*(?P<down>{_SIDE}){_BETWEEN}\+\s*(?P<up>{_SIDE})\s*")


def _is_something(terms: dict[str, Any]) -> bool:
    return any((v.value if isinstance(v, Quantity) else v) != 0 for v in terms.values())


def _terms_of(body: str, text: str) -> dict[str, Any]:
    """The terms of a sum, by the names of their fields; `text` is all that was written."""
    body = re.sub(r"\[(.*)\]", r"(\1)", body)
    if body.count("(") == body.count(")"):
        body = re.sub(r"[()]", " ", body).strip()
    body = re.sub(r"(?<=[a-z])\.(?=\s|$)", "", body)  # "rdg." and "dgt."
    body = re.sub(r"\s*(±|\+/-)\s*", " + ", body)
    terms: dict[str, Any] = {}
    for part in body.split("+"):
        kind, value = _term(part.strip(), text)
        if kind in terms or (kind == "bare_percent" and "of_reading" in terms) or (
                kind == "of_reading" and "bare_percent" in terms):
            raise Wrong(f"'{text}' has two terms of the same kind",
                        "add them up, if that is what the data sheet means")
        terms[kind] = value
    return terms


# What data sheets say and no sum of terms can: how a text shows it, what is said, what to do.
_BESIDE = (
    (r"^[^0-9]*\b(?:unspecified|not specified|unspec|n\.?/?a\.?|none)\b|^\s*[-–—]+\s*$",
     "is no accuracy: the data sheet states none here",
     "leave the row out, and plan a point there as an observation: 'observe: …'"),
    (r"\b(?:typ\.?|typical(?:ly)?|nominal|approx\.?)(?=\s|$|[0-9])",
     "is a typical figure, which gives no limit",
     "write the row with 'typical: 2 %' in place of 'within': a point there is an observation"),
    (r"(?:^\s*\+\s*[0-9].*|[0-9%a-zA-Z)\]]\s*/?\s*)(?<![0-9][eE])[-−–—]\s*[(0-9.]",
     "has a negative term, or differs up and down",
     "write both sides, each with its sign: '+1 % -6 %' or '+(1 % + 2 counts) -(6 % + 2 counts)'"),
    (r"(?:/|\bper\b)\s*[kM]?Hz\b", "grows with the frequency, which no term here does",
     "write what grows under 'additions': '{add: 0.2 % per kHz, above: 1 kHz}'"),
    (r"(?:/|\bper\b)\s*[munkM]?[VA]\b", "grows with the value, which no term here does",
     "write what grows under 'additions': '{add: 2 counts per V}'"),
    (r"(?:/|\bper\b)\s*(?:°|deg|K\b)", "grows with the temperature, which no term here does",
     "write 'temperature_coefficient', at the row, the function or under 'specification'"),
)


def _refuse_beyond_words(text: str) -> None:
    for sign, says, hint in _BESIDE:
        if re.search(sign, text, re.I):
            raise Wrong(f"'{text}' {says}", hint)


def _term(part: str, text: str) -> tuple[str, Fraction | Quantity]:
    if not part:
        raise Wrong(f"'{text}' lacks a term beside a '+'", _HINT)
    if re.search(r"\b(or|whichever|greater|max)\b", part, re.I):
        raise Wrong(f"'{text}' is a choice, not a sum of terms",
                    "write the parts of the range where each one rules as rows with 'values: A to "
                    "B'")
    part = re.sub(r"^(?:½|1\s*/\s*2)\s*(?=[a-z])", "0.5 ", part, flags=re.I)
    number, rest = split_number(part)
    if number < 0 or part[0] in "-−":
        raise Wrong(f"'{text}' has a negative term", _HINT)
    if match := re.fullmatch(r"(%|percent|ppm)\s*(.*)", rest, re.I):
        per = Fraction(1, 10_000) if match[1].lower() == "ppm" else Fraction(1)
        of = match[2].strip().lower()
        if of in _RANGE:
            return "of_range", number * per
        if of in _READING:
            return ("bare_percent" if not of and per == 1 else "of_reading"), number * per
        if of.removeprefix("of ") in _FULL_SCALE:
            raise Wrong(f"'{part}': full scale may mean the range's name or its highest reading",
                        "write '% of range', and 'base: 20 A' on the range if the data sheet means "
                        "another value than its name")
        if of[:1].isdigit():
            raise Wrong(f"a '+' is missing before '{match[2].strip()}'",
                        f"write '{part.removesuffix(match[2]).strip()} + {match[2].strip()}'")
        raise Wrong(f"'{part}' is percent of something not known here", "of reading, or of range")
    if rest.lower() in _COUNTS:
        return "counts", number
    if not rest:
        raise Wrong(f"'{part}' has no unit", _HINT + "; decimals take a point, not a comma")
    try:
        return "fixed", Quantity(number, unit(rest))
    except Wrong as wrong:
        raise Wrong(f"'{part}' is not a term known here: {wrong.sentence}", _HINT) from None


PATTERN = patterns.accuracy(_READING, _RANGE, _COUNTS)
AccuracyField = Annotated[AccuracyText, *exact(
    accuracy, examples=["0.5 % + 3 counts", "0.05 % of reading + 0.01 % of range"],
    pattern=PATTERN)]
