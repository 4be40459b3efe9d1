"""A reading beside the limits of any value: within or not, by the counts that the limits accept."""

from fractions import Fraction as F

import pytest

from builder.files.problems import Wrong
from builder.numbers import units
from builder.shop import contents, quick_answer, quick_reading
from tests.shop.test_quick_answer import shop  # noqa: F401, a fixture


def said(shop, function: str, value: str, typed: str, *more: str) -> str:  # noqa: F811
    _, *judged = quick_answer.answer(contents.functions(shop, "lapwing-1"), function, value, *more)
    line, is_within = quick_reading.said(*judged, typed)
    assert is_within == ("not within" not in line)
    return line.replace("\u00a0", " ")


@pytest.mark.parametrize("function, value, typed, line", [
    ("DC voltage", "3 V", "3.001",
     "3.001 V is within the limits: +0.001 V, +1 count, +7.1 % of the tolerance"),
    ("DC voltage", "3 V", "2.986 V",
     "2.986 V is within the limits: −0.014 V, −14 counts, −100.0 % of the tolerance"),
    ("DC voltage", "3 V", "2.985",
     "2.985 V is not within the limits: −0.015 V, −15 counts, −107.1 % of the tolerance"),
    ("DC voltage", "-3 V", "-3", "−3.000 V is within the limits: 0.000 V, 0 counts, 0.0 % of the "
     "tolerance"),
    # the error of a value between two counts
    ("DC voltage", "3.0005 V", "3.000", "3.000 V is within the limits: −0.0005 V, −0.5 counts, "
     "−3.6 % of the tolerance"),
    ("DC voltage", "3 V", "OL", "overload is not within the limits"),
    # clamped at 0: what the display can show is 0.0 to 0.3
    ("resistance", "0 ohm", "0.3", "0.3 Ω is within the limits: +0.3 Ω, +3 counts, +100.0 % of "
     "the tolerance"),
])
def test_the_verdict_and_the_error(function, value, typed, line, shop):  # noqa: F811
    """Worked out by hand: T is 14 mV at 3 V, 0.3 Ω at 0 Ω."""
    assert said(shop, function, value, typed) == line


@pytest.mark.parametrize("function, value, typed, why", [
    ("DC voltage", "3 V", "3.0012", "4 decimals"),
    ("DC voltage", "3 V", "3001 mV", "another range"),
    ("DC voltage", "3 V", "x", "no number"), ("DC voltage", "3 V", "", "no reading"),
    ("DC voltage", "3 V", "7", "this range ends at 5.999"),
    ("resistance", "100 ohm", "-1", "shows no minus"), ("coarse", "100 degF", "100.3", "steps"),
])
def test_what_the_display_cannot_show_is_refused(function, value, typed, why, shop):  # noqa: F811
    """Such a reading comes from another range, or a digit is mistyped: it gets no verdict."""
    with pytest.raises(Wrong) as caught:
        said(shop, function, value, typed)
    assert why in caught.value.sentence.replace("\u00a0", " ")


def test_every_reading_near_the_limits_against_the_definition(shop):  # noqa: F811
    """Within is what differs from the value by no more than the tolerance; by brute force over
    the counts on both sides, for several values, by hand and warmed."""
    view = shop.functions["lapwing-1"]["DC voltage"]
    for value, on, ambient, tolerance in (
            ("3 V", None, None, F("0.014")), ("-3 V", None, None, F("0.014")),
            ("0.2 V", "6 V", None, F("0.0028")), ("3 V", None, "30 degC", F("0.014") * F("1.2"))):
        exact = units.quantity(value).value
        seen = set()
        for counts in range(int(exact * 1000) - 30, int(exact * 1000) + 31):
            typed = units.decimal_text(F(counts, 1000), 3)
            line = said(shop, view.title, value, typed, None, on, ambient)
            assert ("is within" in line) == (abs(F(counts, 1000) - exact) <= tolerance), line
            seen.add("is within" in line)
        assert seen == {True, False}
