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
from builder.drawing.history_results import HistoryPoint, HistorySeries, history_picture
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
    """The middles of the signs of the points, without that of the legend, which comes first."""
    middles = []
    for e in of(svg, kind):
        if e.tag == "circle":
            middles.append((float(e.get("cx")), float(e.get("cy"))))
        elif len(corners := coordinates(e)) == 4:
            middles.append(((corners[0][0] + corners[2][0]) / 2, corners[0][1]))
    return middles[1:]


def arrows(svg) -> list[tuple[float, float]]:
    """Their tips."""
    return [corners[0] for e in svg.iter("path") if e.get("class") in ("found", "left")
            and len(corners := coordinates(e)) == 3]


def frame(svg) -> tuple[float, float, float, float]:
    box, = of(svg, "frame")
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
    found = signs(svg, "found")
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
    assert len(of(svg, "break")) == 2 and not of(svg, "drift")
    (x, y), = signs(svg, "left")
    assert height_of(svg, y) == pytest.approx(2,
                                              abs=0.2) and x == signs(svg, "found")[-1][0] == float(
                                                  of(svg, "break")[1].get("x1"))


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
    svg = the(
        history_picture(HistorySeries("a", [HistoryPoint(start, 1.0), HistoryPoint(end, 2.0)])))
    assert [text for text in texts(svg) if re.fullmatch(r"\d{4}(-\d\d)?", text)] == labels


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
    text = history_picture(series)
    assert text == history_picture(series) and not re.search(r"\n\s*\n",
                                                text) and "nan" not in re.sub(
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
    picture's edge."""
    page = tab(viewport={"width": width, "height": 700})
    page.emulate_media(media=media)
    long = "MW" * 50
    pictures = "".join(map(history_picture, [
        ADJUSTED, DRIFTING, *(HistorySeries(name, ADJUSTED.readings)
                              for name in (long, *(letter * 99 for letter in "Wm%Ωg—漢0")))]))
    page.set_content(
        f'<style>{CSS} body {{ margin: {12 if media == "screen" else 0}px }}</style><div '
        f'class="md-typeset"><div class="plots">{pictures}</div></div>')
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
    """A filled circle and a hollow diamond, by the style sheet, which gives no colour but the
    page's own."""
    svg = the(history_picture(ADJUSTED))
    assert {e.tag for e in of(svg, "found")} == {"circle"} and {e.tag for e in of(svg, "left")} == {
        "path"}
    rules = "".join(line for line in CSS.splitlines() if "svg.plot" in line)
    assert not re.search(r"#[0-9a-f]{3}|rgb|hsl", rules)
    assert (".found { fill: currentColor; }" in rules
            and ".left { fill: var(--paper); stroke: currentColor; }" in rules)
