"""Pieces against the definition: a sum of terms, each looked at by itself, on both sides."""

import random
from fractions import Fraction as F

import pytest

from builder.compute.exact.accuracy_table import AccuracyRow
from builder.compute.exact.pieces import (AT_REFERENCE, Addition, Per, PerDegree, Surroundings,
                                          pieces)
from builder.compute.exact.tolerance import Accuracy, Tolerance
from tests.compute.exact.tables import acc, range_

NEAR = F(1, 10**12)


def of_terms(accuracy: Accuracy, x: F, r: F, base: F) -> F:
    return (abs(x) * accuracy.percent_of_reading / 100 + accuracy.counts * r
            + base * accuracy.percent_of_range / 100 + accuracy.fixed)


def added(one: Addition, x: F, by_sign: bool, hertz: F, where: Surroundings, r: F, base: F) -> F:
    """What one addition adds at a value that is on none of its edges."""
    size = x if by_sign else abs(x)
    if one.values is not None and not one.values[0] < size < one.values[1] and not (
            one.values[0] == 0 and not by_sign and size < one.values[1]):
        return F(0)
    if one.humidity is not None and where.humidity <= one.humidity:
        return F(0)
    if one.crest_factor is not None:
        low, high = one.crest_factor
        if not (max(low, 1) ** 2 < where.crest_squared or low <= 1) or (
                where.crest_squared >= high ** 2):
            return F(0)
    amount = of_terms(one.accuracy, x, r, base)
    if one.per is None:
        return amount
    over = (hertz if one.per.of_frequency else abs(x)) - one.per.start
    return amount * max(F(0), over) / one.per.size


def by_definition(row: AccuracyRow, x: F, hertz: F, where: Surroundings, r: F,
                  base: F) -> Tolerance:
    """The sum of all terms. On an edge both neighbours hold, so the tighter one does."""
    coefficient = (row.when_colder if where.below else row.when_warmer) or PerDegree()
    degrees = where.below + where.above

    def beside(value: F) -> Tolerance:
        more = sum((added(one, value, row.by_sign, hertz, where, r, base)
                    for one in row.additions), F(0))
        return Tolerance(*(
            (of_terms(accuracy, x, r, base) + more) * (1 + coefficient.fraction * degrees)
            + degrees * of_terms(coefficient.terms, x, r, base)
            for accuracy in (row.below or row.accuracy, row.accuracy)))

    edges = {end for one in row.additions for end in one.values or ()}
    if (x if row.by_sign else abs(x)) not in edges or (x == 0 and not row.by_sign):
        return beside(x)
    one, other = beside(x + NEAR), beside(x - NEAR)
    return Tolerance(min(one.below, other.below), min(one.above, other.above))


def some(rng: random.Random, *values: str) -> F:
    return F(rng.choice(values))


def terms(rng: random.Random, reading: bool = True) -> Accuracy:
    return Accuracy(some(rng, "0", "0.5", "1.2") if reading else F(0), some(rng, "0", "2", "0.5"),
                    some(rng, "0", "0", "0.1"), some(rng, "0", "0", "0.003"))


def addition(rng: random.Random, by_sign: bool) -> Addition:
    kind = rng.choice(("values", "values", "crest", "humid", "frequency",
                       "frequency" if by_sign else "value"))
    if kind == "values":
        low = some(rng, "0", "0", "0.3", "1", *(["-2"] if by_sign else []))
        return Addition(accuracy=terms(rng), values=(low, low + some(rng, "0.3", "0.7", "5")))
    if kind == "crest":
        low = some(rng, "1", "1.4", "2")
        return Addition(accuracy=terms(rng), crest_factor=(low, low + 1))
    if kind == "humid":
        return Addition(accuracy=terms(rng), humidity=some(rng, "70", "80"))
    if kind == "frequency":
        return Addition(accuracy=terms(rng), per=Per(True, F(1000), some(rng, "0", "1000", "60")))
    return Addition(accuracy=terms(rng, reading=False), per=Per(False, F(1),
                                                                some(rng, "0", "0.7", "2")))


def random_row(rng: random.Random) -> AccuracyRow:
    by_sign = rng.random() < 0.2
    return AccuracyRow(
        accuracy=terms(rng), by_sign=by_sign, below=rng.choice((None, None, terms(rng))),
        additions=tuple(addition(rng, by_sign) for _ in range(rng.randint(0, 3))),
        when_colder=rng.choice((None, PerDegree(F("0.1")), PerDegree(terms=terms(rng)))),
        when_warmer=PerDegree(some(rng, "0", "0.05"), terms(rng)))


def random_surroundings(rng: random.Random) -> Surroundings:
    below, above = rng.choice(((0, 0), (0, 0), (3, 0), (0, 7)))
    return Surroundings(below=F(below), above=F(above), humidity=some(rng, "0", "70", "75", "85"),
                        crest_squared=some(rng, "1", "2", "3"))


@pytest.mark.parametrize("seed", range(4))
def test_pieces_are_the_sum_of_their_terms(seed):
    """Two and a half thousand values a seed, on rows of every kind in every surroundings, on edges
    and beside them: both tolerances are those of the definition, exactly where no edge is near, and
    on an edge those of the tighter side."""
    rng, seen, steep = random.Random(seed), 0, 0
    while seen < 2500:
        row, where = random_row(rng), random_surroundings(rng)
        on = range_("6", "0.001", row, base=rng.choice(("6", "10")))
        on = type(on)(full_scale=on.full_scale, resolution=on.resolution, base=on.base,
                      highest=on.highest, rows=on.rows, surroundings=where)
        edges = [end for one in row.additions for end in one.values or ()]
        edges += [one.per.start for one in row.additions if one.per and not one.per.of_frequency]
        for _ in range(12):
            x = rng.choice((F(rng.randint(0, 5999), 1000), *edges, F(0))) * rng.choice((1, -1))
            hertz = some(rng, "50", "60", "1000", "2500", "20000")
            found = on.tolerance(row, x, hertz)
            wanted = by_definition(row, x, hertz, where, on.resolution, on.base)
            on_edge = (x if row.by_sign else abs(x)) in edges
            steep += on_edge
            for side in ("below", "above"):
                off = abs(getattr(found, side) - getattr(wanted, side))
                assert off <= (F(1, 10**9) if on_edge else 0), (row, where, x, hertz, side)
            seen += 1
    assert steep > 100


def test_pieces_meet_without_a_hole_and_cover_everything():
    """Each begins where the one before ends, and the outer two are open."""
    rng = random.Random(3)
    for _ in range(300):
        found = pieces(row=random_row(rng), resolution=F(1, 1000), base=F(6),
                       surroundings=random_surroundings(rng))
        for part in ("values", "frequency"):
            edges = sorted({getattr(one, part) for one in found},
                           key=lambda one: (one[0] is not None, one[0]))
            assert edges[0][0] is None and edges[-1][1] is None
            assert all(a[1] == b[0] for a, b in zip(edges, edges[1:], strict=False))
        assert len(found) == len({(one.values, one.frequency) for one in found})


@pytest.mark.parametrize("crest_squared, holds", [("1", False), ("2", False), ("4.0001", True),
                                                  ("8.9999", True), ("9", False)])
def test_an_addition_for_crest_factors(crest_squared, holds):
    """Between 2 and 3, compared as squares; at both ends the tighter side holds."""
    one = Addition(accuracy=acc("2"), crest_factor=(F(2), F(3)))
    assert one.holds(Surroundings(crest_squared=F(crest_squared))) is holds
    assert Addition(accuracy=acc("2"), crest_factor=(F(1), F(3))).holds(
        Surroundings(crest_squared=F(1)))


@pytest.mark.parametrize("accuracy, by_sign", [(acc("1"), False), (acc(counts="1"), True)])
def test_what_is_no_line_stops(accuracy, by_sign):
    """A percent of the reading per volt of it, and an amount per degree above a temperature, which
    the size knows nothing of; a file that says so is refused where it is read."""
    row = AccuracyRow(accuracy=acc("1"), by_sign=by_sign,
                      additions=(Addition(accuracy=accuracy, per=Per(False, F(1))),))
    with pytest.raises(ValueError):
        pieces(row=row, resolution=F(1), base=F(1), surroundings=AT_REFERENCE)
