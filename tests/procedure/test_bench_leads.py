"""Leads that are known from another instrument: limits around what is applied with them, zero with
the leads together, and what isn't clear."""

import random
from fractions import Fraction as F

import pytest

from builder.formats.sheet_data import PointData
from builder.procedure.sentences import words
from builder.records.verdict import verdict
from tests.small_shop import (LEADS, box, codes, function, load_points, only_problem, range_,
                              reference, standard, the_procedure)

OWN = function("resistance", range_("600 ohm", "0.1 ohm", "0.9 % + 5 counts"),
               range_("6 kohm", "1 ohm", "0.7 % + 2 counts"), after_zeroing="no")
SOURCE = standard({"resistance": {"values": "0 ohm to 10 kohm", "within": "1 mohm"}})
BOX = box(("10 ohm", "10.02 ohm", "1 mohm"), ("500 ohm", "499.97 ohm", "5 mohm"))
SKUA = reference(("resistance", {"values": "0 ohm to 100 ohm", "resolution": "0.1 mohm",
                                 "within": "0.01 % + 1 mohm"}))
BY_SKUA = {"standard": "skua", "value": "83.4 mohm"}
CERTIFIED = box(("90 mohm", "91.7 mohm", "2 mohm"), standard="pair-7", name="Pair 7")
BY_PAIR = {"standard": "pair-7"}


def tried(folder, known, *points, standards=(BOX, SKUA), one=OWN, **leads):
    points = [p if isinstance(p, dict) else {"apply": p} for p in points]
    return load_points(folder, one, *points, standards=list(standards),
                       plan_more={"leads": LEADS | leads | ({"known": known} if known else {})})


def points(shop) -> dict[str, PointData]:
    return {p.apply.text: p for p in the_procedure(shop).sheet_data.points}


@pytest.mark.parametrize("seed", range(3))
def test_limits_by_their_definition(seed, tmp_path):
    """Every count that a display can show, for random leads, accuracies, steps and certified
    values: accepted if and only if it is no farther from what stands at the jacks (the certified
    value and the leads) than the accuracy there. At 0 Ω nothing but the leads stands there."""
    chance = random.Random(seed)
    step = chance.choice((F(1, 100), F(1, 10), F(1, 5)))
    percent, counts = F(chance.randint(1, 30), 10), chance.randint(1, 9)
    leads, certified = F(chance.randint(20, 936), 10), F(chance.randint(4900, 5100), 1000)
    name = f"{float(1000 * step):g} ohm"
    one = function("resistance", range_(name, f"{float(step):g} ohm",
                                        f"{float(percent):g} % + {counts} counts"),
                   after_zeroing="no", ranging="manual", display="1000 counts")
    shop = tried(tmp_path, BY_SKUA | {"value": f"{float(leads):g} mohm"},
                 {"apply": ["0 ohm", "5 ohm"], "range": name}, one=one,
                 standards=[box(("5 ohm", f"{float(certified):g} ohm", "1 mohm")), SKUA])
    for applied, point in zip((F(0), certified), points(shop).values(), strict=True):
        there = applied + leads / 1000
        good = [n for n in range(1000)
                if abs(n * step - there) <= there * percent / 100 + counts * step]
        assert (point.accept.low_counts, point.accept.high_counts) == (good[0], good[-1])
        assert len(good) == good[-1] - good[0] + 1
        assert point.expected.number == there and point.leads.number == leads / 1000
        for n in (good[0] - 1, good[0], good[-1], good[-1] + 1):
            if n >= 0:
                found = verdict(point, f"{float(n * step):.{point.decimals}f}")
                assert found.outcome == ("pass" if n in good else "fail")
                assert found.error == n * step - there


def test_by_a_reference_meter_and_by_a_certificate(tmp_path):
    """On every range, since the value is known and not only its most; a source's value moves as a
    part's does. The standard that knows them is one that the readings rest on."""
    found = points(tried(tmp_path / "1", BY_SKUA, {"apply": ["0 ohm", "10 ohm"]}, "500 ohm"))
    assert {name: (p.expected.text, p.kind, p.standards) for name, p in found.items()} == {
        "0.0 Ohm": ("0.0834 Ohm", "leads", ("skua",)),
        "10 Ohm": ("10.1034 Ohm", "artifact", ("auk-box", "skua")),
        "500 Ohm": ("500.0534 Ohm", "artifact", ("auk-box", "skua"))}
    found = points(tried(tmp_path / "2", BY_PAIR, "recommended", standards=[SOURCE, CERTIFIED]))
    assert {name: (p.expected.text, p.kind) for name, p in found.items()} == {
        "0.0 Ohm": ("0.0917 Ohm", "leads"), "60.0 Ohm": ("60.0917 Ohm", "source"),
        "300.0 Ohm": ("300.0917 Ohm", "source"), "540.0 Ohm": ("540.0917 Ohm", "source"),
        "5.400 kOhm": ("5.4000917 kOhm", "source")}
    assert found["540.0 Ohm"].standards == ("petrel", "pair-7")
    found = points(tried(tmp_path / "3", BY_PAIR, "recommended", standards=[BOX, CERTIFIED]))
    assert {name: (p.expected.text, p.kind) for name, p in found.items()} == {
        "0.0 Ohm": ("0.0917 Ohm", "leads"), "10 Ohm": ("10.1117 Ohm", "artifact"),
        "500 Ohm": ("500.0617 Ohm", "artifact")}


def test_what_the_sheet_says(tmp_path):
    """Which leads, ends together at zero, what the limits stand around, and why."""
    procedure = the_procedure(tried(tmp_path, BY_SKUA, {"apply": ["0 ohm", "10 ohm"]}, "500 ohm"))
    together, parts = [g for g in procedure.groups if g.points]
    assert together.title == "Resistance, leads together" and not together.steps_after[:-1]
    assert [together.opening[-2:], parts.opening[-2:]] == [
        ("Leads: those that are known by Skua", "Leads: in V and COM, far ends plugged together"),
        ("Leads: those that are known by Skua", "Leads: V to A, COM to B of Auk box")]
    assert together.connection.together and not any(
        lead.device is not None for lead in together.connection.leads)
    assert [[(p.apply, p.at) for p in g.points] for g in (together, parts)] == [
        [("leads together", "0.0834")],
        [("10\u00a0Ω", "10.02, 10.1034"), ("500\u00a0Ω", "499.97, 500.0534")]]
    assert [words(g.beside) for g in (together, parts)] == ["With leads", "Certified, with leads"]
    said = " ".join(map(words, procedure.basis))
    assert "known by Skua: 83.4\u00a0mΩ" in said and "judged by itself" in said
    assert not any(p.zero for p in procedure.sheet_data.points)
    assert ("Skua", "No other one may stand in: the limits are those of the leads that it knows."
            ) in [(names, words(said)) for names, said in procedure.instead]


def test_nothing_moves_where_no_leads_are_in_the_reading(tmp_path):
    """A box whose values include its leads; a function whose accuracy holds after zeroing has them
    taken off as before."""
    with_its_own = BOX | {"artifacts": [BOX["artifacts"][0] | {"zero": "none"}]}
    found = points(tried(tmp_path / "1", BY_SKUA, {"apply": ["10 ohm", "500 ohm"]},
                         standards=[with_its_own, SKUA]))
    assert {p.expected.text: p.leads for p in found.values()} == {
        "10.02 Ohm": None, "499.97 Ohm": None}
    problem = only_problem(tried(tmp_path / "2", BY_SKUA, "500 ohm",
                                 one=OWN | {"after_zeroing": "yes"}))
    assert problem.code == "known-leads" and "after zeroing" in problem.sentence


def test_the_leads_may_be_named_at_zero(tmp_path):
    """As the standard of their own point."""
    for n, by in enumerate((BY_SKUA, BY_PAIR)):
        shop = tried(tmp_path / str(n), by, {"apply": "0 ohm", "standard": by["standard"]},
                     "500 ohm", standards=[BOX, SKUA, CERTIFIED])
        assert points(shop)["0.0 Ohm"].kind == "leads"


def test_zero_is_judged_by_itself(tmp_path):
    """Since the meter's own error at zero stays in its readings."""
    problem = only_problem(tried(tmp_path, BY_SKUA, "500 ohm"))
    assert (problem.code, "apply: 0 ohm" in problem.hint) == ("known-zero", True)
    assert "resistance has no such point" in problem.sentence


@pytest.mark.parametrize("value, contacts, is_more", [
    ("93.6 mohm", "40 mohm", False),    # 0.052 × 1.03144 + 0.04 = 0.09363488
    ("93.7 mohm", "40 mohm", True), ("93.7 mohm", "41 mohm", False)])
def test_known_as_more_than_the_plan_makes_of_them(value, contacts, is_more, tmp_path):
    shop = tried(tmp_path, BY_SKUA | {"value": value}, {"apply": ["0 ohm", "500 ohm"]},
                 contacts=contacts)
    assert codes(shop) == (["known-leads"] if is_more else [])


def test_the_hint_where_leads_cannot_be_taken_off(tmp_path):
    problem = only_problem(tried(tmp_path, None, "10 ohm"))
    assert (problem.code, "known: {standard: …}" in problem.hint) == ("own-zero", True)
