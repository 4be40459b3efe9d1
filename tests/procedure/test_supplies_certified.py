"""Certified values of a box: limits around what the certificate says, under the name that is marked
on the box."""

import json
import math
import random
from fractions import Fraction as F

import pytest

from builder.pages import render
from tests.small_shop import (box, codes, function, load_points, load_with, meter, only_problem,
                              plan, range_, standard, the_procedure)

OHMS = function("resistance", range_("600 ohm", "0.1 ohm", "0.9 % + 5 counts"),
                range_("6 kohm", "1 ohm", "0.7 % + 2 counts"))
FARADS = function("capacitance", range_("6 uF", "1 nF", "2 % + 5 counts"))


def tried(folder, values: list[tuple], *apply: str, one=OHMS, **more):
    """Points from a box whose wiring is in its values, so that no leads come in between."""
    what = one["function"]
    return load_points(folder, one, {"apply": list(apply)},
                       standards=[box(*values, what=what, zero="none")], **more)


def by_hand(x: F, on: str = "600") -> tuple[int, int]:
    """Lowest and highest count within 0.9 % + 0.5 ohm, or 0.7 % + 2 ohm, around a value in ohms."""
    share, offset, r = {"600": (F("0.009"), F("0.5"), F("0.1")), "6": (F("0.007"), F(2), F(1))}[on]
    t = share * x + offset
    return math.ceil((x - t) / r), math.floor((x + t) / r)


def test_limits_stand_around_the_certified_value(tmp_path):
    """103.3 Ω certified at 100 Ω nominal: ±1.4297 Ω around 103.3 Ω, named, shown and kept by its
    nominal value."""
    shop = tried(tmp_path, [("100 ohm", "103.3 ohm", "5 mohm")], "100 ohm")
    (point,) = the_procedure(shop).points
    assert (point.accept_from, point.accept_to) == ("101.9", "104.7")     # 101.8703, 104.7297
    assert point.id == "res-600Ohm-100.0Ohm"
    assert (point.apply, point.at) == ("100\u00a0Ω", "103.3")
    (data,) = the_procedure(shop).data["points"]
    assert (data["kind"], data["apply"], data["expected"]) == ("artifact", "100 Ohm", "103.3 Ohm")
    assert F(data["tolerance"].split()[0]) == F("1.4297")


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(3))
def test_random_certificates_by_exact_arithmetic(seed, tmp_path):
    """For any certificate the printed limits are those of exact fractions around the certified
    value, under an id that doesn't move with the certificate."""
    chance = random.Random(seed)
    micro = [n * 10 ** 6 + chance.randint(-8000, 8000) * 10 ** chance.randint(0, 2)
             for n in range(50, 560, 50)]
    values = [(f"{n} ohm", f"{m // 10 ** 6}.{m % 10 ** 6:06d} ohm", "1 mohm") for n,
              m in zip(range(50, 560, 50), micro, strict=True)]
    points = the_procedure(tried(tmp_path, values, *(v[0] for v in values))).points
    assert len(points) == len(values)
    for point, (nominal, certified, _) in zip(points, values, strict=True):
        low, high = by_hand(F(certified.split()[0]))
        assert (F(point.accept_from), F(point.accept_to)) == (low * F("0.1"), high * F("0.1"))
        assert point.id == f"res-600Ohm-{nominal.split()[0]}.0Ohm"


def test_the_range_follows_the_certified_value(tmp_path):
    """600 Ω nominal is on the 6 kΩ range if its certificate says 605 Ω, and on the 600 Ω range if
    it says 590 Ω."""
    for n, (certified, on) in enumerate((("607 ohm", "6\u00a0kΩ"), ("590 ohm", "600\u00a0Ω"))):
        (point,) = the_procedure(tried(tmp_path / str(n), [("600 ohm", certified, "0.1 ohm")],
                                       "600 ohm")).points
        assert point.range == on


def nearest(values, wanted, top):
    return min((v for v in values if v <= top), key=lambda v: (abs(v - wanted), v))


@pytest.mark.parametrize("values",
                         [(10, 100, 250, 500, 1000, 2500, 5000), (20, 300, 5000),
                          (50, 60, 70, 290, 310, 530, 550, 5300, 5500), (100, 5400)])
def test_recommended_points_are_those_of_the_box(values, tmp_path):
    """On the lowest range the values nearest to 10, 50 and 90 % of it, on the next one the nearest
    to 90 %."""
    box_values = [(f"{v} ohm", f"{v} ohm", "1 mohm") for v in values]
    found = {(p.range, p.planned.applied)
             for p in the_procedure(tried(tmp_path, box_values, "recommended")).points}
    expected = {("600\u00a0Ω", F(nearest(values, share, F("599.9")))) for share in (60, 300, 540)}
    expected.add(("6\u00a0kΩ", F(nearest(values, 5400, 5999))))
    assert found == expected


SOURCE_OF = {"DC voltage": {"values": "0 V to 10 V"}}


@pytest.mark.parametrize("also, expected", [
    (SOURCE_OF, [60, 250, 560, 5000]),
    (SOURCE_OF | {"resistance": {"values": "0 ohm to 10 kohm"}}, [60, 300, 540, 5400]),
])
def test_only_a_source_of_the_same_kind_frees_from_the_boxs_values(also, expected, tmp_path):
    """Beside a source of voltages the box's values alone are recommended: of 60, 250, 560 and
    5000 Ω those nearest to a tenth, a half and nine tenths of 600 Ω and to nine tenths of 6 kΩ.
    Beside a source of resistances they are those shares themselves. 0 Ω is never among them: leads
    are read there."""
    values = [(f"{v} ohm", f"{v} ohm", "1 mohm") for v in (60, 250, 560, 5000)]
    by = standard(also)
    for output in by["outputs"]:
        output.update({"zero": "none"} if output["output"] == "resistance" else {})
    points = the_procedure(load_points(tmp_path, OHMS, {"apply": "recommended"},
                                       standards=[by, box(*values, zero="none")])).points
    assert sorted({p.planned.applied for p in points}) == expected


@pytest.mark.parametrize("name, expected", [(None, [70, 300, 560, 5000]),
                                            ("auk-box", [70, 560, 5000]),
                                            ("razor-box", [300, 560])])
def test_recommended_points_of_the_boxes_that_a_point_names(name, expected, tmp_path):
    """70, 560 and 5000 Ω in the first box and 300 and 560 Ω in the second: without a name the
    nearest of all to 60, 300 and 540 Ω, and the 560 Ω of the first box, certified 561 Ω there."""
    first = box(("70 ohm", "70 ohm", "1 mohm"), ("560 ohm", "561 ohm", "1 mohm"),
                ("5 kohm", "5 kohm", "1 mohm"), zero="none")
    second = box(("300 ohm", "300 ohm", "1 mohm"), ("560 ohm", "559 ohm", "1 mohm"), zero="none",
                 standard="razor-box", name="Razor box")
    one = OHMS if name != "razor-box" else OHMS | {"ranges": OHMS["ranges"][:1]}
    point = {"apply": "recommended"} | ({"standard": name} if name else {})
    points = the_procedure(load_points(tmp_path, one, point, standards=[first, second])).points
    assert sorted({p.planned.applied for p in points}) == expected
    at = {p.planned.applied: p.planned.supply.expected for p in points}
    assert at[560] == (559 if name == "razor-box" else 561)


def test_a_box_without_a_value_for_a_range_says_so(tmp_path):
    """A range that no value of the box lies on is forgotten by the plan, named with it."""
    shop = load_with(tmp_path, meter(OHMS),
                     plan({"function": "resistance", "apply": "recommended"}),
                     box(("100 ohm", "100 ohm", "1 mohm"), zero="none"))
    assert codes(shop) == ["forgotten"] and "6\u00a0kΩ" in shop.errors[0].sentence


def test_a_capacitor_below_one_count_is_refused_with_that_reason(tmp_path):
    """200 pF can't be read in steps of 1 nF; 1 nF can, as a value, but a good meter could read 0
    there."""
    found = only_problem(tried(tmp_path, [("200 pF", "0.201 nF", "1 pF")], "200 pF", one=FARADS))
    assert (found.code == "below-one-count" and "0.001\u00a0µF" in found.sentence
            and found.place.text[found.place.column - 1:].startswith('"200 pF"'))
    found = only_problem(tried(tmp_path / "b", [("1 nF", "1.0003 nF", "1 pF")], "1 nF", one=FARADS))
    assert found.code == "accepts-zero"


def test_a_value_that_the_box_lacks(tmp_path):
    """A value that is no nominal one is out of reach, and the hint names those that are there; a
    certified one is no name."""
    values = [("100 ohm", "100.003 ohm", "5 mohm"), ("200 ohm", "200.01 ohm", "5 mohm")]
    for n, apply in enumerate(("150 ohm", "100.003 ohm")):
        found = only_problem(tried(tmp_path / str(n), values, apply))
        assert found.code == "beyond-reach" and "100\u00a0Ω, 200\u00a0Ω" in found.hint


def test_the_first_box_of_the_plan_counts(tmp_path):
    """Two boxes with one value: that of the first one, unless the point names the other."""
    first = box(("100 ohm", "100.9 ohm", "5 mohm"), zero="none")
    second = box(("100 ohm", "99.1 ohm", "5 mohm"), zero="none", standard="razor-box",
                 name="Razor box")
    for n, (more, expected) in enumerate((({}, "100.9"), ({"standard": "razor-box"}, "99.1"))):
        (point,) = the_procedure(load_points(tmp_path / str(n), OHMS, {"apply": "100 ohm"} | more,
                                             standards=[first, second])).points
        assert point.at == expected


def test_the_budget_of_a_certified_value(tmp_path):
    """Certificate at k = 2, drift as plain limits, half a count: at 100 Ω certified 100.003 Ω, u² =
    2.5² + 3²/3 + 50²/3 mΩ²."""
    shop = tried(tmp_path, [("100 ohm", "100.003 ohm", "5 mohm", "3 mohm")], "100 ohm")
    (point,) = the_procedure(shop).points
    parts = [(c.distribution, c.value, c.contribution) for c in point.sure.components]
    expected = [("normal", 0.005, 0.0025), ("rectangular", 0.003, 0.003 / math.sqrt(3)),
                ("rectangular", 0.05, 0.05 / math.sqrt(3))]
    for found, (shape, value, contribution) in zip(parts, expected, strict=True):
        assert found[0] == shape and found[1:] == pytest.approx((value, contribution), rel=1e-12)
    assert point.sure.uncertainty.u == pytest.approx(
        math.sqrt(0.0025 ** 2 + 0.003 ** 2 / 3 + 0.05 ** 2 / 3), rel=1e-12)
    assert any("drift" in c.name for c in point.sure.components)


def test_relative_terms_are_of_the_certified_value(tmp_path):
    """0.1 % of a certificate and of its drift are of what is certified: 0.1033 Ω at 103.3 Ω."""
    (point,) = the_procedure(tried(tmp_path, [("100 ohm", "103.3 ohm", "0.1 %", "0.1 %")],
                                   "100 ohm")).points
    assert [c.value
            for c in point.sure.components[:2]] == pytest.approx([0.1033, 0.1033], rel=1e-12)


GOOD = ("200 ohm", "200 ohm", "1 ohm")


@pytest.mark.parametrize("values, code, at", [
    ([("100 ohm", "120.1 ohm", "1 ohm")], "certified", "120.1 ohm"),
    ([("100 ohm", "79.9 ohm", "1 ohm")], "certified", "79.9 ohm"),
    ([("100 ohm", "100 kohm", "1 ohm")], "certified", "100 kohm"),
    ([("100 ohm", "100 ohm", "1 ohm"), ("0.1 kohm", "101 ohm", "1 ohm")], "twice", "0.1 kohm"),
    ([("100 V", "100 ohm", "1 ohm")], "unit", "100 V"),
    ([("100 ohm", "100 V", "1 ohm")], "unit", "100 V"),
    ([("100 ohm", "100 ohm", "1 V")], "unit", "1 V"),
    ([("100 ohm", "100 ohm", "3 counts")], "unit", "3 counts"),
    ([("100 ohm", "100 ohm", "0.1 % of range")], "unit", "0.1 % of range"),
    ([("100 ohm", "100 ohm", "1 ohm", "2 counts")], "unit", "2 counts"),
    ([("-100 ohm", "100 ohm", "1 ohm"), GOOD], "value", "-100 ohm"),
    ([("100 ohm", "0 ohm", "1 ohm"), GOOD], "value", "0 ohm"),
])
def test_what_is_wrong_with_a_certificate_is_said_at_its_place(values, code, at, tmp_path):
    """Values more than a fifth off, doubles in whatever unit, wrong units and terms: one problem,
    at the text itself."""
    found = only_problem(tried(tmp_path, values, "100 ohm"))
    assert (found.code, found.place.file) == (code, "procedures/standards/auk-box.yaml")
    assert found.place.text[found.place.column - 1:].startswith(f'"{at}"')


def test_a_value_that_is_wrong_is_no_lack_of_values(tmp_path):
    """A mistake in a box's only value is one problem, not two."""
    assert only_problem(tried(tmp_path, [("100 ohm", "0 ohm", "1 ohm")], "100 ohm")).code == "value"


@pytest.mark.parametrize("certified", ["120 ohm", "80 ohm"])
def test_a_fifth_off_is_not_yet_far(certified, tmp_path):
    """Exactly 20 % beside the nominal value a certificate is still believed."""
    assert the_procedure(tried(tmp_path, [("100 ohm", certified, "1 ohm")], "100 ohm"))


@pytest.mark.parametrize("change, code", [
    ({"kind": "source"}, ["kind", "missing"]), ({"kind": "coil"}, ["kind", "missing"]),
    ({"outputs": []}, ["kind"]),
    ({"artifacts": [{"artifact": "resistance", "terminals": ["A", "B"], "values": []}]}, ["value"]),
    (
        {
            "artifacts": [{"artifact": "AC voltage", "terminals": ["A", "B"],
                           "values": [{"nominal": "1 V", "certified": "1 V", "within": "1 mV"}]}]},
        ["kind"]),
    (
        {
            "artifacts": [{"artifact": "temperature", "terminals": ["A", "B"],
                           "values": [{"nominal": "1 degC", "certified": "1 degC",
                                       "within": "1 degC"}]}]}, ["kind"]),
    (
        {
            "artifacts": [{"artifact": "frequency", "terminals": ["A", "B"],
                           "values": [{"nominal": "1 Hz", "certified": "1 Hz",
                                       "within": "1 Hz"}]}]}, ["kind"]),
])
def test_what_a_box_can_not_be(change, code, tmp_path):
    """A kind without its key, a key of another kind, properties that no artifact has, and a box
    without values."""
    made = box(("100 ohm", "100 ohm", "1 ohm")) | change
    assert codes(load_points(tmp_path, OHMS, {"apply": "100 ohm"}, standards=[made])) == code


def test_the_pages_show_both_values(tmp_path):
    """The sheet has the nominal value and, under 'Certified', the certified one; the note says
    which the limits stand around."""
    shop = tried(tmp_path, [("100 ohm", "103.3 ohm", "5 mohm")], "100 ohm")
    procedure = the_procedure(shop)
    (group,) = procedure.groups
    assert group.at_head == "Certified" and any("around that value, not around the nominal" in note
                                                for note in procedure.notes)
    sheet = render.render(shop).pages["procedures/lapwing-yearly.md"]
    assert "103.3" in sheet and "Certified" in sheet
    assert json.dumps(procedure.data)
