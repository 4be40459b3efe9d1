"""The chart of a check: a sign for each reading, at its place."""

import xml.etree.ElementTree as ET

from builder.drawing.check_chart import MOST_SHOWN, ChartSpot, check_chart


def drawn(*spots):
    return ET.fromstring(check_chart("10 V", spots))


def test_each_reading_has_its_sign():
    """A circle, a diamond for what is void, a cross for an alarm, an arrow off the picture; one of
    each but the last in the legend."""
    svg = drawn(ChartSpot("2026-03-01", 1.0), ChartSpot("2026-03-02", 2.0, void=True),
                ChartSpot("2026-03-03", 4.0, alarm=True), ChartSpot("2026-03-04", -9.0, alarm=True))
    kinds = [one.get("class") for one in svg.iter()]
    assert kinds.count("left") == 2 and kinds.count("at-outside") == 2
    assert kinds.count("at-inside") == 2 and kinds.count("at-below") == 1
    assert svg.get("aria-label") == ("10 V: 4 readings from 2026-03-01 to 2026-03-04 about their "
                                     "mean; 2 with an alarm.")


def test_the_last_readings_are_shown():
    svg = drawn(*(ChartSpot(f"d{n}", 0.0) for n in range(200)))
    assert f"{MOST_SHOWN} readings from d110 to d199" in svg.get("aria-label")
    assert check_chart("10 V", []) == ""
