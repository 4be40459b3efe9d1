"""A meter's page: what its file says of temperatures, in words."""

import re

import pytest

from builder.pages import render
from tests.small_shop import function, load, meter, range_

ROWS = [{"frequency": "40 Hz to 400 Hz", "within": "1 % + 3 counts"},
        {"frequency": "400 Hz to 1 kHz", "within": "2 % + 3 counts",
         "temperature_coefficient": "0.05 % of reading + 0.5 count per degC"}]


@pytest.mark.parametrize("at, stated, expected", [
    ("specification", "0.1 per degC", "Beyond that temperature it grows: 0.1 per degC."),
    ("specification", {"below": "0.2 per degC", "above": "0.1 per degC"},
     "it grows: 0.2 per degC below it; 0.1 per degC above it."),
    ("function", "none", "beyond its temperature not stated"),
    ("row", None, "row 2 of the file, beyond its temperature 0.05 % of reading + 0.5 count per "
                  "degC")])
def test_temperature_coefficients(at, stated, expected, tmp_path):
    """Of the meter, a function and a row, each where it holds; and none where nothing is said."""
    volts = function("AC voltage", range_("6 V", "1 mV", ROWS if at == "row" else ROWS[:1]))
    made = meter(volts)
    given = {"specification": made["specification"], "function": made["functions"][0]}.get(at)
    if given is not None:
        given["temperature_coefficient"] = stated
    shop = load(tmp_path, made)
    assert not shop.errors, "\n".join(map(str, shop.errors))
    page = " ".join(re.sub(r"<[^>]+>", " ", next(
        text for name, text in render.render(shop).pages.items() if name.startswith("meters/")
    )).replace("\u00a0", " ").split())
    assert expected in page
    assert page.count("beyond its temperature") == (at != "specification")
