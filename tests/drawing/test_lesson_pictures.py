"""The pictures of the lessons: one colour, letters that can be read on a phone, words for those who
can't see, true to scale."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as xml
from itertools import pairwise

import pytest

from builder.drawing import lesson_readings, lesson_safety, lesson_tolerances
from builder.lessons import pictures, tags
from tests.conftest import ROOT

TAGS = [(path.stem, match) for path in sorted((ROOT / "site_src/lessons").glob("*.md"))
        for match in re.findall(r"\{picture:([^{}]*)\}", path.read_text(encoding="utf-8"))]


SIGNS = ("tol", "mid", "limit", "sure", "at-inside", "at-outside", "left", "display", "digits")


@pytest.fixture(scope="module")
def shop(demo_shop):
    return demo_shop


@pytest.fixture(params=TAGS, ids=lambda tag: f"{tag[0]}:{tag[1].split(',')[0].strip()}")
def drawn(request, shop) -> str:
    return pictures.picture(shop, tags.parse(request.param[1]))


def parts(svg: str, tag: str) -> list[xml.Element]:
    return list(xml.fromstring(svg).iter(tag))


def numbers(text: str) -> list[float]:
    return [float(number) for number in re.findall(r"-?\d+\.?\d*", text)]


def test_a_picture_is_sound_and_says_what_it_shows(drawn):
    """Well formed, on one line (Markdown ends a block at an empty one), with a role and words."""
    root = xml.fromstring(drawn)
    assert "\n" not in drawn
    assert root.get("role") == "img" and len(root.get("aria-label")) > 40
    assert root.get("viewBox").startswith("0 0 340 ")


def test_a_picture_has_the_colour_of_its_text(drawn):
    """Black on white on paper, white on black at night: nothing but currentColor, tints of it, and
    the signs that all pictures share."""
    for element in xml.fromstring(drawn).iter():
        for name in ("fill", "stroke"):
            assert element.get(name) in (None, "none", "currentColor"), element.attrib
        assert element.get("style") is None and element.get("class") in (
            None, "lesson", *SIGNS)


def test_letters_are_large_enough(drawn):
    """A picture is 340 wide and shown at 328 on a phone of 360 px; 10 there is 9.6, and no smaller
    ones."""
    for text in parts(drawn, "text"):
        assert float(text.get("font-size")) >= 10


def test_lines_are_thick_enough_for_paper(drawn):
    """82 mm for 340: half a unit is 0.12 mm, a hair line of a laser printer."""
    for element in xml.fromstring(drawn).iter():
        assert float(element.get("stroke-width", 1)) >= 0.5


@pytest.mark.browser
def test_no_text_runs_out_or_over_another(tab, demo):
    """In Chromium at 360 px: each text lies inside its picture and clear of every other."""
    phone = tab(viewport={"width": 360, "height": 740}, is_mobile=True)
    found = {}
    for name in sorted({name for name, _ in TAGS}):
        phone.goto((demo.site / f"lessons/{name}.html").as_uri())
        found[name] = phone.evaluate("""() => {
            const svgs = [...document.querySelectorAll('svg.lesson')];
            return svgs.flatMap(svg => {
                const [, , wide, high] = svg.getAttribute('viewBox').split(' ').map(Number);
                const texts = [...svg.querySelectorAll('text')].filter(t => t.textContent);
                const boxes = texts.map(t => {
                    const b = t.getBBox();
                    return {text: t.textContent, x: b.x, y: b.y + b.height * .18,
                            right: b.x + b.width, bottom: b.y + b.height * .85};
                });
                const out = boxes.filter(b => b.x < -.5 || b.right > wide + .5
                                              || b.y < -.5 || b.bottom > high + .5)
                                 .map(b => b.text + ' runs out');
                const meet = (a, b) => a.x < b.right - 1 && b.x < a.right - 1
                                       && a.y < b.bottom - 1 && b.y < a.bottom - 1;
                boxes.forEach((a, i) => boxes.slice(i + 1).forEach(b => {
                    if (meet(a, b)) out.push(a.text + ' / ' + b.text);
                }));
                return out;
            });
        }""")
    assert {name: wrong for name, wrong in found.items() if wrong} == {}


# ---------------------------------------------------------------- to scale

def test_the_band_has_a_dot_for_each_accepted_reading(shop):
    """2.996 to 3.004 V in steps of a millivolt are nine readings; three more stand outside on
    either side, as crosses outside of the band."""
    svg = pictures.picture(shop, tags.parse("accepted band, whimbrel-200, DC voltage, 3 V"))
    dots = [float(dot.get("cx")) for dot in parts(svg, "circle")]
    crosses = [sum(numbers(cross.get("d"))[::2]) / 4 for cross in parts(svg, "path")
               if cross.get("class") == "at-outside"]
    assert len(dots) == 9 and len(crosses) == 6
    places = sorted(dots + crosses)
    assert {round(b - a) for a, b in pairwise(places)} == {round(places[1] - places[0])}
    band, = (box for box in parts(svg, "rect") if box.get("class") == "tol")
    left = float(band.get("x"))
    right = left + float(band.get("width"))
    assert [left < x < right for x in places] == [False] * 3 + [True] * 9 + [False] * 3


def test_the_line_of_a_tolerance_starts_at_its_counts():
    """The dashed line lies where the tolerance is the fixed part: three thirteenths of the height
    here."""
    svg = lesson_tolerances.tolerance_line("20 V", (20, "20 V"), (3, "0.003 V"), (13, "0.013 V"),
                                           "0 V")
    thick = next(line for line in parts(svg, "line") if line.get("stroke-width") == "2")
    start, end = float(thick.get("y1")), float(thick.get("y2"))
    bottom = 160
    assert (bottom - start) / (bottom - end) == pytest.approx(3 / 13, abs=0.01)


def test_the_doubt_is_drawn_as_large_as_the_ratio_says():
    """At 4:1 a quarter of the half-width to either side of each limit, at 1:1 all of it."""
    svg = lesson_readings.ratios([("4:1", 4.0), ("1:1", 1.0)])
    tolerance = {float(box.get("width")) for box in parts(svg, "rect")}.pop()
    bars = [float(line.get("x2")) - float(line.get("x1")) for line in parts(svg, "line")]
    assert bars == [pytest.approx(tolerance / 4)] * 2 + [pytest.approx(tolerance)] * 2


def test_bars_of_a_budget_are_as_long_as_its_parts():
    svg = lesson_readings.budget([("a", "3", 3.0), ("b", "4", 4.0)], ("together", "5", 5.0))
    wide = [float(box.get("width")) for box in parts(svg, "rect")]
    assert wide == [pytest.approx(332 * size / 5, abs=0.1) for size in (3, 4, 5)]


def test_a_square_wave_of_many_harmonics_is_nearly_square():
    """The more harmonics, the nearer the line comes to the dashed square; one alone is a sine of
    4/π."""
    def highest(harmonics: int) -> float:
        svg = lesson_readings.square_wave(harmonics, "1 %", "45 Hz", "1 kHz")
        ys = numbers(parts(svg, "path")[1].get("d"))[1::2]
        return (66 - min(ys)) / 40
    assert highest(1) == pytest.approx(4 / math.pi, abs=0.01)
    # the overshoot of a cut Fourier series (computed)
    assert highest(21) == pytest.approx(1.18, abs=0.03)


def test_the_shaded_part_lies_beyond_the_tolerance_limit():
    svg = lesson_readings.guard_band(0.1, ("50 %", "2.3 %"), ("10.008 V", "10.0072 V"), 0.05)
    shaded = next(path for path in parts(svg, "path") if path.get("fill") == "currentColor")
    xs = numbers(shaded.get("d"))[:-1:2]  # the last number is the height of the way back
    assert len(xs) > 10 and min(xs) >= 226


def test_the_junction_is_a_true_share_of_the_whole():
    svg = lesson_readings.thermocouple("K", (4.0, "100 °C", "4 mV"), (1.0, "25 °C", "1 mV"),
                                       "3 mV", "2.9 mV")
    left, right = (float(box.get("width")) for box in parts(svg, "rect"))
    assert left * 3 == pytest.approx(right, abs=0.3)


def test_the_round_has_three_frames_and_says_them():
    """Thick and shaded where it is live, hatched at both ends where hands stay off all the same,
    bare where leads may be moved; each step in words too."""
    svg = lesson_safety.live_round()
    boxes = parts(svg, "rect")
    steps = len(lesson_safety.ROUND)
    for box, (step, state) in zip(boxes[:steps], lesson_safety.ROUND, strict=True):
        x, y, wide, high = (float(box.get(name)) for name in ("x", "y", "width", "height"))
        hatches = [line for line in parts(svg, "line") if line.get("stroke-width") == "0.7"
                   and x <= float(line.get("x1")) <= x + wide
                   and y <= float(line.get("y1")) <= y + high]
        assert bool(hatches) is (state == lesson_safety.NOT_YET), step
        assert (box.get("stroke-width") == "3") is (state == lesson_safety.LIVE), step
    for n, (step, state) in enumerate(lesson_safety.ROUND, 1):
        assert f"{n} {step}: {state}" in xml.fromstring(svg).get("aria-label")
    assert len(boxes) == steps + 3


def test_the_line_over_the_years_is_drawn_at_its_slope():
    """4 a year between limits of 20 is a fifth of the half-height a year, and ends on the limit."""
    svg = lesson_readings.drift([(2022, 0, None), (2023, 4, None)], 20, "counts", "5 V",
                                ((2022, 0), (2027, 20)), True)
    dotted = next(line for line in parts(svg, "line") if line.get("stroke-dasharray") == "2 3")
    band, = parts(svg, "rect")
    top = float(band.get("y"))
    first, second = (float(dot.get("cy")) for dot in parts(svg, "circle"))
    assert float(dotted.get("y2")) == pytest.approx(top, abs=0.1)
    assert (first - second) * 5 == pytest.approx(first - top, abs=0.5)


def test_a_morning_outside_its_limits_is_drawn_outside_and_said():
    svg = lesson_readings.mornings([0, 1, 0, -1, 0, 4], (-2, 2), 5, "counts", "10 V")
    top = min(float(line.get("y1")) for line in parts(svg, "line")
              if line.get("stroke-width") == "1.6")
    dots = parts(svg, "circle")
    assert len(dots) == 5 and all(float(dot.get("cy")) > top for dot in dots)
    cross, = (path for path in parts(svg, "path") if path.get("class") == "at-outside")
    assert 20 < max(numbers(cross.get("d"))[1::2]) < top
    assert "Morning 6 lies outside" in xml.fromstring(svg).get("aria-label")


def test_text_from_files_stays_text():
    """What a file says can't end the drawing."""
    svg = lesson_readings.budget([('<b>&"', "1", 1.0)], ("u", "1", 1.0))
    assert parts(svg, "text")[0].text == '<b>&"'
