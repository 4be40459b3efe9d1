"""What a certificate says beside a value and its uncertainty, as lines of the budget: drift,
effective degrees of freedom, the temperature of a box."""

import math

import GTC
import pytest
from scipy import stats

from builder.numbers.exact_text import NARROW
from tests.procedure.test_budget_of_point import AMPS, DISPLAY, LEFT, OHMS, lines_of, only_point
from tests.small_shop import LEADS, box, coil, function, range_, standard

KILO = {"apply": "5 kohm"}


def of_box(folder, *value: str, point: dict | None = None, plan: dict | None = None, **more):
    """The only point of a box with one value; `more` are keys of what it holds."""
    made = box(value)
    made["artifacts"][0] |= more
    return only_point(folder, OHMS, point or KILO, [made], leads=LEADS, **(plan or {}))


# ---------------------------------------------------------------- drift

@pytest.mark.parametrize("of_value, of_all, ohms", [
    ("20 ppm", None, 0.1), ("20 ppm", "40 ppm", 0.1), (None, "40 ppm", 0.2),
    (None, "30 mohm", 0.03), ("included", "40 ppm", None),
    ("none, because it was made last week", "40 ppm", None), (None, "included", None)])
def test_a_box_drifts_as_its_value_or_as_all_of_it(of_value, of_all, ohms, tmp_path):
    """What a value says of its own drift rules over what is said of all; 20 ppm of 5 kΩ are 0.1 Ω.
    Where it is said that there is nothing to add, there is no line."""
    value = ["5 kohm", "5 kohm", "0.1 ohm", *([of_value] if of_value else [])]
    found = lines_of(of_box(tmp_path, *value, drift=of_all or "included"))
    assert found.get("Auk box, its drift") == (None if ohms is None
                                               else (pytest.approx(ohms), 1))


@pytest.mark.parametrize("drift, amperes", [("0.1 %", 0.054), ("30 mA", 0.03), ("included", None)])
def test_a_coil_drifts_with_what_comes_out_of_it(drift, amperes, tmp_path):
    """0.1 % of 54 A, which are 50 turns of 1.08 A."""
    by = [standard({"AC current": {"values": "0 A to 2 A", "frequency": "40 Hz to 1 kHz"}}),
          coil(drift=drift)]
    found = lines_of(only_point(tmp_path, AMPS, {"apply": "54 A", "frequency": "50 Hz"}, by))
    assert found.get("Scoter coil, its drift") == (None if amperes is None
                                                   else (pytest.approx(amperes), 1))


# ---------------------------------------------------------------- degrees of freedom

@pytest.mark.parametrize("stated, k, degrees", [
    ("k = 2.87, 4 degrees of freedom", 2.87, 4), ("k = 2.13, 20 degrees of freedom", 2.13, 20),
    ("k=13.97 1 degree of freedom", 13.97, 1), ("k = 2", 2, math.inf)])
def test_degrees_of_freedom_beside_k(stated, k, degrees, tmp_path):
    """The certificate's own go into ν_eff of the point by Welch–Satterthwaite, and k grows by
    Student's t for that; by GTC, and by SciPy for t."""
    found = of_box(tmp_path, "5 kohm", "5 kohm", "2 ohm", stated=stated, drift="1 ohm")
    sure = found.sure
    total = (GTC.ureal(0, 2 / k, degrees) + GTC.ureal(0, GTC.type_b.uniform(1))
             + GTC.ureal(0, GTC.type_b.uniform(lines_of(found)[LEFT][0]))
             + GTC.ureal(0, GTC.type_b.uniform(0.5)))
    assert sure.uncertainty.u == pytest.approx(GTC.uncertainty(total), rel=1e-12)
    if degrees == math.inf:
        assert sure.uncertainty.degrees == math.inf
        return
    assert sure.uncertainty.degrees == math.floor(float(f"{GTC.dof(total):.3g}"))
    without = of_box(tmp_path / "without", "5 kohm", "5 kohm", "2 ohm", stated=f"k = {k}",
                     drift="1 ohm").sure.uncertainty
    student = stats.t.ppf((1 + 0.9545) / 2, sure.uncertainty.degrees)
    assert sure.uncertainty.k == pytest.approx(
        without.k * student / stats.norm.ppf((1 + 0.9545) / 2), rel=1e-7)


def test_a_value_of_a_box_may_be_stated_in_its_own_way(tmp_path):
    """What stands at the value rules over what stands at all of them, and that over the file's."""
    made = box(("5 kohm", "5 kohm", "0.1 ohm"), stated="k = 2")
    made["artifacts"][0]["stated"] = "k = 3"
    first = only_point(tmp_path / "all", OHMS, KILO, [made], leads=LEADS).sure.components[0]
    made["artifacts"][0]["values"][0]["stated"] = "k = 2.87, 4 degrees of freedom"
    second = only_point(tmp_path / "one", OHMS, KILO, [made], leads=LEADS).sure.components[0]
    assert [(one.divisor, one.degrees) for one in (first, second)] == [(3, math.inf), (2.87, 4)]


# ---------------------------------------------------------------- temperature

@pytest.mark.parametrize("coefficient, at, ambient, degrees, ohms", [
    ("5 ppm per degC", "23 degC", None, "5", 0.125), ("5 ppm/°C", "20 degC", None, "8", 0.2),
    ("5 ppm per degC", "23 degC", "21 to 24 degC", "2", 0.05),
    ("2 mohm per degC", "23 degC", None, "5", 0.01),
    ("10 ppm + 1 mohm per degC", "73.4 degF", None, "5", 0.255)])
def test_the_temperature_of_a_box(coefficient, at, ambient, degrees, ohms, tmp_path):
    """The coefficient times the most degrees from that of the certificate that the sheet allows:
    from 23 to 18 or 28 °C are 5, of 5 ppm of 5 kΩ each."""
    found = of_box(tmp_path, "5 kohm", "5 kohm", "0.1 ohm", temperature_coefficient=coefficient,
                   certified_at=at, plan={"ambient": ambient} if ambient else {})
    assert list(lines_of(found)) == [
        "Auk box, its accuracy",
        f"Auk box, its temperature, up to {degrees}{NARROW}°C from that of its certificate", LEFT,
        DISPLAY]
    part = found.sure.components[1]
    assert part.value == pytest.approx(ohms, rel=1e-12) and part.distribution == "rectangular"


def test_the_temperature_of_a_box_of_capacitors(tmp_path):
    """30 ppm of what is certified, 10.024 nF, each degree."""
    one = function("capacitance", range_("60 nF", "10 pF", "3 % + 20 counts"))
    made = box(("10 nF", "10.024 nF", "2 pF"), what="capacitance")
    made["artifacts"][0] |= {"temperature_coefficient": "30 ppm per degC",
                             "certified_at": "23 degC"}
    found = only_point(tmp_path, one, {"apply": "10 nF"}, [made], leads=LEADS)
    assert found.sure.components[1].value == pytest.approx(30e-6 * 10.024e-9 * 5, rel=1e-12)
