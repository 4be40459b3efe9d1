"""The page of a meter's history: its tables and sentences, by hand."""

from datetime import date


from builder.records import history_page
from tests.records.test_history import VOLT, histories_of, shop_of, years

RISING = years("3.000", "3.003", "3.006", "3.009", "3.012", "3.013")


def page_of(folder, *records: dict, due: "date | None" = None) -> history_page.Page:
    shop = shop_of(folder, *records)
    return history_page.page(histories_of(shop)["lapwing-1", "0147"], due)


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


def errors_at(page, point: str = "3.000 V on 6 V"):
    (found,) = [row for _, rows in page.functions for row in rows if plain(row.point) == point]
    return found


def test_the_latest_stands_first_with_its_largest_error(tmp_path):
    """3.012 V is 12/14 of the tolerance; in the first year 540.4 V at 540 V ± 3 V was the largest,
    13 %."""
    page = page_of(tmp_path, *years("3.001", "3.012"))
    assert [(row.day.year, row.state, row.verdict, plain(row.worst), plain(row.at))
            for row in page.rows] == [
        (2021, "as found", "passes", "+86 %", "DC voltage, 3.000 V on 6 V"),
        (2020, "as found", "passes", "+13 %", "DC voltage, 540.0 V on 600 V")]
    assert [row.report for row in page.rows] == ["r1", "r0"]


def test_the_table_has_the_last_eight(tmp_path):
    """Oldest at the left; earlier ones are counted; an overload stands out, and 0 has no sign."""
    page = page_of(tmp_path, *years(*["3.000"] * 2, "2.993", "OL", "3.015", *["3.000"] * 5))
    assert page.earlier == 2 and [day.year for day, _ in page.columns] == list(range(2022, 2030))
    row = errors_at(page)
    assert [plain(cell.text) for cell in row.cells] == ["−50", "OL", "+107", *["0"] * 5]
    assert [cell.beyond for cell in row.cells] == [False, True, True, *[False] * 5]


def test_a_day_without_the_point_is_an_empty_cell(tmp_path):
    page = page_of(tmp_path, *years("3.007", "-", "3.014"))
    assert [cell.text for cell in errors_at(page).cells] == ["+50", "", "+100"]


def test_found_and_left_of_a_day_are_two_columns(tmp_path):
    """The state as found first."""
    page = page_of(tmp_path, {"volt": "3.020"},
                   {"state": "as left", "volt": "3.001", "adjusted": "DC voltage"})
    assert page.columns == ((date(2026, 3, 12), False), (date(2026, 3, 12), True))
    assert [cell.text for cell in errors_at(page).cells] == ["+143", "+7"]
    assert [row.state for row in page.rows] == ["as left", "as found"]


def test_a_drift_is_named_with_its_rate(tmp_path):
    """Six years: 0, 3, 6, 9, 12 and 13 mV rise by 95/35 = 2.714 mV a year, 19.4 % of 14 mV; the
    steady points have no rate."""
    page = page_of(tmp_path, *RISING)
    assert plain(errors_at(page).drift) == "+19.4 %"
    assert errors_at(page, "540.0 V on 600 V").drift == "–"
    (one,) = page.drifting
    assert (plain(one.point), plain(one.a_year)) == ("DC voltage, 3.000 V on 6 V", "+19.4 %")
    assert page.has_lines and page.drift.startswith("At 4 of 4 points there are 5 errors or more")
    first, last = one.reach.split(" to ")
    # the line itself reaches 14 mV a quarter of a year after the last reading
    assert first <= "2025-06" <= last


def test_where_no_line_is_drawn_yet(tmp_path):
    """It says how many errors there are, and that they count from the last adjustment."""
    one = page_of(tmp_path / "a", *years("3.000"))
    assert "at each point there is one error, and a line takes 5" in one.drift
    left = {"state": "as left", "adjusted": "DC voltage", "date": "2022-03-12",
            "issued": "2022-03-12"}
    some = page_of(tmp_path / "b", *years("3.000", "3.001", "3.002"), left)
    assert "there is one error since the last adjustment, and a line takes 5" in some.drift
    assert not some.has_lines and errors_at(some).drift == "" and some.drifting == ()


def test_the_pictures_are_of_the_largest_and_of_what_drifts(tmp_path):
    """Of each function the point with the largest last error; beside it whatever drifts or was
    beyond its tolerance."""
    assert len(page_of(tmp_path / "a", *years("3.001", "3.001")).pictures) == 2
    beyond = [head | {"readings": {"dcv-6V--3.000V": "-3.020"}} if n == 0 else head
              for n, head in enumerate(years("3.001", "3.001"))]
    assert len(page_of(tmp_path / "b", *beyond).pictures) == 3


def test_points_that_read_alike_are_told_apart_by_their_steps(tmp_path):
    """Only where two do; their names stay the same on every sheet else."""
    history = histories_of(shop_of(tmp_path, *years("3.001")))["lapwing-1", "0147"]
    (course,) = [one for one in history.courses if one.point.id == VOLT]
    assert plain(history_page.point_text(course.point)) == "3.000 V on 6 V"
    wave = course.point.model_copy(update={"frequency": "1 kHz", "wave": "square"})
    assert plain(history_page.point_text(wave)) == "3.000 V, 1 kHz, square wave on 6 V"
