"""What the planner says of a point that gets no limits: the whole sentence and the whole hint, each
worked out by hand beside its case."""

import pytest

from tests.procedure.test_refusals import AC, DC, OHMS, PARTS
from tests.small_shop import (LEADS, box, codes, function, load, load_points, meter, only_problem,
                              plan, range_, reference, row, standard, the_procedure)

AC_ROW = [row("1 % + 3 counts", frequency="40 Hz to 2 kHz")]
TWO = function("AC voltage", range_("600 mV", "0.1 mV", AC_ROW), range_("6 V", "1 mV", AC_ROW),
               input={"volt_hertz": "600 V Hz"})
COUNTER = function("frequency", range_("6 kHz", "1 Hz", "0.1 % + 3 counts"),
                   input={"volt_hertz": "20000 V Hz"})
LOOSE = function("DC voltage", range_("6 V", "1 mV", [row("10 %", values="0 V to 5.9 V"),
                                                      row("0.1 %", values="5.9 V to 6 V")]),
                 confirmed="so loose")
WARM = {"specification": {"source": "x", "holds": "18 to 28 degC",
                          "temperature_coefficient": "0.1 per degC"},
        "plan_more": {"ambient": "30 to 33 degC"}}
FARADS = function("capacitance", range_("6 nF", "1 pF", "2 % + 5 counts"),
                  range_("60 nF", "10 pF", "2 % + 5 counts"))
METAL = {key: value for key, value in LEADS.items() if "stray" not in key}
OHM_SOURCE = {"standard_file": standard({"resistance": {"values": "0 ohm to 1 kohm"}}),
              "plan_more": {"leads": LEADS}}
OHM_REFERENCE = reference(("resistance", {"values": "0 ohm to 1 kohm", "resolution": "1 mohm",
                                          "within": "0.01 %"}))
UNCLEAR = "at 0.600 V a good meter may be on its 600 mV range as well as on 6 V"
BY_HAND = "; or 'force_range: 6 V' to select it by hand"
NO_STRAY = ("the capacitance between the leads is part of the reading, and the plan's 'leads' "
            "don't state it", "add 'stray: 100 pF, stray_repeats: 5 pF'")


def farads(leads: dict) -> dict:
    return {"standards": [box(("3 nF", "3 nF", "1 pF"), what="capacitance")],
            "plan_more": {"leads": leads}}


SAID = [
    # x − (1 % of x + 0.3 mV) > 599.9 mV from 0.6002/0.99 = 0.60626 V on; at 100 Hz the input bears
    # 6 V
    (TWO, {"apply": "0.6 V", "frequency": "100 Hz"}, {}, "unclear-range", UNCLEAR,
     "clear on the 6 V range: 0.607 V" + BY_HAND),
    # … at 1 kHz it bears 0.6 V, so 0.607 V isn't offered
    (TWO, {"apply": "0.6 V", "frequency": "1 kHz"}, {}, "unclear-range", UNCLEAR,
     "choose another value" + BY_HAND),
    (TWO | {"ranging": "automatic only"}, {"apply": "0.6 V", "frequency": "100 Hz"}, {},
     "unclear-range", UNCLEAR, "clear on the 6 V range: 0.607 V"),
    # 1.1 × 5.453 = 5.9983 still shows, 1.1 × 5.454 = 5.9994 doesn't; from 5.9 V on 0.1 % holds
    (LOOSE, {"apply": "5.8 V"}, {}, "tolerance-past-range",
     "5.800 V with its tolerance of 0.580 V runs past the highest reading of the 6 V range, "
     "5.999 V: a good meter could show overload", "clear on the 6 V range: 5.453 V or 5.900 V"),
    # two degrees beyond the band: 1.2 × (0.4 % + 2 mV), of 5.98 V 31.104 mV, so
    # (5.999 − 0.0024)/1.0048 = 5.96795 V
    (DC, {"apply": "5.98 V"}, WARM, "tolerance-past-range",
     "5.980 V with its tolerance of 0.0311 V runs past the highest reading of the 6 V range, "
     "5.999 V: a good meter could show overload", "clear on the 6 V range: 5.967 V"),
    # the level at the rate that is counted: 5 V × 5 kHz is more than 20 000 V·Hz
    (COUNTER, {"apply": "5 kHz", "level": "5 V"}, {}, "beyond-volt-hertz",
     "5 V at 5 kHz is beyond the volt-hertz product that this input bears, 20000 V·Hz",
     "choose a lower value or a lower frequency"),
    (AC | {"input": {"volt_hertz": "1000 V Hz"}}, {"apply": "3 V", "frequency": "400 Hz"}, {},
     "beyond-volt-hertz",
     "3 V at 400 Hz is beyond the volt-hertz product that this input bears, 1000 V·Hz",
     "choose a lower value or a lower frequency"),
    (AC, {"apply": "3 V", "frequency": "50 Hz"},
     {"standard_file": standard({"AC voltage": {"values": "0 V to 2 V",
                                                "frequency": "40 Hz to 1 kHz"}})},
     "beyond-reach", "3 V at 50 Hz is beyond the reach of Petrel",
     "Petrel reaches 0 to 2 V at 40 Hz to 1 kHz"),
    (OHMS, {"apply": "100 ohm"}, {"standards": [box(("100 ohm", "100 ohm", "5 mohm"))]}, "no-leads",
     "two-wire leads are part of the reading, and the plan doesn't describe them",
     "write 'leads: {length: 1 m, conductor: 0.75 mm2, contacts: 60 mohm, repeats: 10 mohm}', for "
     "capacitances with 'stray: 100 pF' and 'stray_repeats: 5 pF'; or 'zero: none' in the "
     "standard's file where it compensates for them"),
    # two leads at 28 °C: 2 × 0.026 Ω × 1.03144 + 1 Ω = 1.05363488 Ω; below it
    # (599.9 − 0.5 − 1.05363)/1.009 = 593.009 Ω
    (OHMS, {"apply": "594 ohm"},
     OHM_SOURCE | {"plan_more": {"leads": LEADS | {"contacts": "1 ohm"}}}, "leads-past-range",
     "594.0 Ω with its tolerance of 5.84 Ω and up to 1.05363488 Ω of leads runs past the highest "
     "reading of the 600 Ω range, 599.9 Ω: a good meter could show overload",
     "clear on the 600 Ω range: 593.0 Ω"),
    (OHMS, {"apply": "100 ohm", "zero": "relative"}, OHM_SOURCE, "no-relative",
     "the meter's file names no key for relative readings",
     "write 'relative: press REL' at the function, or 'zero: subtract'"),
    (OHMS, {"apply": "100 ohm", "compare_on": "a part"},
     {"standards": [OHM_REFERENCE], "plan_more": {"leads": LEADS}}, "reference-leads",
     "leads are part of both readings that are compared here",
     "take them off with 'zero: relative', or choose a value at which they no longer matter"),
    # what lies between the leads is known only with how well it repeats
    (FARADS, {"apply": "3 nF"}, farads(METAL), "no-stray", *NO_STRAY),
    (FARADS, {"apply": "3 nF"}, farads(METAL | {"stray": "120 pF"}), "no-stray", *NO_STRAY),
    (FARADS, {"apply": "3 nF"}, farads(METAL | {"stray_repeats": "5 pF"}), "no-stray", *NO_STRAY),
]


@pytest.mark.parametrize("one, point, more, code, sentence, hint", SAID)
def test_what_is_said_of_a_refused_point(one, point, more, code, sentence, hint, tmp_path):
    """The code, the sentence and the hint, as they stand."""
    found = only_problem(load_points(tmp_path, one, point, **more))
    assert found.code == code
    assert found.sentence.replace("\u00a0", " ") == sentence
    assert found.hint.replace("\u00a0", " ") == hint


def test_the_rows_that_a_refused_point_would_have_tested_are_not_called_forgotten(tmp_path):
    """Of a plan with one point, which is refused, its refusal alone is said."""
    shop = load(tmp_path, meter(DC), plan({"function": "DC voltage", "apply": "5.98 V"}))
    assert codes(shop) == ["tolerance-past-range"]


FARAD_BOX = box(*((value, value, "1 pF") for value in ("6 nF", "6.13 nF", "5.99 nF", "5.876 nF")),
                what="capacitance", zero="none")
FARAD_REFERENCE = reference(("capacitance", {"values": "0 nF to 1 uF", "resolution": "1 pF",
                                             "within": "0.4 %"}, {"method": "charged by DC"}))


@pytest.mark.parametrize("by, more, held", [
    (FARAD_BOX, {}, METAL), (FARAD_BOX, {}, LEADS),
    (FARAD_REFERENCE, {"compare_on": "a part"}, METAL)])
@pytest.mark.parametrize("value, hint", [
    ("6 nF", "clear on the 60 nF range: 6.13 nF; or 'force_range: 60 nF' to select it by hand"),
    ("5.99 nF", "clear on the 6 nF range: 5.876 nF"),
])
def test_a_hint_needs_no_capacitance_of_the_leads(by, more, held, value, hint, tmp_path):
    """The plan's leads are for resistances, or are those that this box takes off itself; beside a
    reference meter the range is looked at before the leads. On the 60 nF range x − (2 % of x + 5
    pF) > 5.999 nF from 6.126 nF on, so 6.13 nF; on the 6 nF range x + 2 % + 5 pF ≤ 5.999 nF up to
    5.87647 nF, of which 5.876 nF is a whole count."""
    shop = load_points(tmp_path, FARADS | {"method": "charged by DC"}, {"apply": value} | more,
                       plan_more={"leads": held}, standards=[by])
    assert only_problem(shop).hint.replace("\u00a0", " ") == hint


# ---------------------------------------------------------------- beside a reference meter

REFERENCE = reference(("DC voltage", {"values": "0 V to 10 V", "resolution": "10 uV",
                                      "within": "0.01 %"}))
LOWEST = function("DC voltage", range_("6 V", "1 mV", "1 %", lowest="0.8 V"))
WITHIN = function("DC voltage", range_("6 V", "1 mV", [
    row("1 %"), row("0.5 %", values="0 V to 3.5 V")], confirmed="made for a test"))
CROSSING = function("DC voltage", range_("6 V", "1 mV", [
    row("1 %"), row("0.5 % + 20 counts")], confirmed="made for a test"))


@pytest.mark.parametrize("one, apply, holds", [
    # PARTS has one row to 2 V, the next from 3 V to 6 V
    (PARTS, "1.6 V", True), (PARTS, "1.601 V", False),    # 5/4 of it: 2 V, 2.00125 V
    (PARTS, "-1.6 V", True), (PARTS, "-1.601 V", False),
    (PARTS, "3.75 V", True), (PARTS, "3.749 V", False),   # 4/5 of it: 3 V, 2.9992 V
    (PARTS, "5 V", True),                                 # 6.25 V, but the display ends at 5.999 V
    (PARTS, "0 V", True),                                 # no band about zero
    (LOWEST, "1 V", True), (LOWEST, "0.999 V", False),    # 0.8 V, 0.7992 V
    # the tighter row would hold from 3.2 V to 3.5 V; 5/4 of 2.8 V and 4/5 of 4.375 V are 3.5 V
    (WITHIN, "4.001 V", False), (WITHIN, "2.8 V", True), (WITHIN, "4.375 V", True),
    # both rows allow 40 mV at 4 V, which is 5/4 of 3.2 V and 4/5 of 5 V
    (CROSSING, "3.2 V", True), (CROSSING, "3.201 V", False), (CROSSING, "-4.901 V", False),
    (CROSSING, "5 V", True),
])
def test_one_row_of_the_meter_holds_for_every_reading_of_the_reference(one, apply, holds, tmp_path):
    """The reference may show four fifths to five quarters of the value, and one accuracy row has to
    hold for all of it; the sentence names the range."""
    shop = load_points(tmp_path, one, {"apply": apply, "compare_on": "a bench supply"},
                       standards=[REFERENCE])
    if holds:
        assert len(the_procedure(shop).points) == 1
    else:
        found = only_problem(shop)
        assert found.code == "reference-row" and found.sentence.replace("\u00a0", " ") == (
            f"a reference reading near {apply.replace('-', '−')} may belong to another accuracy "
            "row of the 6 V range")
