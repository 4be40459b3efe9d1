"""The picture of an accuracy table: each row where its numbers are, in decades."""

import re
from xml.etree import ElementTree

import pytest

from builder.drawing.accuracy_lines import (AccuracyLine, Decades, accuracy_picture,
                                            in_decade)


def line(low: float, high: float, slope: float, offset: float, holds: str = "",
         name: str = "6 V") -> AccuracyLine:
    return AccuracyLine(range=name, low=low, high=high, slope=slope, offset=offset, holds=holds)


def drawn(*lines: AccuracyLine) -> ElementTree.Element:
    return ElementTree.fromstring(accuracy_picture("DC voltage", lines, "V"))


def curves(picture: ElementTree.Element) -> list[list[tuple[float, float]]]:
    return [[(float(x), float(y)) for x, y in re.findall(r"([\d.]+) ([\d.]+)", one.get("d"))]
            for one in picture.iter("path")]


@pytest.mark.parametrize("power, unit, text", [
    (0, "V", "1 V"), (-1, "V", "100 mV"), (-2, "V", "10 mV"), (-3, "V", "1 mV"), (4, "Ω", "10 kΩ"),
    (8, "Ω", "100 MΩ"), (-8, "F", "10 nF"), (-13, "F", "0.1 pF"), (2, "°C", "100 °C"),
    (-1, "%", "0.1 %"), (-2, "°C", "0.01 °C"), (1, "%", "10 %"), (10, "Hz", "10 GHz"),
])
def test_a_decade_is_named_with_its_prefix(power, unit, text):
    """As people write it; degrees and percent have no prefix."""
    assert in_decade(power, unit).replace("\u00a0", " ") == text


def test_a_place_on_an_axis_goes_by_the_logarithm():
    """Each decade is as wide as the next, and nothing leaves the axis."""
    axis = Decades(-2, 1, 0.0, 300.0)
    assert [round(axis.place(value), 6) for value in (0.01, 0.1, 1, 10)] == [0, 100, 200, 300]
    assert axis.place(1000) == 300 and axis.place(1e-9) == 0


def test_a_row_ten_times_too_large_stands_a_decade_apart():
    """Of two rows alike, and of two with a slip by ten, the distance at the top: none, and as much
    as between two lines of the decades."""
    for factor, decades in ((1, 0.0), (10, 1.0), (0.1, -1.0)):
        picture = drawn(line(0.6, 6, 0.004, 0.002), line(0.6, 6, 0.004 * factor, 0.002 * factor),
                        line(6, 60, 0.004, 0.02, name="60 V"))
        first, second, _ = curves(picture)
        across = sorted({float(one.get("y1")) for one in picture.iter("line")
                         if one.get("y1") == one.get("y2")})
        decade = across[1] - across[0]
        assert first[-1][0] == second[-1][0]
        assert first[-1][1] - second[-1][1] == pytest.approx(decades * decade, abs=0.2)


def test_the_lines_go_through_their_tolerances():
    """Both ends and a place between, worked out here from slope and offset."""
    import math
    (found,) = curves(drawn(line(0.1, 10, 0.01, 0.01)))
    assert len(found) == 13
    # x from 0.1 to 10 takes the whole width; T from 0.011 to 0.11 lies between 0.01 and 1
    assert found[0][0] == 58 and found[-1][0] == 344
    for (x, y), value in ((found[0], 0.1), (found[6], 1.0), (found[-1], 10.0)):
        tolerance = 0.01 * value + 0.01
        assert x == pytest.approx(58 + 286 * (math.log10(value) + 1) / 2, abs=0.1)
        assert y == pytest.approx(204 - 180 * (math.log10(tolerance) + 2) / 2, abs=0.1)


def test_rows_are_told_apart_by_dashes_with_a_legend():
    """Never by a colour; each kind of dash once, with what it holds for."""
    picture = drawn(line(1, 6, 0.01, 0.01, "40 to 400 Hz"), line(1, 6, 0.02, 0.01, "0.4 to 1 kHz"),
                    line(6, 60, 0.01, 0.1, "40 to 400 Hz", "60 V"))
    dashes = [one.get("stroke-dasharray") for one in picture.iter("path")]
    assert dashes[0] == dashes[2] != dashes[1]
    texts = [one.text for one in picture.iter("text")]
    assert texts[-2:] == ["40 to 400 Hz", "0.4 to 1 kHz"]
    assert all(one.get("stroke", "currentColor") == "currentColor" for one in picture.iter())


def test_it_says_what_it_shows():
    """To those who don't see it; without a line there is none."""
    spoken = drawn(line(1, 6, 0.01, 0.06)).get("aria-label")
    assert spoken == ("Tolerance over value of DC voltage, both in decades: 1 range; at their tops "
                      "from 2 to 2 percent of the value.")
    assert accuracy_picture("continuity", [], "Ω") == ""


def test_names_of_ranges_keep_apart():
    """Where two end close to each other the second is left out, rather than written over it."""
    picture = drawn(*(line(1, high, 0.01, 0.01, name=f"{high:g} V") for high in (6, 60, 600, 750)))
    names = [one.text for one in picture.iter("text") if one.get("y") == "16"]
    assert names == ["6 V", "60 V", "600 V"]
