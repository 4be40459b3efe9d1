"""What a standard's file says of its certificates: what is refused, and what is asked about."""

import pytest

from tests.small_shop import (box, coil, function, load_points, only_problem, range_, row,
                              standard, the_procedure)

OHMS = function("resistance", range_("6 kohm", "1 ohm", "0.7 % + 2 counts"))
LEADS = {"length": "1 m", "conductor": "0.75 mm2", "contacts": "40 mohm", "repeats": "10 mohm"}
VALUE = ("5 kohm", "5 kohm", "0.1 ohm")


def shop_of(folder, *value: str, **more):
    """A shop with a box of one value; `more` are keys of what it holds, None for none."""
    made = box(value or VALUE)
    held = made["artifacts"][0] | more
    made["artifacts"] = [{key: one for key, one in held.items() if one is not None}]
    return load_points(folder, OHMS, {"apply": "5 kohm"}, standards=[made],
                       plan_more={"leads": LEADS})


def asked_about_drift(shop) -> bool:
    """Whether the only warning is about drift."""
    the_procedure(shop)
    assert [one.code for one in shop.problems] in ([], ["drift"])
    return bool(shop.problems)


@pytest.mark.parametrize("of_values, of_all, asks", [
    ([None], None, True), (["10 ppm"], None, False), (["included"], None, False),
    (["10 ppm", None], None, True), (["10 ppm", None], "included", False),
    ([None], "none, because it was made last week", False)])
def test_a_box_says_what_it_drifts(of_values, of_all, asks, tmp_path):
    """For each value, or for all of them; else there is a warning with what to write."""
    made = box(*[(f"{5 + n} kohm", f"{5 + n} kohm", "0.1 ohm", *([one] if one else []))
                 for n, one in enumerate(of_values)])
    made["artifacts"][0].pop("drift")
    made["artifacts"][0] |= {"drift": of_all} if of_all else {}
    shop = load_points(tmp_path, OHMS, {"apply": "5 kohm"}, standards=[made],
                       plan_more={"leads": LEADS})
    assert asked_about_drift(shop) == asks
    for one in shop.problems:
        assert one.place.file.endswith("auk-box.yaml") and "'drift: included'" in one.hint


@pytest.mark.parametrize("drift, asks", [({}, True), ({"drift": "0.1 %"}, False),
                                         ({"drift": "included"}, False)])
def test_a_coil_says_what_it_drifts(drift, asks, tmp_path):
    """As a box does."""
    amps = {"function": "AC current", "clamp": "yes", "ranges": [
        range_("60 A", "10 mA", [row("1.8 % + 5 counts", frequency="45 Hz to 1 kHz")],
               lowest="3 A")]}
    wound = coil()
    wound["coil"].pop("drift")
    wound["coil"] |= drift
    shop = load_points(tmp_path, amps, {"apply": "54 A", "frequency": "50 Hz"},
                       standards=[standard(), wound])
    assert asked_about_drift(shop) == asks


@pytest.mark.parametrize("change, code, said", [
    ({"drift": "none"}, "value", "gives no reason"),
    ({"drift": "none, because"}, "value", "gives no reason"),
    ({"drift": "unknown"}, "value", ""), ({"drift": "3 V"}, "unit", "voltage"),
    ({"drift": "2 counts"}, "unit", "percent or ppm"),
    ({"stated": "k = 2, 0 degrees of freedom"}, "value", "above zero"),
    ({"stated": "k = 2, some degrees of freedom"}, "value", "doesn't say how"),
    ({"stated": "95 %, 15 degrees of freedom"}, "value", "doesn't say how"),
    ({"temperature_coefficient": "5 ppm per degC"}, "missing", "go together"),
    ({"certified_at": "23 degC"}, "missing", "go together"),
    ({"temperature_coefficient": "5 ppm", "certified_at": "23 degC"}, "value", "per degree"),
    ({"temperature_coefficient": "5 ppm per degF", "certified_at": "23 degC"}, "value",
     "per degree"),
    ({"temperature_coefficient": "5 V per degC", "certified_at": "23 degC"}, "unit", "voltage"),
    ({"temperature_coefficient": "5 ppm per degC", "certified_at": "23 V"}, "unit", "voltage")])
def test_what_no_certificate_says(change, code, said, tmp_path):
    """Each with its place and what was found."""
    problem = only_problem(shop_of(tmp_path, **change))
    assert (problem.code, problem.place.file) == (code, "procedures/standards/auk-box.yaml")
    assert said in problem.sentence, problem.sentence
