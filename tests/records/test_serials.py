"""Serial numbers that are nearly the same, against every pair looked at by itself."""

from __future__ import annotations

import random
from datetime import date
from types import SimpleNamespace

import pytest

from builder.records.serials import _pairs, nearly_the_same
from builder.shop import loading
from tests.recorded import data_of, folder_with, put, record


def differ_by_one(one: str, other: str) -> bool:
    """Case and blanks apart: a character replaced, one too many, or nothing at all."""
    one, other = ("".join(text.split()).casefold() for text in (one, other))
    if len(one) == len(other):
        return sum(a != b for a, b in zip(one, other, strict=True)) <= 1
    longer, shorter = sorted((one, other), key=len, reverse=True)
    return len(longer) == len(shorter) + 1 and any(
        longer[:n] + longer[n + 1:] == shorter for n in range(len(longer)))


def test_each_pair_is_found_once():
    rng = random.Random(3)
    for _ in range(60):
        serials = {"".join(rng.choice("01aA b") for _ in range(rng.randint(1, 5)))
                   for _ in range(40)}
        meters = [("m", one) for one in sorted(serials)]
        wanted = {frozenset((a, b)) for a in meters for b in meters
                  if a != b and differ_by_one(a[1], b[1])}
        found = [frozenset(pair) for pair in _pairs(meters)]
        assert len(found) == len(set(found)) and set(found) == wanted
    assert not list(_pairs([("m", "0147"), ("n", "0147")]))     # meters of two kinds


def made(serial: str, day: int, confirmed: str = ""):
    return SimpleNamespace(
        same_meter=("m", serial), head=SimpleNamespace(serial=serial, date=date(2026, 1, day),
                                                       confirmed=confirmed or None),
        document=SimpleNamespace(problem=lambda *what, **more: (what[0], what[2])))


@pytest.mark.parametrize("records, at", [
    ([("0147", 1), ("0147", 2), ("0148", 3)], "0148"), ([("0148", 1), ("0147", 2)], "0147"),
    ([("A-1", 1), ("A-1", 2), ("a-1", 3)], "a-1"), ([("0147", 1), ("0152", 2)], None),
    ([("0147", 1), ("0148", 2, "two meters")], None)])
def test_the_rarer_one_is_doubted(records, at):
    found = nearly_the_same({str(n): made(*one) for n, one in enumerate(records)})
    assert len(found) == (at is not None)
    assert not found or (found[0][0] == ("serial",)
                         and found[0][1].startswith(f"the serial number {at} is nearly"))


def test_in_a_folder_of_records(tmp_path):
    root = folder_with(tmp_path)
    data = data_of(root)
    put(root, "a.yaml", record(data, date="2026-03-10"))
    put(root, "b.yaml", record(data, date="2026-03-11"))
    put(root, "c.yaml", record(data, serial="0174"))
    assert not loading.load_shop(root).problems
    put(root, "c.yaml", record(data, serial="0141"))
    (problem,) = loading.load_shop(root).problems
    assert problem.severity == "warning" and "which has 2 records" in problem.sentence
    put(root, "c.yaml", record(data, serial="0141", confirmed="bought together"))
    assert not loading.load_shop(root).problems


@pytest.mark.parametrize("serial, hint", [("0147", None), ("0174", "did you mean '0147'?"),
                                          ("X", "0147")])
def test_a_withdrawn_meter_that_no_record_is_about(serial, hint, tmp_path):
    """It would stay in service without a word."""
    root = folder_with(tmp_path)
    put(root, "a.yaml", record(data_of(root), serial="0147", date="2026-03-10"))
    (root / "workshop.yaml").write_text(
        "name: Works\naddress: Quay 1\nwithdrawn:\n"
        f'  - {{meter: lapwing-1, serial: "{serial}", because: lost}}\n', encoding="utf-8")
    told = loading.load_shop(root).problems
    assert [(one.place.line, one.place.column, hint in one.hint) for one in told] == (
        [(4, 32, True)] if hint else [])
