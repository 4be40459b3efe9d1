"""A standard's page: what its file says of the certificate, in words."""

import re

import pytest

from builder.pages import render
from tests.small_shop import box, coil, load, meter, function, range_, standard

OHMS = function("resistance", range_("6 kohm", "1 ohm", "0.7 % + 2 counts"))


def page_of(folder, by: dict) -> str:
    """The page of a standard as plain words."""
    shop = load(folder, meter(OHMS), others={f"standards/{by['standard']}.yaml": by})
    assert not shop.errors, "\n".join(map(str, shop.errors))
    page = render.render(shop).pages[f"standards/{by['standard']}.md"]
    assert page.startswith("---\ntitle: ")
    return " ".join(re.sub(r"<[^>]+>", " ", page).replace("\u00a0", " ").split())


@pytest.mark.parametrize("value, more, expected", [
    ("20 ppm", {}, "±(0.1 Ohm) ; drift ±(20 ppm)"),
    ("included", {}, "; drift included"),
    ("none, because it is new", {}, "; drift none, because it is new"),
    ("20 ppm", {"drift": "30 ppm"}, "Resistance; drift ±(30 ppm)."),
    ("20 ppm", {"temperature_coefficient": "5 ppm per degC", "certified_at": "23 degC"},
     "certified at 23 °C, ±(5 ppm) per °C from there.")])
def test_a_box(value, more, expected, tmp_path):
    """Its drift, of all or of a value, and its temperature."""
    made = box(("5 kohm", "5 kohm", "0.1 Ohm", value))
    made["artifacts"][0] |= more
    assert expected.replace(" ;", ";") in page_of(tmp_path, made).replace(" ;", ";")


def test_a_box_of_capacitors_says_its_method(tmp_path):
    """And what a meter of another one may be off."""
    made = box(("10 nF", "10 nF", "2 pF"), what="capacitance")
    made["artifacts"][0] |= {"method": "100 Hz", "other_method": "0.5 %"}
    assert "certified at 100 Hz, other methods ±(0.5 %)." in page_of(tmp_path, made)


def test_a_coil_says_its_drift(tmp_path):
    """Beside what it adds."""
    assert "together ±(0.4 %); drift ±(0.1 %)." in page_of(tmp_path, coil(drift="0.1 %"))


@pytest.mark.parametrize("use, words", [
    ("applied", "applied, so that limits stand around what it really is"),
    ("stated", "stated, as a component of the budget")])
def test_what_the_certificate_says_at_points(use, words, tmp_path):
    """A table of its lines, and what becomes of them."""
    by = standard()
    by["outputs"][0]["corrections"] = {
        "use": use, "drift": "20 ppm", "between": "straight line", "between_within": "5 uV",
        "values": [{"at": "1 V", "actual": "1.00002 V", "within": "5 uV"},
                   {"at": "10 V", "error": "-30 uV", "within": "30 uV",
                    "stated": "k = 2.13, 15 degrees of freedom"}]}
    page = page_of(tmp_path, by)
    assert (f"DC voltage: {words}; between two values on a straight line, ±(5 µV); drift "
            "±(20 ppm).") in page
    assert "1 V really 1.00002 V ±(5 µV)" in page
    assert "10 V error −30 µV ±(30 µV), k = 2.13, 15 degrees of freedom" in page
    assert "What its certificate says at points" not in page_of(tmp_path / "none", standard())
