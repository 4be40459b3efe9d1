"""The rows of a group and the heads above them, by each way to apply a value; every limit by hand.
"""

from fractions import Fraction as F

import pytest

from tests.small_shop import (JUNCTION, LEADS, box, coil, function, load_points, range_, reference,
                              row, standard, the_procedure)

VOLTS = function("DC voltage", range_("600 mV", "0.1 mV", "1 %"), range_("6 V", "1 mV", "20 mV"),
                 range_("600 V", "0.1 V", "1 %"), confirmed="few ranges do here")
AC = function("AC voltage", range_("6 V", "1 mV", [row("1 %", frequency="40 Hz to 1 kHz")]))
HERTZ = function("frequency", range_("6 kHz", "1 Hz", "1 %"))
OHMS = function("resistance", range_("600 ohm", "0.1 ohm", "1 % + 5 counts"))
CLAMP = {"function": "AC current", "clamp": "yes", "ranges": [
    range_("60 A", "10 mA", [row("2 %", frequency="45 Hz to 1 kHz")], lowest="3 A")]}
KELVINS = function("temperature", range_("400 degC", "0.1 degC", "1 % + 1 degC"),
                   thermocouple="K")
SKUA = reference(("DC voltage", {"values": "0 V to 10 V", "resolution": "10 uV",
                                 "within": "0.1 %"}))
ROUGH = reference(("DC voltage", {"values": "0 V to 10 V", "resolution": "10 uV",
                                  "within": "1 %"}))
BOX = box(("100 ohm", "103.3 ohm", "1 mohm"), ("200 ohm", "200 ohm", "1 mohm"))
ON = {"compare_on": "a bench supply"}
GUARDED = {"decision_rule": "guard band of U"}


def by(within: str) -> dict:
    return standard({"DC voltage": {"values": "0 V to 10 V", "within": within}})


def last(folder, one, point, *standards, **more):
    """The last group of a plan with this entry, and its first point."""
    procedure = the_procedure(load_points(folder, one, point, plan_more=more,
                                          standards=list(standards or [standard()])))
    return procedure.groups[-1], procedure.groups[-1].points[0]


def plain(text: str) -> str:
    return text.replace("\u00a0", " ").replace("\u202f", " ")


@pytest.mark.parametrize("one, point, standards, more, head, layout, texts", [
    # ±1 % of 300 mV
    (VOLTS, {"apply": "300 mV"}, [], {}, "at", "",
     ("300.0 mV", "", "600 mV", "297.0", "303.0", "mV", "3.0")),
    (VOLTS, {"apply": "-3 V"}, [], {}, "at", "",
     ("−3.000 V", "", "6 V", "−3.020", "−2.980", "V", "0.020")),
    # ±1 % of 3 V, of 1 kHz
    (AC, {"apply": "3 V", "frequency": "50 Hz"}, [], {}, "at", "",
     ("3.000 V", "50 Hz", "6 V", "2.970", "3.030", "V", "0.030")),
    (HERTZ, {"apply": "1 kHz", "level": "3 V"}, [], {}, "at", "",
     ("1.000 kHz", "3 V", "6 kHz", "0.990", "1.010", "kHz", "0.010")),
    # ±(1.033 + 0.5) Ω around what the certificate says, 101.767 to 104.833 Ω
    (OHMS, {"apply": "100 ohm"}, [BOX], {"leads": LEADS}, "Certified", "corrected",
     ("100 Ω", "103.3", "600 Ω", "101.8", "104.8", "Ω", "1.53")),
    # 54 A by 50 turns, ±1.08 A
    (CLAMP, {"apply": "54 A", "frequency": "50 Hz"}, [standard(), coil()], {}, "Source", "",
     ("54.00 A", "50 Hz, 1.08 A", "60 A", "52.92", "55.08", "A", "1.08")),
    # only written down
    (VOLTS, {"apply": "3 V", "observe": "drift"}, [], {}, "at", "",
     ("3.000 V", "", "6 V", "", "", "V", "")),
    # the reference reading makes the limit: 20 mV whatever it is, 1 % by a table
    (VOLTS, {"apply": "3 V"} | ON, [SKUA], {}, "at", "reference",
     ("about 3 V", "", "6 V", "", "", "V", "0.02")),
    (VOLTS, {"apply": "300 mV"} | ON, [SKUA], {}, "at", "reference",
     ("about 300 mV", "", "600 mV", "", "", "mV", "table")),
])
def test_a_row_and_its_head(one, point, standards, more, head, layout, texts, tmp_path):
    """What is applied, what stands beside it, the range, the limits, their unit, the tolerance."""
    group, row_ = last(tmp_path, one, point, *standards, **more)
    assert (plain(group.at_head), group.layout) == (head, layout)
    assert tuple(map(plain, (row_.apply, row_.at, row_.range, row_.accept_from, row_.accept_to,
                             row_.unit, row_.tolerance))) == texts
    assert row_.undecided == "" and (row_.small_from, row_.small_to) == ("", "")
    assert row_.forced is False and row_.hazardous is False


def test_a_thermocouple_input_has_its_millivolts_beside(tmp_path):
    """Under 'at 23 °C' what is applied with the junction at 23 °C; in the table a column for each
    degree from 18 to 28 °C. 100 °C of type K are 4.096 mV, 23 °C 0.919 mV (ITS-90)."""
    group, point = last(tmp_path, KELVINS, {"apply": ["100 degC", "200 degC"]}, junction=JUNCTION)
    assert plain(group.at_head) == "at 23 °C" and group.has_own_head
    assert abs(F(plain(point.at).removesuffix(" mV")) - F("3.177")) <= F("0.001")
    assert [plain(head) for head in group.aside.head[2:]] == [f"{n} °C" for n in range(18, 29)]
    assert [rows[0] for rows in group.aside.rows[:2]] == ["1.1", "1.2"]
    # 1 % and 1 °C of 100 °C
    assert (point.accept_from, point.accept_to) == ("98.0", "102.0")


@pytest.mark.parametrize("apply, table", [("300 mV", True), ("3 V", False)])
def test_only_comparisons_with_a_slope_have_a_table(apply, table, tmp_path):
    """What a meter may differ, where that changes with the reading; a source's points have none."""
    group, _ = last(tmp_path / "a", VOLTS, {"apply": apply} | ON, SKUA)
    assert bool(group.aside) is table
    assert last(tmp_path / "b", VOLTS, {"apply": apply})[0].aside is None


# ---------------------------------------------------------------- under a decision rule

@pytest.mark.parametrize("more, texts", [
    # T = 20 mV alone
    ({}, ("2.980", "3.020", "", "")),
    # u² = 1.5² + 0.5²/3 mV², so U = 3.055 mV: 20 − U inside, 20 + U outside
    (GUARDED, ("2.984", "3.016", "", "")),
    (GUARDED | {"outcomes": "four"}, ("2.984", "3.016", "2.980, 2.977", "3.020, 3.023")),
])
def test_what_the_rule_leaves(more, texts, tmp_path):
    """The limits of the tolerance, or those less the guard band; with four outcomes the tolerance
    limit and the outer one in small figures."""
    _, point = last(tmp_path, VOLTS, {"apply": "3 V"}, by("3 mV"), **more)
    assert (point.accept_from, point.accept_to, point.small_from, point.small_to) == texts
    assert point.undecided == "" and point.sure.tur == pytest.approx(20 / 3.055, rel=1e-3)


@pytest.mark.parametrize("standards, entry, more, undecided", [
    # U is about 3 mV of 20 mV, or 30 mV, which leaves nothing
    ([by("3 mV")], {}, GUARDED, False), ([by("30 mV")], {}, GUARDED, True),
    ([by("30 mV")], {}, {}, False), ([by("30 mV")], {"observe": "drift"}, GUARDED, False),
    ([SKUA], ON, GUARDED, False), ([ROUGH], ON, GUARDED, True), ([ROUGH], ON, {}, False),
    ([ROUGH], ON | {"observe": "drift"}, GUARDED, False),
])
def test_where_nothing_can_be_accepted_the_row_says_so(standards, entry, more, undecided,
                                                       tmp_path):
    """A guard band wider than the tolerance leaves no limits and no allowance; an observation has
    none anyway, and lacks nothing."""
    _, point = last(tmp_path, VOLTS, {"apply": "3 V"} | entry, *standards, **more)
    assert point.is_undecided is undecided
    has_limits = bool(point.accept_from or point.accept_to or (entry and point.tolerance))
    assert has_limits is not (undecided or "observe" in entry)


@pytest.mark.parametrize("rule, limits, undecided", [
    ({}, ("2.980", "3.020"), False), (GUARDED, ("", ""), True)])
def test_out_of_reach_there_is_no_uncertainty(rule, limits, undecided, tmp_path):
    """A point that the plan accepts beyond the source's table: no guard band can be made, so the
    tolerance stands alone or nothing does, and the row is marked."""
    accepted = [{"what": "out of reach", "standard": "petrel", "because": "no better source"}]
    short = standard({"DC voltage": {"values": "0 V to 2 V", "within": "3 mV"}})
    _, point = last(tmp_path, VOLTS, {"apply": "3 V"}, short, accepted=accepted, **rule)
    assert point.sure is None and (point.accept_from, point.accept_to) == limits
    assert point.is_undecided is undecided and point.shortfall.code == "mark-reach"


@pytest.mark.parametrize("within, mark", [("3 mV", None), ("9 mV", "mark-ratio-accepted")])
def test_a_low_ratio_is_marked(within, mark, tmp_path):
    """20 mV by 3.06 mV is more than 4:1, by 9.02 mV it is 2.2:1."""
    _, point = last(tmp_path, VOLTS, {"apply": "3 V"}, by(within), minimum_tur="4", accepted=[
        {"what": "below minimum TUR", "function": "DC voltage", "because": "no better source"}])
    assert (point.shortfall and point.shortfall.code) == mark


@pytest.mark.parametrize("rule", [{}, GUARDED])
def test_the_row_of_the_leads_alone(rule, tmp_path):
    """At most 0.5 Ω and what the leads may add, 0.094 Ω, under any rule: it is no verdict."""
    procedure = the_procedure(load_points(tmp_path, OHMS, {"apply": "200 ohm"}, standards=[BOX],
                                          plan_more={"leads": LEADS} | rule))
    alone, point = procedure.points
    assert (alone.apply, alone.at, alone.accept_from, alone.accept_to, plain(alone.unit)) == (
        "leads together", "", "0.0", "0.5", "Ω")
    assert (alone.tolerance, alone.zero, alone.sure, alone.is_undecided, alone.shortfall) == (
        "", "", None, False, None)
    assert point.zero == alone.id == "res-600Ohm-leads-together"


def test_hazard_and_range_by_hand_are_marked_in_the_row(tmp_path):
    """100 V is hazardous on any range; a range that automatic ranging would choose too is by hand
    where the plan forces it."""
    _, point = last(tmp_path, VOLTS, {"apply": "100 V", "force_range": "600 V"})
    assert point.hazardous is True and point.forced is True
