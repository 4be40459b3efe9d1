"""A check of a standard between its calibrations as its page says it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from builder.compute.statistics import individuals
from builder.drawing.check_chart import ChartSpot, check_chart
from builder.numbers.exact_text import NARROW, minus
from builder.records.checks_between import (ALARM, ENDED, IN_CONTROL, NO_CHART, NOT_ALLOWED,
                                            OVERDUE, ChartedReading, StandardCheck)
from builder.records.report_lines import quantity

SHOWN = 30      # readings in the table; earlier ones are in the file
RULES = {individuals.BEYOND: "beyond three σ",
         individuals.TWO_OF_THREE: "two of three beyond two σ on one side",
         individuals.EIGHT: "eight in a row on one side of the mean",
         NOT_ALLOWED: NOT_ALLOWED}
STATES = {
    ALARM: "An alarm stands. Use the standard for no verdict until it is settled.",
    OVERDUE: "The next reading is overdue.", ENDED: "It is read no more.",
    NO_CHART: "There are too few readings for a chart yet.",
    IN_CONTROL: "The readings are in control."}


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckRow:
    day: date
    reading: str
    off: str            # from the mean, in standard deviations
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckPage:
    own: StandardCheck
    says: str
    limits: str         # the numbers of the chart, "" without one
    picture: str
    rows: tuple[CheckRow, ...]      # the latest first
    earlier: int                    # readings and charts that the table leaves out
    low: str            # what the next reading should lie between; "" without a chart
    high: str


def page(own: StandardCheck) -> CheckPage:
    """Of the chart that is current; those before it stand in the file."""
    chart, readings = own.current.chart, own.current.readings
    places = max(_places(one) for one in readings) if readings else 0
    unit = own.check.value.unit.shown

    def said(value: float, more: int = 0) -> str:
        return minus(f"{value:.{places + more}f}") + NARROW + unit
    limits = low = high = ""
    if chart is not None:
        low, high = said(chart.line(-3), 1), said(chart.line(3), 1)
        limits = (f"Mean {said(chart.mean, 1)} of the first {chart.n} readings, standard deviation "
                  f"{said(chart.sigma, 2)} by their moving range.")
    rows = tuple(CheckRow(
        day=one.day, reading=quantity(one.entry.text),
        off="" if chart is None or not chart.sigma else _sigmas(
            (one.value - chart.mean) / chart.sigma),
        said=_said(one)) for one in reversed(readings[-SHOWN:]))
    every = sum(len(part.readings) for part in own.series)
    return CheckPage(own=own, says=STATES[own.state], limits=limits, picture=_picture(own),
                     rows=rows, earlier=every - len(rows), low=low, high=high)


def _sigmas(off: float) -> str:
    text = f"{off:+.1f}"
    return minus(text if float(text) else text[1:]) + NARROW + "σ"


def _places(reading: ChartedReading) -> int:
    number = reading.entry.text.split(" ")[0]
    return len(number.partition(".")[2])


def _said(reading: ChartedReading) -> str:
    entry = reading.entry
    return "; ".join(filter(None, (
        *(RULES[rule] for rule in reading.rules),
        f"void: {entry.because}" if entry.because else "",
        f"a chart begins: {entry.anew}" if entry.anew else "",
        f"done: {entry.done}" if entry.done else "", f"by {entry.by}" if entry.by else "",
        "one of the first" if reading.of_first and not reading.rules and not entry.anew else "")))


def _picture(own: StandardCheck) -> str:
    chart = own.current.chart
    if chart is None or not chart.sigma:
        return ""
    return check_chart(own.check.title, [
        ChartSpot(day=str(one.day), off=(one.value - chart.mean) / chart.sigma, alarm=one.alarms,
                  void=one.is_void) for one in own.current.readings])
