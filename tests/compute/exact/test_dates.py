"""Calendar arithmetic: by hand, and against python-dateutil."""

from datetime import date, timedelta

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from builder.compute.exact.dates import (DUE_SOON, IN_SERVICE, OVERDUE, add_months, day_of,
                                         days_in_month, next_due, state)

days = st.dates(date(1900, 1, 1), date(2400, 12, 31))


@pytest.mark.parametrize("day, months, expected", [
    ("2026-01-31", 1, "2026-02-28"), ("2024-01-31", 1, "2024-02-29"),
    ("2024-02-29", 12, "2025-02-28"), ("2024-02-29", 48, "2028-02-29"),
    ("2026-11-25", 12, "2027-11-25"), ("2026-12-01", 1, "2027-01-01"),
    ("2026-08-31", 6, "2027-02-28"), ("2026-03-31", -1, "2026-02-28"),
    ("2026-05-15", 0, "2026-05-15"), ("2099-12-31", 2, "2100-02-28"),
    ("1999-12-31", 2, "2000-02-29"),
])
def test_months_by_hand(day, months, expected):
    """The same day of the month, or that month's last."""
    assert add_months(day=date.fromisoformat(day), months=months) == date.fromisoformat(expected)


@given(days, st.integers(-600, 600))
def test_months_as_dateutil_has_them(day, months):
    assert add_months(day=day, months=months) == day + relativedelta(months=months)


@given(days)
def test_months_have_their_days(day):
    """The last day of a month is followed by the first of the next."""
    last = day.replace(day=days_in_month(year=day.year, month=day.month))
    assert (last + timedelta(days=1)).day == 1


def test_a_due_date_does_not_creep():
    """From the report of the 31st the due date is a month's last day, and is 31 again a month
    later."""
    assert [next_due(reported=date(2026, 1, 31), months=n).day for n in (1, 2, 3)] == [28, 31, 30]


@pytest.mark.parametrize("months", [0, -3])
def test_an_interval_takes_time(months):
    with pytest.raises(ValueError, match="^an interval is a month at least$"):
        next_due(reported=date(2026, 1, 31), months=months)


@pytest.mark.parametrize("on, expected", [
    ("2026-05-01", IN_SERVICE), ("2026-05-31", IN_SERVICE), ("2026-06-01", DUE_SOON),
    ("2026-07-01", DUE_SOON), ("2026-07-02", OVERDUE), ("2030-01-01", OVERDUE),
])
def test_states(on, expected):
    """Due on 1 July: soon from 1 June, thirty days before; in service on the day itself, overdue
    the day after."""
    assert state(due=date(2026, 7, 1), on=date.fromisoformat(on)) == expected


@given(days, days, st.integers(0, 400))
def test_states_follow_each_other(due, on, soon):
    """Tomorrow's state is never an earlier one than today's."""
    order = [IN_SERVICE, DUE_SOON, OVERDUE]
    assert order.index(state(due=due, on=on, soon=soon)) <= order.index(
        state(due=due, on=on + timedelta(days=1), soon=soon))
    assert (state(due=due, on=on, soon=soon) == OVERDUE) == (on > due)


@given(days)
def test_counts_of_days(day):
    assert day_of(ordinal=day.toordinal()) == day


@pytest.mark.parametrize("ordinal", [0, -5, date.max.toordinal() + 1, 10 ** 12])
def test_days_of_no_calendar(ordinal):
    assert day_of(ordinal=ordinal) is None


def test_the_ends_of_the_calendar():
    assert add_months(day=date(9999, 11, 30),
                      months=1) == date(9999, 12, 30) and days_in_month(year=9999, month=12) == 31
    with pytest.raises(ValueError):
        add_months(day=date(9999, 12, 1), months=1)


def test_the_first_and_the_last_day_are_days():
    """And none lies outside."""
    from builder.compute.exact.dates import day_of
    for day in (date.min, date.max):
        assert day_of(ordinal=day.toordinal()) == day
    assert day_of(ordinal=0) is None and day_of(ordinal=date.max.toordinal() + 1) is None
