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


@pytest.mark.parametrize("lines, hint", [
    ("{serial: '0147', meter: lapwing-1}", None),
    ("{serial: '0147', meter: lapwing-1, withdrawn: lost}", None),
    ("{serial: '0174', meter: lapwing-1}", "did you mean '0174'?"),
    ("{serial: 'X', meter: lapwing-1}", "add it: '- {serial: \"0147\", meter: lapwing-1}'"),
    ("{serial: '0147', meter: avocet, withdrawn: lost}", "there it is a avocet")])
def test_a_record_of_a_meter_that_is_not_in_the_register(lines, hint, tmp_path):
    """A warning at its serial number, with the nearest one."""
    root = folder_with(tmp_path)
    put(root, "a.yaml", record(data_of(root), serial="0147", date="2026-03-10"))
    (root / "register.yaml").write_text(f"meters:\n  - {lines}\n", encoding="utf-8")
    shop = loading.load_shop(root)
    assert [(one.code, one.severity, one.place.file, hint in one.hint)
            for one in shop.problems] == (
        [("unregistered", "warning", "procedures/records/a.yaml", True)] if hint else [])
    assert "a" in shop.records


def test_two_registered_meters_may_be_nearly_the_same(tmp_path):
    """Who listed both has looked at them."""
    root = folder_with(tmp_path)
    for name, serial in (("a", "0147"), ("b", "0148")):
        put(root, f"{name}.yaml", record(data_of(root), serial=serial))
    (root / "register.yaml").write_text("meters:\n" + "".join(
        f"  - {{serial: '{one}', meter: lapwing-1}}\n" for one in ("0147", "0148")),
        encoding="utf-8")
    assert not loading.load_shop(root).problems


@pytest.mark.parametrize("lines, told", [
    ("  - {serial: A, meter: lapwing-1}\n  - {serial: A, meter: lapwing-1}\n",
     (3, "error", "stands in line 2 already")),
    ("  - {serial: A, meter: lapwing-2}\n", (2, "warning", "there is no meter 'lapwing-2'")),
    ("  - {serial: A, meter: lapwing-1, since: 3.2.2026}\n",
     (2, "error", "'3.2.2026' is not a date")),
    ("  - {serial: A, meter: lapwing-1, sinse: 2026-02-03}\n", (2, "error", "'sinse'"))])
def test_a_line_of_the_register_that_is_doubtful(lines, told, tmp_path):
    root = folder_with(tmp_path)
    (root / "register.yaml").write_text(f"meters:\n{lines}", encoding="utf-8")
    (problem,) = loading.load_shop(root).problems
    assert problem.place.file == "procedures/register.yaml" and problem.hint
    assert (problem.place.line, problem.severity) == told[:2] and told[2] in problem.sentence


def test_withdrawn_in_the_old_place_is_sent_to_the_register(tmp_path):
    root = folder_with(tmp_path)
    (root / "workshop.yaml").write_text("name: Works\naddress: Quay 1\nwithdrawn: []\n",
                                        encoding="utf-8")
    (problem,) = loading.load_shop(root).problems
    assert "register.yaml" in problem.hint and problem.place.line == 3
