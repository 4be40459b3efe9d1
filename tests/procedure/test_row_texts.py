"""What stands in a row of the sheet, by hand."""

from types import SimpleNamespace

import pytest

from builder.numbers import units
from builder.procedure.row_texts import read_unit
from tests.procedure.test_refusals import AC, COUNTER, DC, OHM_BOX, OHMS
from tests.small_shop import (LEADS, coil, load_points, range_, reference, row, standard,
                              the_procedure)


def row_of(folder, one: dict, point: dict, **more) -> tuple[str, str, str, str]:
    """Applied, beside, tolerance and unit of the only point, or of the last."""
    it = the_procedure(load_points(folder, one, point, **more)).points[-1]
    return tuple(" ".join(text.replace("\u202f", " ").split())
                 for text in (it.apply, it.at, it.tolerance, it.unit))


def test_a_value_has_the_decimals_of_the_display(tmp_path):
    """3 V on a display of 1 mV; 0.4 % and 2 counts of it are 14 mV."""
    assert row_of(tmp_path, DC, {"apply": "3 V"}) == ("3.000 V", "", "0.014", "V")


def test_beside_an_alternating_voltage_stands_its_frequency(tmp_path):
    """1 % of 3 V and 3 counts are 33 mV."""
    assert row_of(tmp_path, AC, {"apply": "3 V", "frequency": "50 Hz"}) == (
        "3.000 V", "50 Hz", "0.033", "V")


def test_beside_a_frequency_stands_its_level(tmp_path):
    """0.1 % of 1 kHz and 3 counts are 4 Hz."""
    assert row_of(tmp_path, COUNTER, {"apply": "1 kHz", "level": "5 V"}) == (
        "1.000 kHz", "5 V", "0.004", "kHz")


def test_a_part_by_its_nominal_value_and_beside_it_the_certified_one(tmp_path):
    """0.9 % of 100.003 Ω and 5 counts are 1.400027 Ω; the digits after the display's stay."""
    applied, beside, tolerance, unit = row_of(tmp_path, OHMS, {"apply": "100 ohm"},
                                              standards=[OHM_BOX], plan_more={"leads": LEADS})
    assert (applied, beside, unit) == ("100 Ω", "100.003", "Ω")
    assert tolerance.startswith("1.4")


def test_the_leads_alone_have_nothing_beside_them(tmp_path):
    """Their row comes first, and says how they lie."""
    first = the_procedure(load_points(tmp_path, OHMS, {"apply": "100 ohm"}, standards=[OHM_BOX],
                                      plan_more={"leads": LEADS})).points[0]
    assert (first.apply, first.at, first.tolerance) == ("leads together", "", "")


def test_beside_a_clamped_current_stands_what_the_source_sets(tmp_path):
    """A coil of 50 turns makes 30 A of 0.6 A."""
    clamp = {"function": "AC current", "clamp": "yes",
             "ranges": [range_("60 A", "10 mA", [row("2 % + 5 counts",
                                                     frequency="45 Hz to 1 kHz")])]}
    assert row_of(tmp_path, clamp, {"apply": "30 A", "frequency": "50 Hz"},
                  standards=[standard(), coil()]) == ("30.00 A", "50 Hz, 0.6 A", "0.65", "A")


def test_beside_a_reference_reading_the_tolerance_is_a_table(tmp_path):
    """It changes with that reading, so the sheet has it for several of them."""
    skua = reference(("DC voltage",
                      {"values": "0 V to 10 V", "resolution": "10 uV", "within": "0.01 %"}))
    assert row_of(tmp_path, DC, {"apply": "3 V", "compare_on": "a bench supply"},
                  standards=[skua]) == ("about 3 V", "", "table", "V")


@pytest.mark.parametrize("find, unit", [("bandwidth", "Hz"), ("sensitivity", "mV"), ("", "V")])
def test_the_unit_of_what_is_written_down(find, unit):
    """A frequency where the bandwidth is looked for, the level's unit where the sensitivity is."""
    level = units.quantity("500 mV")
    assert read_unit(SimpleNamespace(find=find, level=level), units.unit("V")) == unit
