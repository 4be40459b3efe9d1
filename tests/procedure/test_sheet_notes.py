"""How a sheet's limits came about: what holds for all of its points, and the worked lines."""

import pytest

from tests.procedure.test_supplies_reference_meter import (GUARDED, VOLTS,
                                                           compared)
from tests.small_shop import function, load_points, range_, the_procedure


def test_the_worked_line_of_a_comparison(tmp_path):
    """Under a guard band the evidence prints no empty limits."""
    procedure = the_procedure(compared(tmp_path, VOLTS, "3 V", rule=GUARDED))
    (shown,) = procedure.evidence.functions
    assert not any("display:  to " in line for line in shown.worked)


AMPS = range_("10 A", "1 mA", "0.5 % of reading + 0.1 % of range")


@pytest.mark.parametrize("more, base", [({}, "10 A, the range's name"), ({"base": "20 A"}, "20 A")])
def test_what_percent_of_range_is_taken_of_is_said_once(more, base, tmp_path):
    """However many points there are, and only where an accuracy has such a term."""
    one = function("DC current", AMPS | more, display="10000 counts")
    procedure = the_procedure(load_points(tmp_path, one, {"apply": ["2 A", "5 A", "8 A"]}))
    said = [str(note).replace("\u00a0", " ") for note in procedure.basis]
    assert len([line for line in said if base in line]) == 1, said
    assert len([line for line in said if "percent of range" in line.lower()]) == 1, said


def test_a_function_has_one_worked_example(tmp_path):
    """The point in the middle of those above zero."""
    one = function("DC voltage", range_("6 V", "1 mV", "0.5 % + 2 counts"))
    procedure = the_procedure(load_points(tmp_path, one, {"apply": ["-5 V", "1 V", "3 V", "5 V"]}))
    (worked,) = procedure.worked
    assert worked.lines[0].replace("\u00a0", " ").startswith("3.000 V on the 6 V range")
