"""What meters read last, for the band on the phone."""

import math
from datetime import date
from types import SimpleNamespace as Made

from builder.pages import last_readings
from builder.records.history import History


def test_the_last_reading_of_each_point_is_given():
    """The latest one, not the first; a meter without records has an empty file; an overload has no
    place in a band."""
    errors = [Made(day=date(2024, 3, 1), percent=12.34), Made(day=date(2025, 3, 1), percent=-28.06)]
    over = [Made(day=date(2025, 3, 1), percent=math.inf)]
    history = Made(meter="dunlin", serial="</script>", courses=[
        Made(point=Made(id="dcv-6V"), errors=errors), Made(point=Made(id="dcv-60V"), errors=over)])
    history.last_errors = History.last_errors.fget(history)
    assert last_readings.scripts(["dunlin", "whimbrel"], [history]) == {
        "data/last/dunlin.js":
            'Bench.last({"\\u003c/script>":{"dcv-6V":["2025-03-01",-28.1]}});\n',
        "data/last/whimbrel.js": "Bench.last({});\n"}
