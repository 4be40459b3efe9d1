"""How long the work takes, in the words of the sheet's head."""

import pytest

from tests.small_shop import function, load, meter, plan, range_, the_procedure

VOLTS = function("DC voltage", range_("6 V", "1 mV", "1 %", on_at_most="30 s",
                                      off_at_least="10 min"))
WARM_UP = {"check": "warm-up and soak", "do": "Leave the meter switched on for 30 min"}
OWN = {"check": "own", "when": "by eye", "do": "Look at it for 30 min", "good": "x",
       "stops": "nothing", "of": "meter"}


@pytest.mark.parametrize("checks, apply, takes", [
    # a group and a point: 2 min 20 s
    ([], ["3 V"], "Takes about 5 min."),
    ([WARM_UP], ["3 V"], "Takes about 35 min: 5 min of work, 30 min of warm-up."),
    # two groups, a check, six points and two lines: 7 min 10 s
    ([WARM_UP | {"do": "Leave it on for 2 h"}], [f"{n / 2} V" for n in range(2, 8)],
     "Takes about 2 h 30 min: 10 min of work, 2 h of warm-up, 20 min of pauses."),
    # each reading is on for 10 s, the second for 20 s more, so the third waits
    ([], ["3 V", "4 V", "5 V"], "Takes about 15 min: 5 min of work, 10 min of pauses."),
    # a warm-up without a time: what is known is said once
    (["warm-up and soak"], ["3 V"], "Takes about 5 min, and the time of the warm-up."),
    (["warm-up and soak"], ["3 V", "4 V", "5 V"],
     "Takes about 20 min, and the time of the warm-up: 10 min of work, 10 min of pauses."),
    # no other check's time counts
    ([OWN], ["3 V"], "Takes about 5 min."),
])
def test_what_the_head_says(checks, apply, takes, tmp_path):
    """Work, warm-up as its check states it, pauses; only what there is."""
    shop = load(tmp_path, meter(VOLTS), plan({"function": "DC voltage", "apply": apply},
                                             checks=checks))
    assert the_procedure(shop).takes == takes
