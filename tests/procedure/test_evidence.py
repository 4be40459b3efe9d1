"""The evidence page, recomputed with a pocket calculator: from nothing but what the page prints."""

import json
import math
import random
import re
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_HALF_EVEN, Decimal
from fractions import Fraction as F

import pytest
from scipy import stats

from builder.compute.statistics.budget import NORMAL, RECTANGULAR, TRIANGULAR
from builder.numbers.statistics_text import expanded
from builder.pages import render
from tests.compute.statistics.test_budget import half_width_by_convolution
from tests.compute.statistics.test_risk import by_bivariate_normal
from tests.conftest import Element, parse
from tests.small_shop import function, load, meter, plan, range_, standard, the_procedure

DEMO = ("dunlin-60-yearly", "whimbrel-200-yearly")


# ---------------------------------------------------------------- a pocket calculator

def rounded(value: float, figures: int) -> str:
    """A number at so many significant figures, without an exponent."""
    exact = Decimal(value)
    if not exact:
        return "0"
    last = Decimal(1).scaleb(exact.adjusted() - figures + 1)
    found = (exact / last).to_integral_value(ROUND_HALF_EVEN) * last
    if found.adjusted() < figures - 1:
        found = found.quantize(Decimal(1).scaleb(found.adjusted() - figures + 1))
    return f"{found:f}"


def rounded_up(value: float) -> str:
    """U at two figures, up, unless less than a tenth of the last one is lost."""
    exact = Decimal(value)
    last = Decimal(1).scaleb(exact.adjusted() - 1)
    return rounded(float((exact / last - Decimal("0.1")).to_integral_value(ROUND_CEILING) * last),
                   2)


def cut_off(value: float) -> str:
    """A ratio: one decimal below ten, none above, never rounded up."""
    return f"{math.floor(value * 10) / 10:.1f}" if value < 10 else str(math.floor(value))


def around(text: str) -> tuple[float, float]:
    """The least and the most that a printed, rounded number may stand for."""
    half = 0.5 * 10.0 ** -len(text.partition(".")[2])
    return float(text) - half, float(text) + half


def figures_of(text: str) -> int:
    """How many significant figures are printed."""
    return len(text.replace(".", "").lstrip("0"))


def divisor(text: str) -> float:
    return math.sqrt(float(text[1:])) if text.startswith("√") else float(text)


@dataclass
class Line:
    component: str
    value: str
    distribution: str
    divisor: str
    sensitivity: str
    degrees: str
    contribution: str
    share: str


@dataclass
class Row:
    """A point as the evidence prints it: its row in the compact table and its full budget."""

    step: str
    apply: str
    tolerance: str
    u: str
    k: str
    expanded: str
    unit: str
    tur: str
    ratio: str
    guard: str
    specific: str
    false_accept: str = ""
    out_passed: str = ""
    false_reject: str = ""
    shown_accept: str = ""
    shown_reject: str = ""
    marked: bool = False
    lines: tuple[Line, ...] = ()
    combined: tuple[str, ...] = ()

    @property
    def t(self) -> float:
        return float(self.tolerance.rstrip("…"))


def rows_of(page: Element) -> list[Row]:
    budgets = {}
    for body in (body for table in page.all("table.budget") for body in table.all("tbody")):
        head, *lines, last = body.all("tr")
        step = re.fullmatch(r"Step (\S+): .*", head.text)[1]
        assert step not in budgets
        budgets[step] = (tuple(Line(*(cell.text for cell in line.all("td"))) for line in lines),
                         tuple(cell.text for cell in last.all("td")))
    rows = []
    for table in page.all("table.assessed"):
        for line in table.one("tbody").all("tr"):
            cells = [cell.text for cell in line.all("td")]
            marked = cells[7].endswith(" *")
            cells[7] = cells[7].removesuffix(" *")
            row = Row(*cells, marked=marked)
            row.lines, row.combined = budgets.pop(row.step)
            rows.append(row)
    assert not budgets
    return rows


@pytest.fixture(scope="module")
def evidence(demo) -> "dict[str, Element]":
    """The demo's evidence pages as they are built."""
    return {name: demo.page(f"evidence/{name}") for name in DEMO}


@pytest.fixture(scope="module")
def rows(evidence) -> "list[Row]":
    return [row for name in DEMO for row in rows_of(evidence[name])]


@pytest.fixture(scope="module")
def data(demo) -> "dict[str, dict]":
    return {
        name: json.loads((demo.site / f"data/procedures/{name}.json").read_text(encoding="utf-8"))
        for name in DEMO}


def fails(rows, computed, printed) -> list:
    """The points whose printed number is another than the computed one."""
    return [(row.step, row.apply, computed(row), printed(row)) for row in rows
            if computed(row) != printed(row)]


def test_rounding_of_u():
    """Two figures, never less than U by more than a tenth of the last one, never more by a whole
    one, at any size."""
    chance = random.Random(6)
    for _ in range(3000):
        value = 10 ** chance.uniform(-12, 6)
        text = expanded(value)
        last = 10.0 ** (math.floor(math.log10(value)) - 1)
        assert -0.1001 * last <= float(text) - value < 0.9 * last, (value, text)
        assert "e" not in text and len(text.replace(".", "").strip("0")) <= 2
        assert text == rounded_up(value)


@pytest.mark.parametrize("value, text",
                         [(0.0995, "0.10"), (0.09915, "0.10"), (0.09905, "0.099"), (99.5, "100"),
                          (123.4, "130"), (1.0, "1.0"), (10.0, "10"), (0.001, "0.0010")])
def test_rounding_of_u_at_the_edges(value, text):
    """Where a figure is carried, and above a hundred."""
    assert expanded(value) == text


# ---------------------------------------------------------------- the demo, point by point

def test_every_judged_point_has_its_row_and_its_budget(rows, data):
    """Each point with an uncertainty stands once, by its step, in the compact table and in the full
    budgets; with its U and its ratio as the data has them."""
    points = [p for name in DEMO for p in data[name]["points"]
              if p["uncertainty"] and not p["id"].endswith("-after-currents")]
    assert len(points) > 100
    by_step = sorted((p["step"], p["uncertainty"]["U"].split()[0], p["tur"]) for p in points)
    assert by_step == sorted((r.step, r.expanded, r.tur) for r in rows)
    for (*_, one), (*_,
                    other) in zip(
                            sorted((p["step"], p["uncertainty"]["U"],
                                    float(p["uncertainty"]["u"].split()[0])) for p in points),
                            sorted((r.step, r.expanded, float(r.u)) for r in rows), strict=True):
        assert one == pytest.approx(other, rel=1e-3)


def test_each_line_of_each_budget(rows):
    """Value × sensitivity / divisor is the contribution, to the last of its six printed digits;
    both are rounded."""
    wrong = [(row.step, line) for row in rows for line in row.lines
             if not math.isclose(
                 float(line.value) * abs(float(line.sensitivity.replace("−", "-"))) / divisor(
                     line.divisor), float(line.contribution), rel_tol=1e-5)]
    assert not wrong and all(len(row.lines) >= 2 for row in rows)


def root_sum_square(row: Row) -> float:
    return math.sqrt(sum(float(line.contribution) ** 2 for line in row.lines))


def test_u_is_the_root_of_the_squares(rows):
    """u from the printed contributions, at its printed digits, for every point of the demo."""
    assert not fails(rows, lambda r: rounded(root_sum_square(r), figures_of(r.u)), lambda r: r.u)


def test_expanded_is_k_times_u(rows):
    """U = k·u from the printed k and u, at two figures, for every point of the demo."""
    assert not fails(rows, lambda r: rounded_up(float(r.k) * float(r.u)), lambda r: r.expanded)


def test_ratio_is_t_over_expanded(rows):
    """TUR = T/(k·u) from the printed T, k and u, cut off as printed, for every point of the
    demo."""
    assert not fails(rows, lambda r: cut_off(r.t / (float(r.k) * float(r.u))), lambda r: r.tur)


def test_printed_numbers_agree_as_far_as_their_digits_go(rows):
    """Within what the rounding of the printed inputs leaves open, u, U and TUR are those of the
    page."""
    for row in rows:
        u_low, u_high = (math.sqrt(sum(around(line.contribution)[i] ** 2 for line in row.lines))
                         for i in (0, 1))
        assert max(u_low, around(row.u)[0]) <= min(u_high, around(row.u)[1]), row
        (k_low, k_high), (u_low, u_high) = around(row.k), around(row.u)
        assert float(rounded_up(k_low * u_low)) <= float(row.expanded) <= float(
            rounded_up(k_high * u_high)), row
        cut = (10.0 ** -len(row.tolerance.rstrip("…").partition(".")[2])
               if row.tolerance.endswith("…") else 0.0)
        assert float(cut_off(row.t / (k_high * u_high))) <= float(row.tur) <= float(
            cut_off((row.t + cut) / (k_low * u_low) + 1e-9)), row


def test_the_factor_by_a_convolution_of_the_printed_lines(rows):
    """k from the printed shapes and contributions alone, by another program: within a unit of its
    last digit."""
    shapes = {"normal": NORMAL, "rectangular": RECTANGULAR, "triangular": TRIANGULAR}

    class Shape:
        def __init__(self, line: Line):
            self.distribution, self.contribution = shapes[line.distribution], float(
                line.contribution)
    known = {}
    for row in rows:
        key = tuple((line.distribution, line.contribution) for line in row.lines)
        known[key] = known.get(key) or half_width_by_convolution(
            [Shape(line) for line in row.lines], 0.9545)
        assert float(row.k) == pytest.approx(known[key], abs=0.001), row
        assert all(line.degrees == "∞" for line in row.lines) and row.combined[1] == "∞"


def test_the_accuracy_ratio(rows):
    """T over the standard's stated accuracy, which is the value of the budget's first line; as far
    as T's digits go."""
    for row in rows:
        cut = (10.0 ** -len(row.tolerance.rstrip("…").partition(".")[2])
               if row.tolerance.endswith("…") else 0.0)
        low, high = around(row.lines[0].value)
        assert "accuracy" in row.lines[0].component
        assert float(cut_off(row.t / high)) <= float(row.ratio) <= float(
            cut_off((row.t + cut) / low)), row


def test_the_shares(rows):
    """Each line's share is its square over u², in whole percent; together 100 %, but for half of
    one that each may be rounded by."""
    for row in rows:
        shares = [float(line.share.split()[0]) for line in row.lines]
        for line, share in zip(row.lines, shares, strict=True):
            assert share == pytest.approx(100 * float(line.contribution) ** 2 / float(row.u) ** 2,
                                          abs=0.6), row
        assert abs(sum(shares) - 100) <= len(shares) / 2


def test_the_combined_line_repeats_the_row(rows):
    """The last line of each budget has u, k and U of the compact table."""
    for row in rows:
        assert row.combined[
            0] == f"Combined: u = {row.u}, k = {row.k}, U = {row.expanded}" and row.combined[
                2] == row.u


def test_the_tolerance_has_enough_figures(evidence, data):
    """T is printed to a thousandth of itself, so that what is divided by it can be followed."""
    for name in DEMO:
        exact = {p["step"]: float(p["tolerance"].split()[0]) for p in data[name]["points"]
                 if p["tolerance"]}
        assert not [(row.step, row.t, exact[row.step]) for row in rows_of(evidence[name])
                    if abs(row.t / exact[row.step] - 1) > 1e-3]


def test_the_risks_by_another_program(evidence, data):
    """The global risks of every point of the demo that is read once, by scipy: from the printed
    budget without what the display rounds, the share, and the cells of the accepted counts; to the
    two printed figures. The last accepted count has at most 50 %."""
    tried = 0
    for name in DEMO:
        points = {p["step"]: p for p in data[name]["points"]}
        for row in rows_of(evidence[name]):
            assert row.specific.startswith("under") or float(row.specific.split()[0]) <= 50
            assert float(row.guard) == 0
            point = points[row.step]
            if point["correction"] or point["kind"] == "reference":
                continue
            t, step, applied = (F(point[key].split()[0]) for key in ("tolerance", "resolution",
                                                                     "expected" if point["expected"]
                                                                     else "apply"))
            cells = tuple(float((point["accept"][end] + half) * step - applied)
                          for end, half in (("low_counts", F(-1, 2)), ("high_counts", F(1, 2))))
            u = math.hypot(*(float(line.contribution) for line in row.lines
                             if line.component != "resolution of the display, half a count"))
            known = {"acceptance": cells, "u0": float(t) / stats.norm.ppf(0.975), "u": u}
            expected = [*by_bivariate_normal(tolerance=(-float(t), float(t)), **known),
                        *by_bivariate_normal(tolerance=cells, **known)]
            printed = (row.false_accept, row.false_reject, row.shown_accept, row.shown_reject)
            for risk, text in zip([*expected, expected[0] / 0.05], [*printed, row.out_passed],
                                  strict=True):
                if text.startswith("under"):
                    assert risk < 0.00005
                else:
                    low, high = around(text.split()[0])
                    assert low - 5e-3 * high <= risk * 100 <= high + 5e-3 * high, (row, risk)
            tried += 1
    assert tried > 120


def test_worked_numbers_are_those_of_the_table(evidence):
    """One point a function is spelled out in the page's own numbers, and each equation holds at its
    digits."""
    for name in DEMO:
        by_step = {row.step: row for row in rows_of(evidence[name])}
        worked = [dl for dl in evidence[name].all("dl")
                  if dl.all("dt") and dl.all("dt")[0].text == "One point in numbers"]
        assert len(worked) == len(evidence[name].all("table.assessed"))
        for one in worked:
            where, u, k, expanded, ratio, *_ = [dd.text for dd in one.all("dd")]
            step, apply, tolerance = re.fullmatch(
                r"Step (\S+), (.+) on .+: T = (\S+) \S+", where).groups()
            row = by_step[step]
            assert (apply, tolerance) == (row.apply, row.tolerance)
            squares, total = re.fullmatch(r"u = √\((.+)\) \S+ = (\S+) \S+; ν_eff = ∞", u).groups()
            assert [s.rstrip("²") for s in squares.split(" + ")] == [
                line.contribution for line in row.lines] and total == row.u
            assert f"k = {row.k}," in k and "95.45 %" in k
            assert re.match(r"U = k·u = (\S+) × (\S+) \S+ = (\S+) ",
                            expanded).groups() == (row.k, row.u, row.expanded)
            assert f"TUR = T/U = {row.tur}:1" in ratio and f"= {row.ratio}:1" in ratio


def test_the_summary_counts_the_marks(evidence, demo):
    """'So many of so many points': what is missing to all of them is marked in the table, here and
    on the sheet, and told line by line."""
    for name in DEMO:
        rows = rows_of(evidence[name])
        items = [li.text for li in evidence[name].all("li")]
        (first,) = [text for text in items
                    if re.match(r"\d+ of \d+ points at a test uncertainty ratio of 4:1 or better",
                                text)]
        good, total = map(int, re.match(r"(\d+) of (\d+)", first).groups())
        low = [row for row in rows if float(row.tur) < 4]
        assert total == len(rows) and total - good == len(low) == sum(row.marked for row in rows)
        for row in low:
            assert any(text.startswith(f"Step {row.step}, ") and f"{row.tur}:1" in text
                       for text in items)
        sheet = demo.page(f"procedures/{name}")
        for row in low:
            assert f"Step {row.step}: test uncertainty ratio {row.tur}:1" in sheet.text


def test_the_page_can_be_read_by_itself(evidence, demo):
    """The rule, the columns, the formulae's sources, certificate and due date stand on it; the
    sheet leads to it and back."""
    for name in DEMO:
        text = evidence[name].text
        for words in ("Decision rule: simple acceptance", "JCGM 100:2008, 5.1.2", "JCGM 106:2012",
                      "95.45 %", "95 % in tolerance",
                      "KP-2026-014", "2027-06-30", "independent", "TUR is T/U", "common bias"):
            assert words in text, words
        assert "guarante" not in text
        hrefs = [a["href"] or "" for a in evidence[name].all("a")]
        assert any(href.endswith(f"procedures/{name}.html") for href in hrefs)
        assert any((a["href"] or "").endswith(f"evidence/{name}.html")
                   for a in demo.page(f"procedures/{name}").all("a"))


def test_full_budgets_are_on_demand(evidence):
    """They stand folded under each function's table."""
    for name in DEMO:
        details = evidence[name].all("details.budgets")
        assert len(details) == len(evidence[name].all("table.assessed")) and all(
            d["open"] is None and d.all("summary") for d in details)


def test_how_u_is_rounded_is_told(evidence):
    """Who rounds a U of 28.05 up gets 29; the page that prints 28 says why."""
    assert all("tenth" in evidence[name].text for name in DEMO)


# ---------------------------------------------------------------- the picture

def pictures(page: Element) -> list[Element]:
    return page.all("svg.tolerances")


def drawn(picture: Element) -> list[dict]:
    """For each row of a picture: its step, the tolerance and the hatched parts as spans in percent
    of T, and the bars of U. Pictures that were approved some time ago name the tolerance a frame
    and the bars whiskers."""
    labels = [t for t in picture.all("text") if "%" not in t.text]
    scale = {int(t.text.replace("−", "-").split()[0]): float(t["x"]) for t in picture.all("text")
             if "%" in t.text}
    zero, unit = scale[0], (scale[100] - scale[0]) / 100

    def percent(x: float) -> float:
        return (x - zero) / unit

    def span(rect: Element) -> tuple[float, float]:
        return percent(float(rect["x"])), percent(float(rect["x"]) + float(rect["width"]))
    found = []
    for label in labels:
        y = float(label["y"])
        rects = [r for r in picture.all("rect") if abs(float(r["y"]) - y) < 9]
        whiskers = [re.match(r"M(\S+) (\S+)H(\S+?)M", p["d"]).groups()
                    for p in picture.all("path.sure") + picture.all("path.whisker")]
        found.append({"step": label.text, "frame": [
            span(r) for r in rects if {"tol", "frame"} & set(r.classes)],
                      "hatched": [span(r) for r in rects if r["fill"] == "url(#hatch)"
                                  or (r["fill"] or "").startswith("url(")],
                      "whiskers": [(percent(float(a)), percent(float(b))) for a, h,
                                   b in whiskers if abs(float(h) - y) < 8]})
    return found


def test_the_picture_shows_tolerance_and_uncertainty_to_scale(evidence):
    """One picture a function, one row a point: the frame is the tolerance, and whiskers at both
    limits reach U to both sides, in percent of T; without a guard band nothing is hatched."""
    for name in DEMO:
        tables = evidence[name].all("table.assessed")
        assert len(pictures(evidence[name])) == len(tables)
        by_step = {row.step: row for row in rows_of(evidence[name])}
        for picture, table in zip(pictures(evidence[name]), tables, strict=True):
            found = drawn(picture)
            assert [one["step"] for one in found] == [
                tr.all("td")[0].text for tr in table.one("tbody").all("tr")]
            for one in found:
                row = by_step[one["step"]]
                assert one["frame"] == [
                    pytest.approx((-100, 100), abs=0.2)] and one["hatched"] == []
                reach = 100 * float(row.k) * float(row.u) / row.t
                for (left, right), limit in zip(one["whiskers"], (-100, 100), strict=True):
                    assert left == pytest.approx(
                        max(-150, limit - reach),
                        abs=0.5 + 0.05 * reach) and right == pytest.approx(
                            min(150, limit + reach), abs=0.5 + 0.05 * reach)


def test_the_picture_needs_no_colour_and_has_words(evidence):
    """Nothing in it is coloured, and it has a description to be read aloud."""
    for name in DEMO:
        for picture in pictures(evidence[name]):
            for one in [picture, *picture.all()]:
                for attribute in ("fill", "stroke", "color", "style"):
                    assert one[attribute] in (None, "none",
                                              "currentColor") or one[attribute].startswith(
                                                  "url(#"), one.attributes
            assert picture["role"] == "img" and "percent of" in picture["aria-label"]


def test_ids_are_unique_on_a_page(evidence):
    """An id stands once on a page."""
    for name in DEMO:
        ids = [one["id"] for one in evidence[name].all() if one["id"]]
        assert len(ids) == len(set(ids))


# ---------------------------------------------------------------- other projects than the demo

DC = function("DC voltage", range_("6 V", "1 mV", "0.5 % + 2 counts"))


def page_of(folder, *points: str, within: str = "0.1 %", stated: str = "k = 2", one: dict = DC,
            **more) -> Element:
    by = standard({},
                  outputs=[{"output": one["function"], "terminals": ["HI", "LO"],
                            "rows": [{"values": "0 V to 1000 V", "within": within}]}],
                  stated=stated)
    shop = load(folder, meter(one),
                plan(*({"function": one["function"], "apply": point} for point in points), **more),
                by)
    procedure = the_procedure(shop)
    return parse(render.render(shop).pages[f"evidence/{procedure.id}.md"])


@pytest.mark.thorough
@pytest.mark.parametrize("rule, width", [
    ("guard band of U", lambda t, u: u), ("guard band of 0.5 U", lambda t, u: u / 2),
    ("guard band by root-sum-square", lambda t, u: t - math.sqrt(t * t - u * u)),
    ("guard band by multiplier M", lambda t,
     u: max(0.0, 1.04 - math.exp(0.38 * math.log(t / u) - 0.54)) * u)])
def test_the_guard_band_from_the_page(rule, width, tmp_path):
    """w from the printed T, k and u, at three figures but for their rounding; the worked line gives
    it in counts, with the limits; and the picture hatches it on both sides."""
    page = page_of(tmp_path, "1 V", "3 V", "5 V", within="0.12 % + 0.7 mV", decision_rule=rule)
    found = {one["step"]: one for picture in pictures(page) for one in drawn(picture)}
    for row in rows_of(page):
        w = width(row.t, float(row.k) * float(row.u))
        assert float(row.guard) == pytest.approx(w, rel=0.006)
        limit = 100 * (1 - w / row.t)
        assert [pytest.approx(span, abs=0.6)
                for span in ((-100, -limit), (limit, 100))] == found[row.step]["hatched"]
    text = page.all("dl")[-1].all("dd")[-1].text
    w, counts, low, high = re.fullmatch(
        r"Guard band w = (\S+) V \((\S+) counts\); limits at ±\(T − w\) around 3\.000 V, rounded "
        r"inward to the display: (\S+) to (\S+) V", text).groups()
    assert float(counts) == pytest.approx(float(w) / 0.001, rel=0.06)
    assert (low, high) == (f"{math.ceil((3 - 0.017 + float(w)) * 1000) / 1000:.3f}",
                           f"{math.floor((3 + 0.017 - float(w)) * 1000) / 1000:.3f}")


def test_specific_risk_from_the_page(tmp_path):
    """Of the last accepted count, which lies inside T − w: the standard's normal shape and the
    display's rectangle taken together, by the mean over the rectangle."""
    for n, (value, within, rule) in enumerate([(5, "0.2 %", "guard band of U"),
                                               (1.09, "0.03 %", "guard band of 0.5 U")]):
        page = page_of(tmp_path / str(n), f"{value} V", within=within, decision_rule=rule)
        (row,) = rows_of(page)
        last = float(re.search(r"to the display: \S+ to ([\d.]+)", page.text)[1]) - value
        standard_u, display = (float(line.contribution) for line in row.lines)
        half = math.sqrt(3) * display
        expected = sum(stats.norm.sf((row.t - last + half * (k - 50) / 50) / standard_u)
                       for k in range(101)) / 101
        assert float(row.specific.split()[0]) == pytest.approx(100 * expected, rel=0.03)


@pytest.mark.parametrize("within, in_tolerance, printed", [
    ("0.02 %", "99 %", "under 0.01 %"),    # 0.0016 %
    ("0.1 %", "99 %", "under 0.01 %"),     # 0.0047 %
    ("0.02 %", "95 %", "0.0078 %"), ("0.1 %", "95 %", "0.0061 %"),
])
def test_a_risk_too_small_to_print(within, in_tolerance, printed, tmp_path):
    """With a guard band of U and a good standard false accept goes below 0.005 %, by scipy from the
    printed T, u and w and the cells of the counts within T − w, and is said to be under 0.01 %;
    from there on it has two figures."""
    (row,) = rows_of(page_of(tmp_path, "3 V", within=within, decision_rule="guard band of U",
                             in_tolerance=in_tolerance))
    t, limit = row.t, math.floor((row.t - float(row.guard)) / 0.001) * 0.001 + 0.0005
    share = (1 + float(in_tolerance.rstrip(" %")) / 100) / 2
    risk, _ = by_bivariate_normal(tolerance=(-t, t), acceptance=(-limit, limit),
                                  u0=t / stats.norm.ppf(share),
                                  u=math.sqrt(float(row.u) ** 2 - 0.0005 ** 2 / 3))
    assert row.false_accept == printed
    if printed.startswith("under"):
        assert 0.001 < risk * 100 < 0.005
    else:
        assert float(printed.split()[0]) == pytest.approx(risk * 100, rel=0.02)


@pytest.mark.thorough
@pytest.mark.parametrize("stated", [
    "k = 2", "k = 3", "95 %", "99 %", "plain limits", "k = 2.5", "k = 2.576", "k = 1.645"])
def test_a_line_with_the_printed_divisor(stated, tmp_path):
    """The contribution follows from the printed value and the printed divisor, however the accuracy
    is stated."""
    for row in rows_of(page_of(tmp_path, "1 V", "3 V", "5.4 V", stated=stated)):
        for line in row.lines:
            assert rounded(float(line.value) / divisor(line.divisor),
                           figures_of(line.contribution)) == line.contribution


def test_a_line_with_a_value_of_many_figures(tmp_path):
    """The contribution follows from the printed value where the accuracy has more than four
    figures, too."""
    for row in rows_of(page_of(tmp_path, *[f"{n}.{n}57 V" for n in range(1, 6)],
                               within="137 ppm + 0.02137 mV")):
        for line in row.lines:
            assert rounded(float(line.value) / divisor(line.divisor),
                           figures_of(line.contribution)) == line.contribution


@pytest.mark.parametrize("coverage, normal, rectangle",
                         [("95.45 %", "2.00", "1.65"), ("95 %", "1.96", "1.65")])
def test_what_is_said_of_k_fits_the_coverage(coverage, normal, rectangle, tmp_path):
    """k is near 2.00 for normal shapes at 95.45 %, near 1.96 at 95 %."""
    text = page_of(tmp_path, "3 V", coverage=coverage).text
    assert (f"near {normal} where normal shapes rule" in text
            and f"{rectangle} for a lone rectangle" in text)


def test_no_room_is_worded_whole(tmp_path):
    """Where root-sum-square has no value no unit and no empty brackets stand behind the words."""
    text = page_of(tmp_path, "3 V", within="2 %",
                   decision_rule="guard band by root-sum-square").text
    assert "no reading is left" in text and "( counts)" not in text and "than T V" not in text


def test_no_room_in_the_table(tmp_path):
    """A point that can't be decided has its U and its ratio, no risks, and a row in the picture."""
    page = page_of(tmp_path, "3 V", within="2 %", decision_rule="guard band of U",
                   in_tolerance="95 %")
    (row,) = rows_of(page)
    assert row.expanded == "0.060" and row.tur == "0.2" and (
        row.specific, row.false_accept, row.false_reject) == ("", "", "")
    ((one,),) = [drawn(picture) for picture in pictures(page)]
    assert one["hatched"] == [pytest.approx((-100, 100), abs=0.2)] and len(one["whiskers"]) == 1
    assert "No point has limits and an uncertainty, so no risk can be stated." in page.text


def test_units_of_the_evidence_are_those_of_the_range(tmp_path):
    """On a millivolt range every number is in millivolts."""
    one = function("DC voltage", range_("600 mV", "0.1 mV", "0.5 % + 3 counts"))
    (row,) = rows_of(page_of(tmp_path, "300 mV", within="100 ppm", one=one))
    assert row.unit == "mV" and [float(line.value)
                                 for line in row.lines] == [0.03, 0.05] and row.t == 1.8


def test_two_standards_are_told_apart(tmp_path):
    """Each point's budget names the standard that it was tried with."""
    other = standard({}, standard="plover", name="Plover", outputs=[
        {"output": "AC voltage", "terminals": ["HI", "LO"],
         "rows": [{"values": "0 V to 10 V", "frequency": "40 Hz to 1 kHz", "within": "0.2 %"}]}])
    ac = function("AC voltage",
                  range_("6 V", "1 mV",
                         [{"within": "1 % + 3 counts", "frequency": "40 Hz to 1 kHz"}],
                         lowest="5 mV"))
    points = [{"function": "DC voltage", "apply": "3 V"},
              {"function": "AC voltage", "apply": "3 V", "frequency": "50 Hz"}]
    shop = load(tmp_path, meter(DC, ac), plan(*points, standards=["petrel", "plover"]),
                standard({"DC voltage": {"values": "0 V to 10 V"}}),
                {"standards/plover.yaml": other})
    page = parse(render.render(shop).pages[f"evidence/{the_procedure(shop).id}.md"])
    assert {row.lines[0].component
            for row in rows_of(page)} == {"Petrel, its accuracy", "Plover, its accuracy"}
    assert "Petrel: certificate P-1" in page.text and "Plover: certificate P-1" in page.text
