"""A check of a standard as its page says it, by hand."""

from builder.records import check_page
from tests.records.test_checks_between import STEADY, check_of, readings, shop_with
from tests.records.test_history_page import plain


def page_of(folder, values, **known):
    return check_page.page(check_of(shop_with(folder, {"readings": readings(values, **known)})))


def test_its_rows_and_numbers(tmp_path):
    """The latest first, as written; 0.4 mV above the mean is 2.3 of 0.1773 mV."""
    page = page_of(tmp_path, [*STEADY[:23], 10.0006], d22={"by": "IM"})
    first, second = page.rows[:2]
    assert (plain(first.reading), plain(first.off), first.said) == ("10.0006 V", "+2.3 σ", "")
    assert second.said == "by IM" and page.rows[-1].said == "one of the first"
    assert plain(page.limits) == ("Mean 10.00020 V of the first 20 readings, standard deviation "
                                  "0.000177 V by their moving range.")
    assert page.earlier == 0 and "<svg" in page.picture


def test_zero_has_no_sign_and_zeros_stay(tmp_path):
    """On the mean; and 10.0000 keeps its zeros."""
    page = page_of(tmp_path, [*STEADY[:20], 10.0002, 10.0000])
    assert [plain(row.off) for row in page.rows[:2]] == ["−1.1 σ", "0.0 σ"]
    assert plain(page.rows[0].reading) == "10.0000 V"


def test_without_a_chart_there_are_no_limits(tmp_path):
    page = page_of(tmp_path, STEADY[:5])
    assert (page.limits, page.low, page.picture) == ("", "", "")
    assert {row.off for row in page.rows} == {""}


def test_the_table_has_the_last_thirty(tmp_path):
    page = page_of(tmp_path, STEADY[:20] + STEADY[:14])
    assert len(page.rows) == check_page.SHOWN and page.earlier == 4
