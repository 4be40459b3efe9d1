"""Whole random projects against the brute-force statement of the rules: what the sheet prints, or
the refusal."""

import random
from dataclasses import replace
from fractions import Fraction as F

import pytest

from builder.numbers.units import decimal_text
from tests.compute.exact import oracle
from tests.compute.exact.tables import FREQUENCIES, random_function
from tests.small_shop import load, meter, the_procedure


def text(value: F, unit: str = "V") -> str:
    return f"{decimal_text(value)} {unit}"


def is_decimal(value: F) -> bool:
    while value.denominator % 2 == 0:
        value *= 2
    while value.denominator % 5 == 0:
        value *= 5
    return value.denominator == 1


def as_file(table) -> "dict | None":
    """The table as a meter's file would have it; None where it holds numbers that no data sheet
    has."""
    ranges = []
    for on in table.ranges:
        rows = []
        for one in on.rows:
            a = one.accuracy
            terms = [(a.percent_of_reading, f"{decimal_text(a.percent_of_reading)} % of reading"),
                     (a.counts, f"{decimal_text(a.counts)} counts"),
                     (a.percent_of_range, f"{decimal_text(a.percent_of_range)} % of range")]
            if a.fixed and not is_decimal(a.fixed):
                return None
            terms.append((a.fixed, text(a.fixed) if a.fixed else ""))
            kept = [words for value, words in terms if value]
            if not kept or (one.values and not all(map(is_decimal, one.values))):
                return None
            rows.append({"within": " + ".join(kept)}
                        | (
                            {
                                "frequency": f"{text(one.frequency[0], 'Hz')} to "
                                f"{text(one.frequency[1], 'Hz')}"} if one.frequency else {})
                        | ({"values": f"{text(one.values[0])} to {text(one.values[1])}"}
                           if one.values else {}))
        given = {"range": on.full_scale, "resolution": on.resolution, "base": on.base,
                 "highest_reading": on.highest,
                 "lowest": on.lowest, "up_range": on.up, "down_range": on.down}
        if not all(v is None or is_decimal(v) for v in given.values()) or decimal_text(
                on.resolution).replace(".", "").strip("0") not in ("1", "2", "5"):
            return None
        ranges.append({k: text(v) for k, v in given.items() if v is not None} | {"accuracy": rows})
    random.Random(1).shuffle(ranges)
    return {"function": "AC voltage" if table.is_ac else "DC voltage", "jacks": ["V", "COM"],
            "display": "100000 counts",
            "ranging": "automatic" if table.autoranging else "manual", "ranges": ranges}


def shops(seed: int, count: int):
    rng = random.Random(seed)
    while count:
        table = random_function(rng)
        table = replace(table, shows_minus=not table.is_ac)
        if not table.autoranging and any(on.up or on.down for on in table.ranges):
            continue
        file = as_file(table)
        if file is None:
            continue
        points = []
        for _ in range(6):
            on = rng.choice(table.ranges)
            x = on.resolution * rng.choice((rng.randint(1, int(on.highest / on.resolution)),
                                            int(on.highest / on.resolution), rng.randint(1, 4)))
            x = -x if table.shows_minus and rng.random() < 0.3 else x
            points.append((x, rng.choice(FREQUENCIES) if table.is_ac else None))
        count -= 1
        yield table, file, list(dict.fromkeys(points))


HEAD = """\
plan: lapwing-yearly
title: Lapwing 1, yearly
meter: lapwing-1
standards: petrel
decision_rule: simple acceptance
left_out:
  - {function: FUNCTION, because: not part of this test}
points:
"""


def plan_text(kind: str, points, left_out: bool) -> str:
    """One line a point, so that a problem's line says which point it is about."""
    head = (HEAD if left_out
            else HEAD.replace(
                "left_out:\n  - {function: FUNCTION, because: not part of this test}\n", "\n\n"))
    lines = [f"  - {{function: {kind}, apply: {text(x)}"
             + (f", frequency: {text(f, 'Hz')}" if f is not None else "") + "}" for x, f in points]
    return head.replace("FUNCTION", kind) + "\n".join(lines) + "\n"


def by_point(folder, file, points) -> list:
    """For each point its row on the sheet, or the code of its problem."""
    kind, found, first_line = file["function"], [None] * len(points), HEAD.count("\n") + 1
    shop = load(folder, meter(file), plan_text(kind, points, True))
    for one in shop.errors:
        if one.code != "left-out-but-tested":
            assert one.place.file.startswith("procedures/plans/"), str(one)
            assert found[one.place.line - first_line] is None, str(one)
            found[one.place.line - first_line] = one.code
    good = [n for n, code in enumerate(found) if code is None]
    if good and len(good) < len(points) or any(one.code == "left-out-but-tested"
                                               for one in shop.errors):
        shop = load(folder, meter(file), plan_text(kind, [points[n] for n in good], True))
        if [one.code for one in shop.errors] == ["left-out-but-tested"]:
            shop = load(folder, meter(file), plan_text(kind, [points[n] for n in good], False))
    if good:
        printed = {(p.planned.applied, p.planned.hertz): p for p in the_procedure(shop).points}
        for n in good:
            found[n] = printed[points[n]]
    return found


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(2))
def test_what_is_printed_agrees_with_brute_force(seed, tmp_path):
    """For sixty random meters a seed, typed as files with their ranges in any order: each point's
    printed limits are the lowest and the highest of the readings that brute force accepts, or its
    problem is one of the reasons to refuse."""
    limits = refused = 0
    for n, (table, file, points) in enumerate(shops(seed, 60)):
        for (x, f), printed in zip(points, by_point(tmp_path / str(n), file, points), strict=True):
            expected = oracle.answer(table, x, f)
            case = f"{x} at {f}: {printed}\n{file}\n{expected}"
            if isinstance(printed, str):
                assert printed in expected.must | expected.may, case
                refused += 1
                continue
            assert not expected.must, case
            r = expected.range.resolution
            assert F(printed.accept_from.replace("−", "-")) == expected.accepted[0] * r, case
            assert F(printed.accept_to.replace("−", "-")) == expected.accepted[-1] * r, case
            assert len(printed.accept_to.partition(".")[2]) == len(
                decimal_text(r).partition(".")[2]), case
            limits += 1
    assert limits > 40 and refused > 90, (limits, refused)
