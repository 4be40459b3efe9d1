"""Which limits a point falls under, and whose they are."""

from fractions import Fraction as F

import pytest

from builder.procedure.on_times import limited, reading_time, seconds, time_limits
from tests.small_shop import (LEADS, box, coil, function, load_points, range_, row, standard,
                              the_procedure)

BAND = [row("1 %", frequency="45 Hz to 1 kHz")]
SHORT = {"on_at_most": "30 s", "off_at_least": "10 min"}
CLAMP = {"function": "AC current", "clamp": "yes", "ranges": [
    range_("60 A", "10 mA", BAND, lowest="3 A", on_at_most="1 min")]}
AMPS = function("DC current", range_("10 A", "10 mA", "1 %", **SHORT), jacks=["COM", "A"],
                confirmed="COM stands first here")
OHMS = function("resistance", range_("600 ohm", "0.1 ohm", "1 % + 5 counts", **SHORT))
BOX = box(("100 ohm", "100 ohm", "1 mohm"))


@pytest.mark.parametrize("one, point, standards, expected", [
    (AMPS, {"apply": "3 A"}, [standard()], [("Jacks A and COM", 30, 600)]),
    (CLAMP, {"apply": "30 A", "frequency": "50 Hz"},
     [standard(), coil(on_at_most="40 s", off_at_least="2 min")],
     [("Jaw", 60, 0), ("Scoter coil", 40, 120)]),
    (CLAMP | {"ranges": [range_("60 A", "10 mA", BAND)]}, {"apply": "30 A", "frequency": "50 Hz"},
     [standard(), coil()], []),
    # a box puts nothing out
    (OHMS, {"apply": "100 ohm"}, [BOX], []),
])
def test_the_limits_of_a_point(one, point, standards, expected, tmp_path):
    """That of the range, shared by all that use its jacks in whatever order a file names them, and
    that of the coil."""
    shop = load_points(tmp_path, one, point, standards=standards, plan_more={"leads": LEADS})
    planned = the_procedure(shop).points[-1].planned if one is OHMS else (
        the_procedure(shop).points[0].planned)
    limits = time_limits(planned.function, planned.range, planned.supply)
    assert [(str(limited(x)), x.on, x.off) for x in limits] == expected


def test_times_are_shown_in_seconds():
    """As a watch counts them, whatever the file has."""
    assert seconds(F(600)).replace("\u00a0", " ") == "600 s"
    assert (reading_time(""), reading_time("ceiling")) == (10, 60)
