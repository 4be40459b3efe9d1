"""Two-wire readings: the leads are read first and taken off, by hand or by the meter, once and only
where they matter."""

import math
import random
from fractions import Fraction as F

import pytest

from tests.small_shop import (LEADS, box, function, load_points, load_with, meter, only_problem,
                              plan, range_, reference, standard, the_procedure)

OHMS = function("resistance", range_("600 ohm", "0.1 ohm", "0.9 % + 5 counts"),
                range_("6 kohm", "1 ohm", "0.7 % + 2 counts"), relative="press REL")
FARADS = function("capacitance", range_("60 nF", "10 pF", "3 % + 20 counts"),
                  range_("600 nF", "100 pF", "2 % + 5 counts"), relative="press REL")
SOURCE = standard({"resistance": {"values": "0 ohm to 10 kohm", "within": "1 mohm"},
                   "capacitance": {"values": "0 pF to 10 uF", "within": "1 pF"}})
BOX = box(*((f"{n} ohm", f"{n} ohm", "1 mohm") for n in (10, 100, 200, 500, 1000, 5000)))
# ohm a metre at 20 °C
R20 = {"0.75": F("0.0260"), "1.0": F("0.0195"), "1.5": F("0.0133"), "2.5": F("0.00798")}


def tried(folder, one, *points, standards=(SOURCE,), specification=None, ambient=None, **leads):
    """Points with leads of these; a value alone, or what else a point says."""
    points = [p if isinstance(p, dict) else {"apply": p} for p in points]
    more = {"leads": LEADS | leads} | ({"ambient": ambient} if ambient else {})
    holds = ({"specification": {"source": "x", "holds": "18 to 28 degC"} | specification}
             if specification else {})
    return load_points(folder, one, *points, standards=list(standards), plan_more=more, **holds)


def zeros_of(procedure):
    return [p for p in procedure.points if p.planned.zero is not None]


def only_zero(shop):
    (found,) = zeros_of(the_procedure(shop))
    return found


# ---------------------------------------------------------------- the reading of the leads

@pytest.mark.parametrize("zero", ["subtract", "relative"])
def test_leads_are_taken_off_only_where_the_accuracy_holds_after_zeroing(zero, tmp_path):
    """Taking them off takes off the meter's own error at zero: one that reads 0.14 ohm with nothing
    at its jacks, where 0.5 ohm are allowed, would be found right at all values."""
    point = {"apply": "100 ohm", "zero": zero}
    own = OHMS | {"after_zeroing": "no"}
    problem = only_problem(tried(tmp_path / "1", own, point, standards=[BOX]))
    assert (problem.code, "observe" in problem.hint) == ("own-zero", True)
    seen = the_procedure(tried(tmp_path / "2", own, {"apply": "100 ohm", "observe": "to see it"},
                               standards=[BOX])).points
    assert [p.planned.judged for p in seen] == [None]
    # where leads no longer matter, nothing is taken off
    one = the_procedure(tried(tmp_path / "3", own, {"apply": "5 kohm"},
                              standards=[BOX])).points
    assert [(p.planned.correction, p.planned.judged is None) for p in one] == [("", False)]


@pytest.mark.parametrize("ambient, leads, counts", [
    # floor((2·length·R₂₀·(1 + 0.00393·(t − 20)) + contacts + T(0))/r) with T(0) = 0.5 ohm, r = 0.1
    # ohm, t the band's upper end
    (None, {}, 5),                                                                         # 0.0936 + 0.5
    ("18 to 20 degC", {"contacts": "47.9 mohm"}, 5),                                       # 0.0999 + 0.5
    ("18 to 20 degC", {"contacts": "48 mohm"}, 6),                                         # 0.1 + 0.5, exactly six counts
    ("18 to 21 degC", {"contacts": "47.8 mohm"}, 6),                                       # 0.052 × 1.00393 = 0.05220436
    ("18 to 21 degC", {"contacts": "47.79 mohm"}, 5),
    (None, {"length": "2 m", "conductor": "2.5 mm2", "contacts": "500 mohm"}, 10),         # 0.0329 + 0.5 + 0.5
    (None, {"length": "500 mm", "conductor": "1.5 mm2", "contacts": "86.3 mohm"}, 6),      # 0.0133 × 1.03144 = 0.013718
    (None, {"length": "500 mm", "conductor": "1.5 mm2", "contacts": "86.2 mohm"}, 5),
])
def test_the_leads_may_read_at_most(ambient, leads, counts, tmp_path):
    """From 0 to what conductor and contacts may add at the warm end of the band and the meter may
    be off at zero."""
    zero = only_zero(tried(tmp_path, OHMS, "100 ohm", ambient=ambient, **leads))
    assert (zero.accept_from, zero.accept_to) == ("0.0", f"{counts / 10:.1f}")


def test_the_leads_are_as_warm_in_degrees_fahrenheit(tmp_path):
    """64.4 to 68 °F is 18 to 20 °C: the edge stands at the same contacts."""
    for n, (contacts, reads) in enumerate((("47.9 mohm", "0.5"), ("48 mohm", "0.6"))):
        assert only_zero(tried(tmp_path / str(n), OHMS, "100 ohm",
                               specification={"holds": "64.4 to 68 degF"},
                               contacts=contacts)).accept_to == reads


def test_the_offset_at_zero_grows_with_the_temperature(tmp_path):
    """At 30 to 33 °C a coefficient of 0.1 per °C makes T(0) 0.6 Ω; leads of 0.0547 + 0.04 Ω stay
    under a count more."""
    shop = tried(tmp_path, OHMS, "100 ohm", ambient="30 to 33 degC",
                 specification={"temperature_coefficient": "0.1 per degC"})
    assert only_zero(shop).accept_to == "0.6"


def test_a_row_that_does_not_start_at_zero(tmp_path):
    """Where no row covers 0 the largest offset of the range stands for it: 9 counts, so 0.9 + 0.094
    Ω."""
    one = function("resistance",
                   range_("600 ohm", "0.1 ohm",
                          [{"values": "20 ohm to 300 ohm", "within": "1 % + 3 counts"},
                           {"values": "300 ohm to 600 ohm", "within": "1 % + 9 counts"}]))
    assert only_zero(tried(tmp_path, one, "100 ohm")).accept_to == "0.9"


def test_the_leads_apart_for_capacitances(tmp_path):
    """120 pF between the leads and 20 counts of 10 pF: 320 pF, so 0.32 nF; they lie apart."""
    procedure = the_procedure(tried(tmp_path, FARADS, "10 nF"))
    (zero,) = zeros_of(procedure)
    assert (zero.apply, zero.accept_to, zero.unit,
            zero.id) == ("leads apart", "0.32", "nF", "cap-60nF-leads-apart")
    assert any("far ends apart" in step for step in procedure.groups[0].opening)


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(2))
def test_random_leads_by_the_formula(seed, tmp_path):
    """Limit of the leads' reading and whether they are forgotten, for random leads, bands and
    tables, by exact fractions."""
    chance, both = random.Random(seed), {True: 0, False: 0}
    for n in range(40):
        r, counts, percent = chance.choice(("0.1", "0.2", "0.5", "1")), chance.randint(1, 9), F(
            chance.randint(1, 20), 10)
        size, millimetres, t = chance.choice(list(R20)), chance.randint(100, 3000), chance.randint(
            19, 28)
        contacts = F(chance.randint(1, 900), 1000)
        one = function("resistance",
                       range_("600 ohm", f"{r} ohm",
                              f"{percent.numerator / percent.denominator} % + {counts} counts"))
        procedure = the_procedure(tried(tmp_path / str(n), one, "100 ohm",
                                        ambient=f"18 to {t} degC", length=f"{millimetres} mm",
                                        conductor=f"{size} mm2", contacts=f"{float(contacts)} ohm"))
        adds = 2 * F(millimetres, 1000) * R20[size] * (1 + F("0.00393") * (t - 20)) + contacts
        tolerance = percent + counts * F(r)
        forgotten = adds < F(r) / 2 and adds < tolerance / 10
        both[forgotten] += 1
        zeros = zeros_of(procedure)
        assert bool(zeros) != forgotten
        if zeros:
            assert F(zeros[0].accept_to) == math.floor((adds + counts * F(r)) / F(r)) * F(r)
    assert min(both.values()) >= 3, both


# ---------------------------------------------------------------- taken off, once

def test_the_leads_are_read_directly_before_their_points(tmp_path):
    """The group of the leads' reading stands before that of the points that name it, whatever else
    the plan has."""
    one = OHMS | {"ranging": "manual"}
    volts = function("DC voltage", range_("6 V", "1 mV", "1 %"))
    more = standard({"DC voltage": {"values": "0 V to 10 V"}})
    points = [{"function": "DC voltage", "apply": "3 V"},
              {"function": "resistance", "apply": ["100 ohm", "1 kohm", "500 ohm"]}]
    procedure = the_procedure(load_with(tmp_path, meter(volts, one),
                                        plan(*points, leads=LEADS | {"contacts": "600 mohm"}), more,
                                        BOX))
    titles = [[p.id for p in g.points] for g in procedure.groups]
    at = next(i for i, ids in enumerate(titles) if "res-600Ohm-leads-together" in ids)
    # a manual function has one on each range
    assert titles[at] == ["res-600Ohm-leads-together", "res-6kOhm-leads-together"]
    assert {p.zero for p in procedure.groups[at + 1].points} == set(titles[at])
    assert {p.id: p.zero for p in procedure.points
            if p.zero}["res-6kOhm-1.000kOhm"] == "res-6kOhm-leads-together"


def test_one_reading_of_the_leads_serves_all_ranges_of_an_autoranging_meter(tmp_path):
    """The meter shows the leads on its lowest range; a range that is forced has a reading of its
    own."""
    shop = tried(tmp_path, OHMS, "100 ohm", "1 kohm", {"apply": "1 kohm", "force_range": "6 kohm"},
                 contacts="600 mohm", standards=[BOX])
    procedure = the_procedure(shop)
    assert [p.id for p in zeros_of(procedure)] == [
        "res-600Ohm-leads-together", "res-6kOhm-leads-together"]
    by_id = {p.id: p.zero for p in procedure.points if p.zero}
    assert by_id == {"res-600Ohm-100.0Ohm": "res-600Ohm-leads-together",
                     "res-6kOhm-1.000kOhm": "res-600Ohm-leads-together",
                     "res-6kOhm-1.000kOhm-by-hand": "res-6kOhm-leads-together"}


def test_a_corrected_limit_may_be_negative(tmp_path):
    """0 Ω less the leads is good from −0.5 to 0.5 Ω, relative to them too; uncorrected from 0,
    since the display has no minus."""
    for n, (more, low) in enumerate((({}, "−0.5"), ({"zero": "relative"}, "−0.5"))):
        point = the_procedure(tried(tmp_path / str(n), OHMS, {"apply": "0 ohm"} | more)).points[-1]
        assert (point.accept_from, point.accept_to) == (low, "0.5")
    by = standard({}, outputs=[SOURCE["outputs"][0] | {"zero": "none"}])
    (point,) = the_procedure(tried(tmp_path / "c", OHMS, "0 ohm", standards=[by])).points
    assert (point.accept_from, point.accept_to) == ("0.0", "0.5")


@pytest.mark.parametrize("by",
                         [box(("100 ohm", "100 ohm", "1 mohm"), zero="none"),
                          standard({}, outputs=[SOURCE["outputs"][0] | {"zero": "none"}])])
def test_nothing_is_taken_off_where_the_standard_compensates(by, tmp_path):
    """'zero: none': no reading of the leads, no correction, no line about leads in the budget, and
    no need to describe them."""
    (point,) = the_procedure(load_points(tmp_path, OHMS, {"apply": "100 ohm"},
                                         standards=[by])).points
    assert (point.zero, point.planned.correction, point.planned.leads) == ("", "", 0)
    assert not any("leads" in c.name for c in point.sure.components)
    assert len(point.sure.components) == 2


def test_a_standard_at_its_zero_setting(tmp_path):
    """Where values are differences from the box's own zero, it stays connected and is set to
    that."""
    procedure = the_procedure(tried(tmp_path, OHMS, "100 ohm",
                                    standards=[
                                        box(("100 ohm", "100 ohm", "1 mohm"),
                                            zero="its zero setting")]))
    steps = procedure.groups[0].opening
    assert "Auk box: at its zero setting" in steps and "Leads: V to A, COM to B of Auk box" in steps
    assert not any("plugged together" in step for step in steps)


@pytest.mark.parametrize("resolution, accuracy, contacts, corrected", [
    # 0.052 ohm of conductor at 20 °C and the contacts; half a count is 0.1 ohm, a tenth of T far
    # more
    ("0.2 ohm", "10 % + 9 counts", "47.9 mohm", False),
    ("0.2 ohm", "10 % + 9 counts", "48 mohm", True),
    # half a count is 0.5 ohm, a tenth of T is 0.1 ohm
    ("1 ohm", "1 ohm", "47.9 mohm", False), ("1 ohm", "1 ohm", "48 mohm", True),
])
def test_where_leads_are_forgotten(resolution, accuracy, contacts, corrected, tmp_path):
    """Under half a count and under a tenth of the tolerance, both, and not where they reach
    either."""
    one = function("resistance", range_("600 ohm", resolution, accuracy))
    procedure = the_procedure(tried(tmp_path, one, "100 ohm", ambient="18 to 20 degC",
                                    contacts=contacts))
    assert bool(zeros_of(procedure)) is corrected
    assert bool(procedure.points[-1].planned.correction) is corrected
    assert any("left in the reading" in note for note in procedure.notes) is not corrected


def test_forgotten_leads_leave_the_display_without_a_minus(tmp_path):
    """An uncorrected limit is clamped at 0 again, and needs no relative key."""
    one = function("resistance", range_("600 ohm", "1 ohm", "3 counts"), confirmed="no decimal")
    (point,) = the_procedure(tried(tmp_path, one, {"apply": "0 ohm", "zero": "relative"})).points
    assert (point.accept_from, point.accept_to, point.planned.correction) == ("0", "3", "")


@pytest.mark.parametrize("ranging, corrections", [
    ({}, ["relative", "subtract"]), ({"relative_ranging": "held"}, ["relative", "subtract"]),
    ({"relative_ranging": "free"}, ["relative", "relative"])])
def test_relative_readings_stay_on_the_range_that_they_began_on(ranging, corrections, tmp_path):
    """Leads alone are shown on the lowest range: where the key holds it, a point on a higher one
    has the leads' reading subtracted by hand instead, after a reading of its own. The limits are
    the same in both ways."""
    made = the_procedure(tried(tmp_path, OHMS | ranging, {"apply": "100 ohm", "zero": "relative"},
                               {"apply": "1 kohm", "zero": "relative"}, standards=[BOX],
                               contacts="600 mohm"))
    points = {p.planned.applied: p for p in made.points if p.planned.zero is None}
    assert [points[F(100)].planned.correction, points[F(1000)].planned.correction] == corrections
    assert (points[F(1000)].accept_from, points[F(1000)].accept_to) == ("0.991", "1.009")
    layouts = [group.layout for group in made.groups if group.points[0].planned.zero is None]
    assert layouts == (["", "corrected"] if "subtract" in corrections else [""])
    for group in made.groups:
        if group.layout == "corrected":
            assert "Meter: relative, hold, filter off" in group.opening


def test_the_relative_function_needs_its_key(tmp_path):
    """With the key the sheet says to press it while the leads are still together; without one the
    point is refused."""
    procedure = the_procedure(tried(tmp_path, OHMS, {"apply": "100 ohm", "zero": "relative"},
                                    standards=[BOX]))
    zero, points = procedure.groups
    assert zero.points[0].id.endswith(
        "-relative-auk-box") and zero.layout == "" and points.layout == ""
    steps = [*points.opening]
    assert steps.index("Meter: press REL, leads still together; reads 0") < steps.index(
        "Leads: V to A, COM to B of Auk box")
    assert ("Meter: relative, hold, filter off" in zero.opening
            and "Meter: hold, filter off" in steps)
    assert "Meter: relative off" in points.closing
    without = {k: v for k, v in OHMS.items() if k != "relative"}
    assert only_problem(tried(tmp_path / "b", without, {"apply": "100 ohm", "zero": "relative"},
                              standards=[BOX])).code == "no-relative"


# ---------------------------------------------------------------- the raw reading

TIGHT = function("resistance", range_("600 ohm", "0.1 ohm", "0.1 % + 1 count"),
                 range_("6 kohm", "1 ohm", "0.7 % + 2 counts"), confirmed="so tight")
HEAVY = {"ambient": "18 to 20 degC", "contacts": "2 ohm"}     # 2.052 ohm


@pytest.mark.parametrize("apply, code",
                         [("597.1 ohm", None), ("597.2 ohm", "leads-past-range"),
                          ("599.5 ohm", "tolerance-past-range")])
def test_the_raw_reading_must_fit_the_range(apply, code, tmp_path):
    """597.2 + 0.6972 + 2.052 Ω is past 599.9 Ω, a hair less isn't; by itself the tolerance would
    fit up to 599.2 Ω."""
    shop = tried(tmp_path, TIGHT, apply, **HEAVY)
    assert [p.code for p in shop.errors] == ([code] if code else [])


def test_a_hint_counts_the_leads_too(tmp_path):
    """What the hint offers is accepted as it stands."""
    hint = only_problem(tried(tmp_path, TIGHT, "598 ohm", **HEAVY)).hint.replace("\u00a0", " ")
    offered = [one.replace("Ω", "ohm") for one in hint.split("range: ", 1)[1].split(" or ")]
    for n, one in enumerate(offered):
        the_procedure(tried(tmp_path / str(n), TIGHT, one, **HEAVY))


def test_the_sentence_names_the_leads(tmp_path):
    """Where it is the leads that run past the range, the sentence says so."""
    assert "leads" in only_problem(tried(tmp_path, TIGHT, "598 ohm", **HEAVY)).sentence


def test_the_raw_reading_may_change_the_range(tmp_path):
    """588 + 0.688 + 2.052 Ω reaches the 590 Ω at which the meter goes up, so the range is
    unclear."""
    one = TIGHT | {"ranges": [TIGHT["ranges"][0] | {"up_range": "590 ohm"}, TIGHT["ranges"][1]]}
    assert only_problem(tried(tmp_path, one, "588 ohm", **HEAVY)).code == "unclear-range"


# ---------------------------------------------------------------- budgets

def lines_of(point) -> list:
    return [(c.distribution, pytest.approx(c.value, rel=1e-12)) for c in point.sure.components]


def test_the_budget_of_a_corrected_point(tmp_path):
    """Two rectangles of half a count, that of the range where the leads were read and the point's
    own, and how far leads repeat; u is the root of the sum of squares. On a higher range the meter's
    own zero on the lower one is in it too, 5 counts of 0.1 Ω: on the same range it drops out."""
    shop = tried(tmp_path, OHMS, "100 ohm", "1 kohm", contacts="600 mohm")
    low, high = (p for p in the_procedure(shop).points if p.zero)
    assert lines_of(low) == [("normal", 0.001), ("rectangular", 0.05), ("rectangular", 0.01),
                             ("rectangular", 0.05)]
    assert lines_of(high) == [("normal", 0.001), ("rectangular", 0.05), ("rectangular", 0.01),
                              ("rectangular", 0.5), ("rectangular", 0.5)]
    assert low.sure.uncertainty.u == pytest.approx(
        math.sqrt(0.0005 ** 2 + (0.05 ** 2 + 0.01 ** 2 + 0.05 ** 2) / 3), rel=1e-12)


@pytest.mark.parametrize("at_zero", ["+(0.9 % + 2 counts) -(0.9 % + 5 counts)",
                                     "+(0.9 % + 5 counts) -(0.9 % + 2 counts)"])
def test_the_larger_side_of_a_zero_on_another_range_counts(at_zero, tmp_path):
    """Five counts of 0.1 Ω, whichever side they are on; the leads' own reading may be off upward
    only, by 2 or 5 counts beside 0.65 Ω of leads."""
    one = OHMS | {"ranges": [range_("600 ohm", "0.1 ohm", at_zero), OHMS["ranges"][1]]}
    made = the_procedure(tried(tmp_path, one, "1 kohm", contacts="600 mohm"))
    (zero,) = zeros_of(made)
    (point,) = [p for p in made.points if p.zero]
    assert lines_of(point)[3] == ("rectangular", 0.5)
    assert zero.planned.zero.high == (8 if at_zero.startswith("+(0.9 % + 2") else 11)


def test_the_budget_of_a_corrected_capacitance(tmp_path):
    """It is the stray capacitance that repeats: 10 pF."""
    point = the_procedure(tried(tmp_path, FARADS,
                                {"apply": "10 nF", "zero": "relative"})).points[-1]
    assert lines_of(point) == [("normal", 1e-12), ("rectangular", 5e-12), ("rectangular", 1e-11),
                               ("rectangular", 5e-12)]


def test_the_budget_with_leads_left_in(tmp_path):
    """Leads that stay in add between nothing and 0.052 × 1.03144 + 0.04 Ω: half of that, to a
    thousandth of a count, moves the limits, and what is left on the larger side is a rectangle."""
    (point,) = the_procedure(tried(tmp_path, OHMS, "5 kohm")).points
    assert lines_of(point) == [("normal", 0.001), ("rectangular", 0.05363488 + 0.04 - 0.046),
                               ("rectangular", 0.5)]
    assert point.planned.supply.expected == F("5000.046") == point.planned.judged.applied
    assert point.at == ""


# ---------------------------------------------------------------- names

def test_each_reading_of_the_leads_has_its_own_name(tmp_path):
    """Two boxes in one plan: each point's reading of the leads can be told by its id."""
    other = box(("300 ohm", "300 ohm", "1 mohm"), standard="razor-box", name="Razor box")
    points = the_procedure(tried(tmp_path, OHMS, "100 ohm", "300 ohm",
                                 standards=[BOX, other])).points
    assert len({p.id for p in points}) == len(points)


def test_a_comparison_and_a_box_have_two_readings_of_the_leads(tmp_path):
    """Relative readings from a box and beside a reference meter: two readings, two names."""
    by = reference(("capacitance",
                    {"values": "0 nF to 1 uF", "resolution": "1 pF", "within": "0.4 %"},
                    {"method": "M"}))
    parts = box(("10 nF", "10 nF", "1 pF"), what="capacitance")
    shop = tried(tmp_path, FARADS | {"method": "M"}, {"apply": "10 nF", "zero": "relative"},
                 {"apply": "20 nF", "zero": "relative", "compare_on": "a film capacitor"},
                 standards=[parts, by])
    points = the_procedure(shop).points
    assert len({p.id for p in points}) == len(points)
