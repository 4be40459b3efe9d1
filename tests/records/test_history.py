"""A meter's history and the shop's page: from records in a folder to errors over the years, states
and due dates."""

import re
from datetime import date
from fractions import Fraction

import pytest
import scipy.stats

from builder.compute.statistics.trend import TOO_FEW, Fit, NoFit
from builder.pages import render
from builder.records import history, history_page, register
from builder.shop import loading, meters_held
from tests import recorded

VOLT = "dcv-6V-3.000V"     # T = 0.4 % of 3 V and 2 counts: 14 mV
YEARLY = {"interval_agreed": "12 months"}


def shop_of(tmp_path, *records: dict, plan: dict | None = YEARLY, workshop: dict | None = None,
            register: list[dict] | None = None):
    """`records` are heads, with `volt` for what was read at 3 V; `register` has its meters."""
    root = recorded.folder_with(tmp_path, plan)
    data = recorded.data_of(root)
    for n, head in enumerate(records):
        head = {"serial": "0147"} | head
        readings = {VOLT: head.pop("volt", "3.002"), **head.pop("readings", {})}
        checks = head.pop("checks", {})
        recorded.shops.write(root,
                             {
                                 f"records/r{n}.yaml": recorded.record(
                                     data, readings, checks, **head)})
    if workshop:
        recorded.shops.write(root,
                             {"workshop.yaml": {"name": "Invented Works",
                                                "address": "Shed 4"} | workshop})
    if register:
        meters = [{"meter": "lapwing-1"} | one for one in register]
        recorded.shops.write(root, {"register.yaml": {"meters": meters}})
    shop = loading.load_shop(root)
    assert not shop.errors, "\n".join(map(str, shop.errors))
    return shop


def histories_of(shop) -> dict:
    return history.histories(shop.records,
                             {name: plan.interval_agreed for name, plan in shop.plans.items()})


def register_of(shop) -> register.Register:
    return register.register(histories=histories_of(shop), plans=shop.plans,
                             standards=shop.standards,
                             meters={m.meter: m.name for m in shop.meters.values()},
                             listed=shop.register, as_of=shop.as_of)


def course_of(shop, serial="0147", id=VOLT) -> history.Course:
    return next(one for one in histories_of(shop)["lapwing-1", serial].courses
                if one.point.id == id)


def years(*volts: str, first: int = 2020, **more) -> list[dict]:
    return [{"date": f"{first + n}-03-12", "issued": f"{first + n}-03-12", "volt": volt} | more
            for n, volt in enumerate(volts)]


# ---------------------------------------------------------------- errors and their drift

def test_errors_are_in_percent_of_the_tolerance(tmp_path):
    """3.007 V at 3 V, where the tolerance is 14 mV, is 50 %; the order is that of the days,
    whatever the files are called."""
    shop = shop_of(tmp_path, *reversed(years("3.007", "2.993", "3.000")))
    course = course_of(shop)
    assert [(one.day.year, one.percent, one.left)
            for one in course.errors] == [(2020, 50, False), (2021, -50, False), (2022, 0, False)]
    assert course.resolution == pytest.approx(100 / 14)


def test_of_a_reading_that_flickers_the_middle_is_kept(tmp_path):
    """3.003/3.004 is judged by 3.004, and its course goes on with 3.0035: 25 % of 14 mV."""
    course = course_of(shop_of(tmp_path, *years("3.003/3.004", "3.004")))
    assert [one.percent for one in course.errors] == pytest.approx([25, 400 / 14])


def test_a_line_takes_five(tmp_path):
    """Four readings say nothing, and the page says so."""
    shop = shop_of(tmp_path, *years("3.000", "3.003", "3.006", "3.009"))
    assert course_of(shop).fit == NoFit(TOO_FEW, 4) and course_of(shop).reach is None
    page = history_page.page(histories_of(shop)["lapwing-1", "0147"], None)
    assert ("No line is drawn yet: at each point there are 4 errors at most, and a line takes 5."
            in page.drift and not page.drifting and not page.has_lines)


def test_a_line_against_another_library(tmp_path):
    """The slope through the printed readings, and when its prediction interval crosses the limit,
    by scipy.stats; U of the readings widens it by their quadratic sum."""
    read = ["3.000", "3.002", "3.003", "3.005", "3.006", "3.008"]
    course = course_of(shop_of(tmp_path, *years(*read)))
    days = [date(2020 + n, 3, 12).toordinal() for n in range(6)]
    percents = [float((Fraction(text) - 3) / Fraction("0.014") * 100) for text in read]
    line = scipy.stats.linregress(days, percents)
    assert isinstance(course.fit, Fit) and course.fit.slope == pytest.approx(line.slope, rel=1e-9)
    assert course.reach is not None
    mean = sum(days) / 6
    squares = sum((x - mean) ** 2 for x in days)
    residual = max((sum((y - line.intercept - line.slope * x) ** 2 for x,
                        y in zip(days, percents, strict=True)) / 4) ** 0.5, 100 / 14 / 12 ** 0.5)
    t, expanded = scipy.stats.t.ppf(0.975, 4), course.errors[0].expanded
    assert 0 < expanded == course.fit.expanded

    def edge(x, sign):
        own = t * residual * (1 + 1 / 6 + (x - mean) ** 2 / squares) ** 0.5
        return line.intercept + line.slope * x + sign * (own ** 2 + expanded ** 2) ** 0.5

    from_, to = course.reach.days
    assert edge(from_ - 1, 1) < 100 < edge(from_ + 2,
                                           1) and edge(to - 2, -1) < 100 < edge(to + 1, -1)


def test_an_adjustment_breaks_the_line(tmp_path):
    """Six verifications, one of them adjusted: what was found before belongs to another line."""
    before = years("3.000", "3.003", "3.006", "3.009", "3.012")
    left = {"date": "2024-03-13", "issued": "2024-03-13", "state": "as left",
            "adjusted": "DC voltage", "volt": "3.000", "follows": "r4"}
    after = years("3.001", "3.003", first=2025)
    shop = shop_of(tmp_path, *before, left, *after)
    course = course_of(shop)
    assert course.fit == NoFit(TOO_FEW, 3)
    own = histories_of(shop)["lapwing-1", "0147"]
    assert own.adjusted == (
        date(2024, 3, 13),) and "since the last adjustment" in history_page.page(own, None).drift


def test_what_was_left_without_an_adjustment_breaks_nothing(tmp_path):
    """As left on the day of as found, nothing adjusted: the found ones go on."""
    left = {"date": "2024-03-12", "issued": "2024-03-12", "state": "as left", "volt": "3.012"}
    course = course_of(shop_of(tmp_path, *years("3.000", "3.003", "3.006", "3.009", "3.012"), left))
    assert isinstance(course.fit, Fit) and course.fit.n == 5


def test_an_overload_draws_no_line(tmp_path):
    """A reading that is no number has no place on a line."""
    course = course_of(shop_of(tmp_path, *years("3.000", "3.003", "OL", "3.009", "3.012")))
    assert not isinstance(course.fit, Fit) and course.was_beyond
    page = history_page.page(
        histories_of(shop_of(tmp_path / "again", *years("3.000", "OL")))["lapwing-1", "0147"], None)
    cells = {row.point: [c.text for c in row.cells] for _, rows in page.functions for row in rows}
    assert cells["3.000\u00a0V on 6\u00a0V"] == ["0", "OL"]


def test_the_interval_review(tmp_path):
    """Good at every point, twice and each after a whole year: the staircase lengthens. One beyond:
    it shortens. The worst point of a report rules."""
    def review(*volts):
        return histories_of(shop_of(tmp_path / "-".join(volts), *years(*volts)))[
            "lapwing-1", "0147"].reviews[0]
    good = review("3.002", "3.002")
    assert (good.staircase.months, good.chart, good.drawn) == (15, None, 0)
    assert review("3.002", "3.015").staircase.months == 8
    long = review(*["3.002"] * 6)
    assert long.drawn == long.of > 3 and long.chart.months == min(60, 36)


def test_a_shop_sets_its_own_steps(tmp_path):
    """Of the staircase: 20 % is good, by a half, after one; what it leaves out stays."""
    shop = shop_of(tmp_path, *years("3.002"), workshop={"staircase": {
        "good": "20 %", "in_a_row": 1, "longer": "50 %"}})
    steps = meters_held.steps_of(shop.workshop)
    assert (steps.good, steps.in_a_row, steps.longer, steps.shorter) == (20, 1, 0.5, 0.3)
    own = histories_of(shop)["lapwing-1", "0147"]
    assert own.reviews[0].staircase.months == 12
    (other,) = history.histories(shop.records, {"lapwing-yearly": "12 months"}, steps).values()
    assert other.reviews[0].staircase.months == 18 and other.reviews[0].concluded.months == 12
    assert meters_held.steps_of(None) == history.Steps()


def test_where_agreed_and_suggested_differ_the_shop_says_so(tmp_path):
    """One that was beyond and one that is steady; of a withdrawn meter nothing is said."""
    steady = [one | {"serial": "0152"} for one in years(*["3.001"] * 6)]
    gone = [one | {"serial": "0163"} for one in years("3.001", "3.020")]
    shop = shop_of(tmp_path, *years("3.001", "3.020"), *steady, *gone, register=[
        {"serial": "0147"}, {"serial": "0152"}, {"serial": "0163", "withdrawn": "lost"}])
    assert [(entry.serial, review.months, review.concluded.months)
            for entry, review in register_of(shop).to_think_about] == [
        ("0147", 12, 8), ("0152", 12, 15)]
    page = render.render(shop).pages["shop.md"]
    assert "Intervals that history would change" in page and "<b>8 months</b>" in page


def test_no_interval_no_review_and_no_due_date(tmp_path):
    """What nobody agreed to isn't reviewed."""
    shop = shop_of(tmp_path, *years("3.002"), plan=None, workshop={"as_of": "2020-06-01"})
    found = register_of(shop).entries[0]
    assert not found.history.reviews and found.due is None and found.states == (register.UNDATED,)


@pytest.mark.thorough
@pytest.mark.parametrize("serials", [["A/1", "a-1", "A 1"], ["../../x"], ["<b>", "*"], ["№ 5", "5"],
                                     ["x" * 90], ["CON", "con."]])
def test_each_serial_number_has_its_page(serials, tmp_path):
    """Whatever is in it: a name of its own, of plain letters; the page shows it as text."""
    shop = shop_of(tmp_path,
                   *({"date": f"2026-03-{n + 1:02}", "serial": one} for n,
                     one in enumerate(serials)))
    ids = [one.id for one in histories_of(shop).values()]
    assert len(set(ids)) == len(serials) and all(
        re.fullmatch(r"lapwing-1[a-z0-9-]+", one) for one in ids)
    pages = render.render(shop).pages
    assert {f"history/{one}.md" for one in ids} <= set(pages)
    assert not any("<b>" in re.sub(r"<b>[^<]*</b>", "", page) for name,
                   page in pages.items() if name.startswith("history/"))


@pytest.mark.parametrize("text, day, due", [
    ("12 months", "2026-01-31", "2027-01-31"), ("1 month", "2026-01-31", "2026-02-28"),
    ("2 years", "2024-02-29", "2026-02-28"),
    ("10 days", "2026-12-25", "2027-01-04"), ("2 weeks", "2026-02-20", "2026-03-06"),
    ("900 years", "9500-01-01", None),
    (None, "2026-01-01", None), ("soon", "2026-01-01", None), ("0 months", "2026-01-01", None),
    ("12 moons", "2026-01-01", None)])
def test_due_after(text, day, due):
    """By hand; what a record carries that is no interval gives no date."""
    assert history.due_after(date.fromisoformat(day),
                             text) == (date.fromisoformat(due) if due else None)


# ---------------------------------------------------------------- the demo's pages

def test_the_demo_has_eight_meters(demo):
    """One out of service, one scrapped and one new; one steady, one drifting over six years, one
    found out and adjusted, one repaired, one limited and overdue."""
    page = (demo.site / "shop.html").read_text(encoding="utf-8")
    rows = [" ".join(re.sub(r"<[^>]+>", " ", row).split())
            for row in re.findall(r"<tr[^>]* data-due=.*?</tr>", page, re.S)]
    assert len(rows) == 12 and "Pull from service: 2 of 8" in page
    (limited,) = [row for row in rows if "overdue ✗ limited" in row]
    assert "0152" in limited and "not for AC current" in limited
    drifting = (demo.site / "history/whimbrel-200-w-0088.html").read_text(encoding="utf-8")
    assert drifting.count(
        '<svg class="plot"') > 5 and "DC voltage, 500.0\u00a0V on 1000\u00a0V" in drifting
    adjusted = (demo.site / "history/dunlin-60-0147.html").read_text(encoding="utf-8")
    assert ("Adjusted" in adjusted and "No line is drawn yet" in adjusted
            and "shorten from 12 months to 8 months" in adjusted)
    steady = (demo.site / "history/turnstone-c-c-0312.html").read_text(encoding="utf-8")
    assert ("No line is drawn yet: at each point there are 3 errors at most" in steady
            and "shorten" not in steady)


@pytest.mark.parametrize("now, said",
                         [("2026-11-25", None), ("2026-12-08", "nothing has become overdue"),
                          ("2026-12-09", "Whimbrel 200, serial no. W-0088 (2026-12-08)"),
                          ("2027-07-02", "Fulmar (2027-06-30)")])
def test_an_old_copy_of_the_page_says_what_became_overdue(now, said, demo, served, browser):
    """By the clock of the device: a page that was built a month ago must not look like today's."""
    page = browser.new_page(service_workers="block")
    page.clock.set_fixed_time(f"{now}T12:00:00")
    page.goto(f"{served}shop.html")
    since = page.locator(".since")
    assert (said in since.inner_text()) if said else since.is_hidden()
    page.close()
