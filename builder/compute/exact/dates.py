"""Calendar dates: exact, in whole days and months, and never asking the clock."""

from __future__ import annotations

from datetime import date, timedelta

IN_SERVICE, DUE_SOON, OVERDUE = "in service", "due soon", "overdue"


def days_in_month(*, year: int, month: int) -> int:
    """28 to 31, in the Gregorian calendar."""
    if month == 12:
        return 31
    return (date(year, month + 1, 1) - timedelta(days=1)).day


def add_months(*, day: date, months: int) -> date:
    """The same day of the month so many months later (earlier, if negative), or that month's last
    day if it is shorter: 31 January and one month is the last day of February (common practice)."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, days_in_month(year=year, month=month + 1)))


def next_due(*, reported: date, months: int) -> date:
    """The day up to which a verification of that day counts, for an interval in whole months.
    Always from the report itself, never from the due date before: adding month by month would creep
    from the 31st to the 28th, and a late verification would shorten the next interval (choice of
    this project)."""
    if months < 1:
        raise ValueError("an interval is a month at least")
    return add_months(day=reported, months=months)


def state(*, due: date, on: date, soon: int = 30) -> str:
    """In service up to and including the due day, due soon from `soon` days before it (then, too,
    it is in service), overdue after it."""
    if on > due:
        return OVERDUE
    return DUE_SOON if (due - on).days <= soon else IN_SERVICE


def day_of(*, ordinal: int) -> date | None:
    """The date of a count of days (1 January of year 1 is 1), the inverse of `date.toordinal`; None
    outside of the years 1 to 9999."""
    return (date.fromordinal(ordinal) if date.min.toordinal() <= ordinal <= date.max.toordinal()
            else None)
