"""What a data sheet says beside a plain sum of terms, on a sheet: limits on both sides, typical
rows, additions and coefficients of functions and rows."""

from fractions import Fraction as F

import pytest

from builder.formats.sheet_data import SheetData
from tests.small_shop import (codes, function, load_points, load_with, meter, only_problem, plan,
                              range_, row, standard, the_procedure)

LEANING = function("AC voltage", range_("6 V", "1 mV", [row(
    "+(1 % + 2 counts) -(6 % + 5 counts)", frequency="40 Hz to 400 Hz")], lowest="0.3 V"))
TYPICAL = function("AC voltage", range_("6 V", "1 mV", [
    row("1 % + 3 counts", frequency="40 Hz to 1 kHz"),
    {"frequency": "1 kHz to 5 kHz", "typical": "3 % + 10 counts"}], lowest="0.3 V"))
AT = {"apply": "3 V", "frequency": "100 Hz"}
GUARDED = {"decision_rule": "guard band of U", "in_tolerance": "95 %"}


def test_a_point_with_a_tolerance_up_and_one_down(tmp_path):
    """3 V: 32 mV up and 185 mV down, on paper and in the data, which check themselves."""
    made = the_procedure(load_points(tmp_path, LEANING, AT))
    (point,) = made.points
    assert (point.accept_from, point.accept_to) == ("2.815", "3.032")
    assert point.tolerance == "+0.032 −0.185"
    data = SheetData.model_validate(made.data)
    (found,) = data.points
    assert (found.slope, found.offset, found.tolerance) == (None, None, None)
    assert (found.above.slope, found.above.offset.text, found.above.tolerance.text) == (
        F("0.01"), "0.002 V", "0.032 V")
    assert (found.below.slope, found.below.offset.text) == (F("0.06"), "0.005 V")
    assert found.tolerance_at(F(3)).half_span == F("0.1085")
    spoilt = made.data["points"][0] | {"above": None}
    with pytest.raises(ValueError):
        type(found).model_validate(spoilt)


def test_a_guard_band_is_taken_of_the_smaller_tolerance(tmp_path):
    """The same w off both limits, and none left where it is more than the smaller one; the test
    uncertainty ratio is of half of what lies between them."""
    (point,) = the_procedure(load_points(tmp_path / "a", LEANING, AT, plan_more=GUARDED)).points
    w, sure = F(f"{point.sure.guard:.12g}"), point.sure
    assert 0 < w < F("0.032")
    low, high = F("2.815") + w, F("3.032") - w
    assert point.sure.accept.low * F("0.001") >= low > (point.sure.accept.low - 1) * F("0.001")
    assert point.sure.accept.high * F("0.001") <= high < (point.sure.accept.high + 1) * F("0.001")
    assert sure.tur == pytest.approx(0.1085 / sure.uncertainty.expanded)
    (shown,) = the_procedure(load_points(tmp_path / "a", LEANING, AT, plan_more=GUARDED)
                             ).evidence.functions
    worked = " ".join(shown.worked).replace("\u202f", " ").replace("\u00a0", " ")
    assert "T = +0.032 −0.185 V" in worked and "of the smaller of the two tolerances" in worked
    assert "TUR = half of the span from limit to limit over U" in worked and "±(T" not in worked
    coarse = standard({"AC voltage": {"values": "0 V to 10 V", "within": "2 %",
                                      "frequency": "10 Hz to 2 kHz"}})
    (none,) = the_procedure(load_points(tmp_path / "b", LEANING, AT, standard_file=coarse,
                                        plan_more=GUARDED)).points
    assert none.sure.accept is None and none.sure.guard > 0.032


def test_a_typical_row_is_written_down(tmp_path):
    """No limit, the word and the figure on the sheet; the completeness table asks for no point."""
    made = the_procedure(load_points(tmp_path, TYPICAL, {"apply": "3 V", "frequency":
                                                         ["100 Hz", "2 kHz"]}))
    judged, written = made.points
    assert judged.planned.judged and written.planned.judged is None
    assert str(written.observe).replace("\u00a0", " ") == (
        "typical 1 to 5 kHz: ±(3 % + 10 counts): write the reading down, it has no limits")
    data = made.data["points"]
    assert [one["kind"] for one in data] == ["source", "observation"]


def test_a_typical_row_needs_no_point(tmp_path):
    """No plan forgets it, and the completeness table says why it has none."""
    shop = load_with(tmp_path, meter(TYPICAL), plan({"function": "AC voltage"} | AT), standard())
    assert codes(shop) == []
    assert [one.because for one in the_procedure(shop).completeness if one.why] == [
        "typical: gives no limit"]


@pytest.mark.parametrize("ambient, coefficients, limits", [
    # 3 V ± (12 + 2) mV; two degrees above, one of 0.1: 1.2 times, 16.8 mV
    ("30 to 33 degC", {}, ("2.984", "3.016")),
    # 2 × (0.3 + 1) mV more than 14 mV
    ("30 to 33 degC", {"temperature_coefficient": "0.01 % of reading + 1 count per degC"},
     ("2.984", "3.016")),
    ("30 to 33 degC", {"temperature_coefficient": {"above": "0.5 per degC"}}, ("2.972", "3.028")),
    ("10 to 15 degC", {"temperature_coefficient": {"above": "0.5 per degC",
                                                   "below": "5 % of the accuracy per degC"}},
     ("2.984", "3.016")),
    ("10 to 15 degC", {"temperature_coefficient": {"above": "0.5 per degC"}}, None),
    ("30 to 33 degC", {"temperature_coefficient": "none"}, None)])
def test_a_function_has_a_coefficient_of_its_own(ambient, coefficients, limits, tmp_path):
    """In place of the meter's, on one side or both, as a fraction or as terms; what states none has
    no limits there."""
    one = function("DC voltage", range_("6 V", "1 mV", "0.4 % + 2 counts"), **coefficients)
    shop = load_points(tmp_path, one, {"apply": "3 V"}, plan_more={"ambient": ambient},
                       specification={"source": "x", "holds": "18 to 28 degC",
                                      "temperature_coefficient": "0.1 per degC"})
    if limits is None:
        assert only_problem(shop).code in ("ambient", "no-coefficient")
        return
    made = the_procedure(shop)
    (point,) = made.points
    assert (point.accept_from, point.accept_to) == limits
    assert ("its own temperature coefficient" in made.growth) is bool(coefficients)


def test_a_crest_factor_counts_for_a_wave(tmp_path):
    """A triangle has √3, between 1.5 and 2: what to look for is wider by 2 % of 2 V than without
    the addition, and the sine beside it isn't."""
    waves = standard({}, outputs=[{"output": "AC voltage", "wave": wave, "terminals": ["HI", "LO"],
                                   "rows": [{"values": "0 V to 10 V", "within": "1 %",
                                             "frequency": "10 Hz to 2 kHz"}]}
                                  for wave in ("sine", "triangle")])
    table = range_("6 V", "1 mV", [row("1 %", frequency="40 Hz to 1 kHz")], lowest="0.3 V")
    said = []
    for n, more in enumerate(({}, {"additions": [{"add": "2 %", "crest_factor": "1.5 to 2"}]})):
        made = the_procedure(load_points(
            tmp_path / str(n), function("AC voltage", table, **more),
            {"apply": "2 V", "frequency": "50 Hz", "wave": "triangle"},
            {"apply": "2.5 V", "frequency": "50 Hz"}, standard_file=waves))
        sine = next(p for p in made.points if p.planned.judged)
        assert (sine.accept_from, sine.accept_to) == ("2.475", "2.525")
        said.append(next(str(p.observe) for p in made.points if not p.planned.judged))
    assert "2.020" in said[0] and "2.060" in said[1]


@pytest.mark.parametrize("humidity, limits", [(None, ("2.970", "3.030")),
                                              ("60 to 85 %", ("2.970", "3.030")),
                                              ("80 to 85 %", ("2.940", "3.060"))])
def test_an_addition_above_a_humidity(humidity, limits, tmp_path):
    """Only where all of the sheet's humidities lie above it: the tightest limits of the band
    hold."""
    one = function("DC voltage", range_("6 V", "1 mV", "1 %"),
                   additions=[{"add": "1 %", "humidity": "above 75 %"}])
    (point,) = the_procedure(load_points(
        tmp_path, one, {"apply": "3 V"}, plan_more={"humidity": humidity} if humidity else {},
        specification={"source": "x", "holds": "18 to 28 degC", "humidity": "0 to 90 %"})).points
    assert (point.accept_from, point.accept_to) == limits
