"""Pictures of histories: what is drawn where, read back from the SVG; how large their text is, in a
browser."""

import math
import re
from datetime import date
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import builder
from builder.compute.statistics.trend import DatedError, fitted, predicted
from builder.drawing.history_results import (HistoryPoint, HistorySeries, MeterDay,
                                             history_picture, meter_picture)
from builder.pages.page_styles import STYLE_FILES

CSS = "\n".join((Path(builder.__file__).parent / "pages/assets" / name).read_text("utf-8")
                for name in (*STYLE_FILES, "report.css"))


def pictures(text: str) -> list[ElementTree.Element]:
    root = ElementTree.fromstring(text)
    return [root] if root.tag == "svg" else list(root)


def the(text: str) -> ElementTree.Element:
    one, = pictures(text)
    return one


def of(svg, kind: str) -> list[ElementTree.Element]:
    return [e for e in svg.iter() if e.get("class") == kind]


def texts(svg) -> list[str]:
    return [e.text for e in svg.iter("text")]


def coordinates(path) -> list[tuple[float, float]]:
    return [tuple(map(float, pair))
            for pair in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", path.get("d"))]


def signs(svg, kind: str) -> list[tuple[float, float]]:
    """The middles of the signs of the points."""
    middles = []
    for e in of(svg, kind):
        if e.tag == "circle":
            middles.append((float(e.get("cx")), float(e.get("cy"))))
        elif len(corners := coordinates(e)) == 4:
            middles.append(((corners[0][0] + corners[2][0]) / 2, corners[0][1]))
    return middles


def arrows(svg) -> list[tuple[float, float]]:
    """Their tips."""
    return [corners[0] for e in svg.iter("path")
            if e.get("class") in ("at-above", "at-below", "left")
            and len(corners := coordinates(e)) == 3]


def frame(svg) -> tuple[float, float, float, float]:
    box, = of(svg, "tol")
    x, y, width, height = (float(box.get(name)) for name in ("x", "y", "width", "height"))
    return x, y, x + width, y + height


def percent_at(svg, x: float) -> float:
    left, _, right, _ = frame(svg)
    return 200 * (x - left) / (right - left) - 100


# ---------------------------------------------------------------- a history

DRIFTING = HistorySeries("DC voltage, 5 V",
                         [HistoryPoint(date(2018 + n, 3, 1), y, 15.0) for n,
                          y in enumerate((5.0, 22.0, 38.0, 61.0, 77.0))], until=date(2023, 3, 1))
ADJUSTED = HistorySeries("DC voltage, 5 V",
                         [*DRIFTING.readings, HistoryPoint(date(2022, 3, 1), 2.0, 15.0, left=True)],
                         [date(2022, 3, 1)])


def height_of(svg, y: float) -> float:
    _, top, _, bottom = frame(svg)
    return 100 - 200 * (y - top) / (bottom - top)


def test_a_history_stands_where_it_is():
    svg = the(history_picture(DRIFTING))
    found = signs(svg, "at-inside")
    assert [height_of(svg, y) for _, y in found] == pytest.approx([5, 22, 38, 61, 77], abs=0.2)
    steps = [b[0] - a[0] for a, b in pairwise(found)]
    assert steps == pytest.approx([steps[0]] * 4, rel=0.01)


def test_drift_and_its_band():
    """From the first reading as far as was asked, where the line and its prediction interval
    are."""
    svg = the(history_picture(DRIFTING))
    fit = fitted(points=[DatedError(r.day.toordinal(), r.error) for r in DRIFTING.readings],
                 expanded=15.0)
    line, band = of(svg, "drift")[-1], coordinates(of(svg, "band")[-1])
    assert height_of(svg, float(line.get("y1"))) == pytest.approx(fit.at(fit.first), abs=0.2)
    assert height_of(svg,
                     float(line.get("y2"))) == pytest.approx(
                         fit.at(date(2023, 3, 1).toordinal()), abs=0.2)
    low, high = predicted(fit=fit, x=fit.first)
    assert (height_of(svg, band[-1][1]),
            height_of(svg, band[0][1])) == pytest.approx((low, high), abs=0.2)


def test_no_drift_of_four():
    svg = the(history_picture(HistorySeries("a", DRIFTING.readings[:4])))
    assert not of(svg, "drift") and not of(svg,
                                           "band") and not any(
                                               "drift" in text for text in texts(svg))


def test_an_adjustment_breaks_the_line():
    """Five readings as found, but one since the adjustment: a break, as left hollow on the same
    day, no drift."""
    svg = the(history_picture(ADJUSTED))
    assert len(of(svg, "break")) == 1 and not of(svg, "drift")
    (x, y), = signs(svg, "left")
    assert height_of(svg, y) == pytest.approx(2, abs=0.2)
    assert x == signs(svg, "at-inside")[-1][0] == float(of(svg, "break")[0].get("x1"))


def test_a_history_beyond_the_picture():
    svg = the(
        history_picture(HistorySeries("a",
                                      [HistoryPoint(date(2020, 1, 5), 400.0),
                                       HistoryPoint(date(2021, 1, 5), -math.inf),
                                       HistoryPoint(date(2022, 1, 5), 0.0)])))
    assert sorted(round(height_of(svg, y)) for _,
                  y in arrows(svg)) == [-150, 150] and {"+400\u00a0%", "OL"} < set(texts(svg))


def test_the_drift_stays_in_the_picture():
    """A steep one is cut off at its edges."""
    steep = HistorySeries("a",
                          [HistoryPoint(date(2020, n, 1), 60.0 * n - 150) for n in range(1, 6)],
                          until=date(2030, 1, 1))
    svg = the(history_picture(steep))
    heights = [height_of(svg, y) for _,
               y in coordinates(of(svg, "band")[-1])] + [
                   height_of(svg, float(of(svg, "drift")[-1].get(name))) for name in ("y1", "y2")]
    assert max(map(abs, heights)) <= 150.2


@pytest.mark.parametrize("start, end, labels", [
    (date(2018, 3, 1), date(2023, 3, 1), ["2018", "2019", "2020", "2021", "2022", "2023"]),
    (date(2000, 6, 1), date(2020, 6, 1), ["2000", "2005", "2010", "2015", "2020"]),
    (date(2026, 1, 10), date(2026, 4, 10), ["2026-01", "2026-02", "2026-03", "2026-04"]),
    (date(2026, 5, 5), date(2026, 5, 5), ["2026-05"]),
])
def test_days_have_names(start, end, labels):
    """In a small picture some of them."""
    def named(picture: str) -> list[str]:
        return [text for text in texts(the(picture)) if re.fullmatch(r"\d{4}(-\d\d)?", text)]

    assert named(meter_picture("a", [MeterDay(start, [1.0]), MeterDay(end, [2.0])])) == labels
    few = named(history_picture(
        HistorySeries("a", [HistoryPoint(start, 1.0), HistoryPoint(end, 2.0)])))
    assert 1 <= len(few) <= 3 and set(few) <= set(labels)


def test_all_of_a_meter_stands_where_it_is():
    """A line for each point, the largest of each day as a sign, what was left beside what was
    found; one beyond the picture as an arrow with its number."""
    days = [MeterDay(date(2024, 3, 1), [5.0, -60.0, 20.0]),
            MeterDay(date(2025, 3, 1), [10.0, 400.0]),
            MeterDay(date(2025, 3, 1), [-8.0, 3.0], left=True)]
    svg = the(meter_picture("Dunlin 60, serial no. 0147", days, [date(2025, 3, 1)]))
    heights = sorted(round(height_of(svg, coordinates(e)[0][1]) * 1.0)
                     for e in of(svg, "each")[1:])
    assert heights == [-60, -8, 3, 5, 10, 20]
    assert [round(height_of(svg, y)) for _, y in signs(svg, "at-inside")[1:]] == [-60]
    assert [round(height_of(svg, y)) for _, y in signs(svg, "left")[1:]] == [-8]
    assert [round(height_of(svg, y)) for _, y in arrows(svg)] == [150]
    assert signs(svg, "left")[1][0] - arrows(svg)[0][0] == pytest.approx(8)
    assert "+400\u00a0%" in texts(svg)
    assert svg.get("aria-label").replace("\u00a0", " ") == (
        "Dunlin 60, serial no. 0147, all errors in percent of the tolerance. The largest of each "
        "day: 2024-03-01 as found −60 %, 2025-03-01 as found +400 %, 2025-03-01 as left −8 %.")


def test_what_a_history_says():
    assert the(history_picture(ADJUSTED)).get("aria-label").replace("\u00a0", " ") == (
        "DC voltage, 5 V, 5 errors as found from 2018-03-01 to 2022-03-01 in percent of the "
        "tolerance, the last +77 %; none beyond the tolerance. "
        "Adjusted on 2022-03-01.")
    assert the(history_picture(DRIFTING)).get("aria-label").replace("\u00a0", " ").endswith(
        "Drift +18.3 % a year.")
    assert history_picture(HistorySeries("a", [])) == ""


# ---------------------------------------------------------------- whatever it is

hostile = st.text(st.one_of(st.characters(codec="utf-8", exclude_categories=["Cc"]),
                            st.sampled_from("\n\r\t<>&\"'")), max_size=40)
errors = st.one_of(st.none(), st.floats(-1e6, 1e6),
                   st.sampled_from([math.inf, -math.inf, math.nan, 0.0, -0.0, 100.0, 150.0]))
histories = st.builds(
    HistorySeries, hostile,
    st.lists(st.builds(HistoryPoint, st.dates(date(1990, 1, 1), date(2090, 1, 1)),
                       errors.filter(lambda e: e is not None),
                       st.one_of(st.none(), st.floats(0, 1e4)), st.booleans()), min_size=1,
             max_size=12),
    st.lists(st.dates(date(1990, 1, 1), date(2090, 1, 1)), max_size=3), st.sampled_from([0.0, 5.0]),
    st.one_of(st.none(), st.dates(date(2000, 1, 1), date(2100, 1, 1))))


@settings(deadline=None)
@given(histories)
def test_whatever_it_holds(series):
    """Well-formed, no blank line, no id, no colour, a spoken alternative, all of it inside of the
    picture, and the same twice."""
    holds(lambda: history_picture(series))


@settings(deadline=None)
@given(hostile, st.lists(st.builds(
    MeterDay, st.dates(date(1990, 1, 1), date(2090, 1, 1)),
    st.lists(errors.filter(lambda e: e is not None), max_size=9), st.booleans()), max_size=6),
    st.lists(st.dates(date(1990, 1, 1), date(2090, 1, 1)), max_size=3))
def test_whatever_a_meter_holds(name, days, adjusted):
    if any(one.errors for one in days):
        holds(lambda: meter_picture(name, days, adjusted))
    else:
        assert meter_picture(name, days, adjusted) == ""


def holds(draw) -> None:
    text = draw()
    assert text == draw() and not re.search(r"\n\s*\n", text) and "nan" not in re.sub(
        r'>[^<]*<|aria-label="[^"]*"', "", text)
    for svg in pictures(text):
        assert svg.get("role") == "img" and svg.get("aria-label")
        _, _, width, height = map(float, svg.get("viewBox").split())
        for e in svg.iter():
            assert not {"id", "fill", "stroke", "style"} & set(e.keys())
            for name in ("x1", "x2", "cx"):
                assert 0 <= float(e.get(name, 0)) <= width
            for name in ("y1", "y2", "cy"):
                assert 0 <= float(e.get(name, 0)) <= height
            for x, y in coordinates(e) if e.tag == "path" else ():
                assert 0 <= x <= width and 0 <= y <= height


@pytest.mark.browser
# 718 px are the 190 mm between A4's margins
@pytest.mark.parametrize("width, media, least", [(360, "screen", 9.0), (718, "print", 7 * 96 / 72)])
def test_text_can_be_read(tab, width, media, least):
    """On a phone 360 px wide text has 9 px at least, on paper 7 pt; none is cut off at the
    picture's edge. A phone has two small ones beside each other."""
    page = tab(viewport={"width": width, "height": 700})
    page.emulate_media(media=media)
    far = HistorySeries("a", [HistoryPoint(date(2020 + n, 6, 1), y) for n, y in enumerate(
        (-400.0, 1000.0, math.inf, -12345.0))])
    pictures = "".join(f"<figure><figcaption>AC voltage, 600.0 mV, 50 Hz on 600 mV"
                       f"</figcaption>{history_picture(one)}</figure>"
                       for one in (ADJUSTED, DRIFTING, far, ADJUSTED))
    whole = meter_picture("a", [MeterDay(date(2020 + n, 6, 1), [y, 1.0], n % 2 == 1)
                                for n, y in enumerate((-400.0, 20.0, math.inf, -12345.0))],
                          [date(2021, 6, 1)])
    page.set_content(
        f'<style>{CSS} html {{ font-size: 125% }} body {{ margin: '
        f'{16 if media == "screen" else 0}px }}</style><div class="md-typeset"><div class='
        f'"report"><figure class="whole">{whole}</figure><div class="multiples">{pictures}</div>'
        f'</div></div>')
    lefts = page.evaluate("""() => [...document.querySelectorAll(".multiples figure")].map(
        one => one.getBoundingClientRect().left)""")
    assert len(set(lefts)) == (2 if media == "screen" else 4)
    sizes = page.evaluate("""() => [...document.querySelectorAll("svg.plot text")].map(text => {
        const svg = text.closest("svg"), box = text.getBBox(), all = svg.viewBox.baseVal
        const scale = svg.getBoundingClientRect().width / all.width
        return [scale * parseFloat(getComputedStyle(text).fontSize),
                Math.min(box.x, all.width - box.x - box.width,
                         box.y, all.height - box.y - box.height), text.textContent]})""")
    assert len(sizes) > 20
    assert min(size for size, _, _ in sizes) >= least
    assert [text for _, inside, text in sizes if inside < -0.5] == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_shapes_differ_without_colour():
    """As found a dot or, beyond the tolerance, a cross; as left a hollow diamond, with the cross in
    it beyond."""
    svg = the(history_picture(ADJUSTED))
    assert {e.tag for e in of(svg, "at-inside")} == {"circle"}
    assert {e.tag for e in of(svg, "left")} == {"path"}
    out = [HistoryPoint(date(2020, 1, 5), 120.0),
           HistoryPoint(date(2020, 1, 5), -101.0, left=True)]
    svg = the(history_picture(HistorySeries("a", out)))
    assert len(of(svg, "at-outside")) == 2 and len(of(svg, "left")) == 1
    assert not of(svg, "at-inside")
    rules = "".join(line for line in CSS.splitlines() if "svg" in line)
    assert not re.search(r"#[0-9a-f]{3}|rgb|hsl", rules.replace("#fff", ""))
