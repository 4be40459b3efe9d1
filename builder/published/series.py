"""Series of values: a line with the interval of a further value, and the limits of a chart."""

from __future__ import annotations

from builder.compute.statistics.individuals import ReadingsChart, charted
from builder.compute.statistics.interval import Chart, chart
from builder.compute.statistics.student import student
from builder.compute.statistics.trend import DatedError, Fit, fitted, half_width
from builder.numbers.statistics_text import figures
from builder.published.base import FROM_MEMORY, SECOND_HAND, Source, Value, listed

# Depth and reading: 16 pairs, second hand.
_PAIRS = zip((30, *range(100, 1600, 100)),
             (4642, 4612, 4565, 4513, 4476, 4433, 4389, 4347, 4303, 4251, 4201, 4140, 4100, 4073,
              4024, 3999), strict=True)
LINE = tuple(DatedError(float(x), float(y)) for x, y in _PAIRS)


def _line() -> Fit:
    found = fitted(points=LINE)
    assert isinstance(found, Fit)
    return found


def _new_value(x: float) -> float:
    """The variance of a single further value, back from its prediction interval."""
    fit = _line()
    return (half_width(fit=fit, x=x) / student(degrees=fit.degrees, probability=0.95)) ** 2


NATRELLA = Source("Natrella, NBS Handbook 91, 5-4.1", (
    Value(clause="", what="slope and intercept of a line through 16 pairs",
          should_be="−0.44985482, 4654.9846", sure=SECOND_HAND,
          built=lambda: listed((f"{_line().slope:.8f}", f"{_line().intercept:.4f}"))),
    Value(clause="", what="residual standard deviation, at six figures", should_be="9.27762",
          sure=SECOND_HAND, built=lambda: figures(_line().residual, 6)),
    Value(clause="", what="variances of slope and intercept, at six figures",
          should_be="0.0000256490, 19.8795", sure=SECOND_HAND,
          built=lambda: listed((f"{_line().u_slope ** 2:.10f}",
                                figures(_line().u_intercept ** 2, 6)))),
    Value(clause="", what="variance of the line at 1200", should_be="10.53", sure=SECOND_HAND,
          built=lambda: f"{_line().u_line(1200) ** 2:.2f}"),
    Value(clause="", what="variance of a further value at 750", should_be="91.45",
          sure=SECOND_HAND, built=lambda: f"{_new_value(750):.2f}"),
), "It prints eight figures, of which the last of three come out otherwise by one: 9.277617, "
   "0.000025649045, 19.879452. The last line is what the prediction interval of a drift rests on.")

CHARTED = (49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1)


def _charted() -> Chart:
    found = chart(errors=CHARTED)
    assert found is not None
    return found


def _between() -> ReadingsChart:
    made = charted(first=CHARTED)
    assert made is not None
    return made


CHARTS = Source("NIST/SEMATECH e-Handbook, 6.3.2.2, individuals chart", (
    Value(clause="", what="mean of ten values", should_be="50.81", sure=FROM_MEMORY,
          built=lambda: f"{_charted().mean:.2f}"),
    Value(clause="", what="its limits", should_be="45.8159, 55.8041", sure=FROM_MEMORY,
          built=lambda: listed(f"{end:.4f}" for end in _charted().action),
          because="the handbook takes them from the moving range; the builder’s chart takes three "
          "standard deviations s of all values, which a drift widens",
          accepts=lambda text: text == "44.7084, 56.9116"),
    Value(clause="", what="the limits of a chart of checks between calibrations",
          should_be="45.8159, 55.8041", sure=FROM_MEMORY,
          built=lambda: listed(f"{_between().line(times):.4f}" for times in (-3, 3))),
))
