"""Resistance thermometers from a box in two wires: the ohms to set, what leads are allowed for, the
limits around what a certified value stands for, and the budget in degrees."""

import math
from fractions import Fraction as F

import pytest

from builder.compute.exact.leads import highest_resistance
from builder.compute.exact.resistance_thermometer import resistance, sensitivity
from builder.procedure.sentences import words
from tests.small_shop import (LEADS, box, codes, function, load_points, only_problem, range_,
                              standard, the_procedure)

PT100 = function("temperature", range_("600 degC", "0.1 degC", "0.1 % + 0.8 degC",
                                       lowest="-200 degC"),
                 resistance_thermometer="Pt100", ranging="manual")
IN_F = PT100 | {"ranges": [range_("1000 degF", "0.5 degF", "2 degF", lowest="-328 degF")]}
SOURCE = standard({"resistance": {"values": "0 ohm to 10 kohm", "within": "0.01 % + 5 mohm"}})
BOX = box(("100 ohm", "100.012 ohm", "5 mohm"), ("138.51 ohm", "138.5 ohm", "5 mohm"))
# 2 × 1 m of 0.75 mm² at 28 °C and 40 mΩ of contacts: half of it is allowed for
HALF = highest_resistance(metres=F(1), size=F("0.75"), contacts=F("0.04"), celsius=F(28)) / 2


def tried(folder, *apply: str, one=PT100, by=SOURCE, leads=LEADS, **more):
    return load_points(folder, one, {"apply": list(apply)}, standards=[by],
                       plan_more=({"leads": leads} if leads else {}) | more)


def points(shop) -> dict:
    return {p.apply.replace("\u00a0", " "): p for p in the_procedure(shop).points}


@pytest.mark.parametrize("kind, t", [("Pt100", "-100"), ("Pt100", "0"), ("Pt100", "100"),
                                     ("Pt100", "500"), ("Pt1000", "-40"), ("Pt1000", "300")])
def test_the_ohms_to_set(kind, t, tmp_path):
    """R(t) less half of what the leads add at most, to a hundred-thousandth of R0; the limits stand
    around t."""
    shop = tried(tmp_path, f"{t} degC", one=PT100 | {"resistance_thermometer": kind})
    (point,) = the_procedure(shop).points
    exact = resistance(kind=kind, celsius=F(t)) - HALF
    ohms = F(point.at.split("\u00a0")[0])
    assert abs(ohms - exact) <= {"Pt100": F(1, 2000), "Pt1000": F(1, 200)}[kind]
    assert point.planned.judged.applied == F(t) and point.planned.supply.sets == ohms
    data = the_procedure(shop).sheet_data.points[0]
    assert (data.kind, F(data.source_setting.split(" ")[0])) == ("ohms", ohms)


def test_the_table_of_ohms(tmp_path):
    """Beside the group: R(t), what is allowed for the leads, and what is set."""
    shop = tried(tmp_path, "-100 degC", "100 degC")
    (group,) = [g for g in the_procedure(shop).groups if g.aside]
    assert [row[2:] for row in group.aside.rows] == [("138.5055", "0.0468", "138.459"),
                                                     ("60.2558", "0.0468", "60.209")]
    assert "Pt100 (IEC 60751)" in words(group.aside.caption) and group.stage == "inputs"
    assert "0.094\u00a0Ω" in words(group.aside.caption)
    steps = " ".join(map(words, group.steps_before))
    assert "the ohms of the table below" in steps and "copper" not in steps


def test_a_box_is_turned_back_into_a_temperature(tmp_path):
    """138.5 Ω and half of the leads are 100.109 °C; the limits stand around that. A source is
    switched, a box isn't."""
    found = points(tried(tmp_path, "0 degC", "100 degC", by=BOX))
    at = found["100.0 °C"].planned.supply.expected
    assert abs(resistance(kind="Pt100", celsius=at) - F("138.5") - HALF) < F(1, 10**6)
    assert found["100.0 °C"].at == "138.5\u00a0Ω" and abs(at - F("100.108938")) < F(1, 10**6)
    assert (found["100.0 °C"].accept_from, found["100.0 °C"].accept_to) == ("99.3", "101.0")
    # 100.012 Ω is 0.15 °C: a point of zero all the same
    assert (found["0.0 °C"].accept_from, found["0.0 °C"].accept_to) == ("−0.6", "0.9")
    (group,) = [g for g in the_procedure(tried(tmp_path / "x", "0 degC", by=BOX)).groups
                if g.points]
    assert not any("output on" in words(s) for s in group.steps_before)


def test_the_budget_in_degrees(tmp_path):
    """Each line by hand: the source's 0.01 % + 5 mΩ at k = 2, half of the leads, half a step, half
    a count; over dR/dt."""
    found = points(tried(tmp_path, "100 degC"))["100.0 °C"].sure
    per = 1 / float(sensitivity(kind="Pt100", celsius=F(100)))
    stated = (float(resistance(kind="Pt100", celsius=F(100)) - HALF) * 1e-4 + 5e-3) * per
    assert [one.value for one in found.components] == pytest.approx(
        [stated, float(HALF) * per, 0.0005 * per, 0.05], rel=1e-5)
    u = math.sqrt((stated / 2) ** 2
                  + ((float(HALF) * per) ** 2 + (0.0005 * per) ** 2 + 0.05 ** 2) / 3)
    assert found.uncertainty.u == pytest.approx(u, rel=1e-5)


def test_in_degrees_fahrenheit(tmp_path):
    """212 °F are 100 °C: the same ohms, the budget 1.8 times as large."""
    here = points(tried(tmp_path, "100 degC"))["100.0 °C"]
    there = points(tried(tmp_path / "f", "212 degF", one=IN_F))["212.0 °F"]
    assert here.at == there.at
    for a, b in list(zip(here.sure.components, there.sure.components, strict=True))[:3]:
        assert b.value == pytest.approx(1.8 * a.value, rel=1e-12)


@pytest.mark.parametrize("zero, ohms", [("none", "138.506"), ("leads", "138.459")])
def test_nothing_is_taken_off_twice(zero, ohms, tmp_path):
    """A source that compensates for the leads itself is set to R(t); the plan needs no leads
    then."""
    by = SOURCE | {"outputs": [SOURCE["outputs"][0] | {"zero": zero}]}
    shop = tried(tmp_path, "100 degC", by=by, leads=LEADS if zero == "leads" else None)
    assert points(shop)["100.0 °C"].at.startswith(ohms)
    assert len(points(shop)["100.0 °C"].sure.components) == (4 if zero == "leads" else 3)


def test_what_cant_be_done(tmp_path):
    """Leads that nobody describes, ohms that no standard has, a box whose values are differences,
    and temperatures beyond the thermometer."""
    assert only_problem(tried(tmp_path / "a", "100 degC", leads=None)).code == "no-leads"
    assert only_problem(tried(tmp_path / "b", "50 degC", by=BOX)).code == "beyond-reach"
    by = standard({"DC voltage": {"values": "0 V to 1 V"}})
    assert only_problem(tried(tmp_path / "c", "50 degC", by=by)).code == "no-output"
    apart = box(("100 ohm", "100.012 ohm", "5 mohm"), zero="its zero setting")
    assert only_problem(tried(tmp_path / "d", "0 degC", by=apart)).code == "no-output"
    assert codes(tried(tmp_path / "e", "-201 degC", "900 degC")) == ["outside-sensor"] * 2


def test_a_warm_box(tmp_path):
    """A box with a temperature coefficient has its line, in degrees."""
    made = box(("100 ohm", "100.012 ohm", "5 mohm"))
    made["artifacts"][0] |= {"temperature_coefficient": "10 mohm per degC",
                             "certified_at": "23 degC"}
    found = points(tried(tmp_path, "0 degC", by=made))["0.0 °C"].sure
    (line,) = [one for one in found.components if "its temperature" in one.name]
    assert line.value == pytest.approx(0.05 / 0.390795, rel=1e-3)   # 5 °C of 10 mΩ


@pytest.mark.parametrize("one, apply, scale", [(PT100, "100 degC", 1), (IN_F, "212 degF", 1.8)])
@pytest.mark.parametrize("use", ["applied", "stated"])
def test_what_the_certificate_of_a_source_adds(use, one, apply, scale, tmp_path):
    """138.506 Ω, which is between two values of the certificate, is really 138.53600 Ω: the limits
    stand around its temperature, found here by the square root; 'stated' leaves them around 100 °C.
    The budget has the certificate's lines in place of the row's, over dR/dt."""
    at = {"at": "100 ohm", "correction": "20 mohm", "within": "2 mohm"}
    by = SOURCE | {"outputs": [SOURCE["outputs"][0] | {"zero": "none", "corrections": {
        "use": use, "drift": "1 mohm", "between": "straight line", "between_within": "0.5 mohm",
        "values": [at, {"at": "200 ohm", "actual": "200.04597195 ohm", "within": "3 mohm",
                        "confirmed": "made for a test"}]}}]}
    (point,) = the_procedure(tried(tmp_path, apply, one=one, by=by, leads=None)).points
    adds = 0.02 + (0.04597195 - 0.02) * 0.38506
    a, b = 3.9083e-3, -5.775e-7
    celsius = (-a + math.sqrt(a * a - 4 * b * (1 - (138.506 + adds) / 100))) / (2 * b)
    expected = point.planned.supply.expected
    if use == "applied":
        there = float(expected) if scale == 1 else (float(expected) - 32) / 1.8
        assert there == pytest.approx(celsius, abs=1e-6) and celsius > 100.07
        assert point.at.startswith("138.506\u00a0Ω, corrected 100.0" if scale == 1 else
                                   "138.506\u00a0Ω, corrected 212.1")
    else:
        assert expected is None
    per = scale / float(sensitivity(kind="Pt100", celsius=F(100)))
    assert [one.value for one in point.sure.components] == pytest.approx(
        [0.003 * per, 0.001 * per, 0.0005 * per]
        + ([] if use == "applied" else [adds * per, 0.0005 * per])
        + [float(point.planned.range.resolution) / 2], rel=1e-5)
    assert all(one.sensitivity == 1 for one in point.sure.components)
    assert "its certificate at 200\u00a0Ω (3.00 mΩ over" in point.sure.components[0].name
