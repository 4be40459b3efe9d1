"""A meter's tables as data beside the pages: enough for anyone to compute the limits of any
value."""

import pytest

from builder.procedure.data_of_meter import meter_data
from tests.procedure.test_data_of_sheet import FUNCTIONS
from tests.small_shop import load, meter


@pytest.fixture(scope="module")
def functions(tmp_path_factory) -> dict[str, dict]:
    """The data of each function by its name."""
    shop = load(tmp_path_factory.mktemp("data"), meter(*FUNCTIONS))
    made = meter_data(shop.meters["lapwing-1"], shop.functions["lapwing-1"]).as_data()
    return {one["function"]: one for one in made["functions"]}


def test_the_meters_table_gives_the_same_lines(functions):
    """Slope and offset of each row at the reference temperature, exact; in °F a fixed degree
    Celsius is 1.8."""
    rows = {(name, r["range"], i): (row["slope"], row["offset"]) for name,
            f in functions.items() for r in f["ranges"] for i, row in enumerate(r["rows"])}
    assert rows[("DC voltage", "600 mV", 0)] == ("0.005", "0.3 mV")
    assert rows[("DC voltage", "6 V", 0)] == ("0.0005", "0.0006 V")
    assert rows[("DC voltage", "600 V", 0)] == ("0.00005", "0.02 V")
    assert rows[("AC voltage", "60 V", 1)] == ("0.02", "0 V")
    assert rows[("duty cycle", "100 %", 0)] == ("0", "0.7 %")
    assert rows[("DC current", "600 uA", 0)] == ("0.01", "0.5 uA")
    assert rows[("temperature", "400 degF", 0)] == ("0.01", "1.8 degF")
    assert functions["AC voltage"]["ranges"][1]["down_range"] == "5.5 V"
    assert [f["shows_minus"] for f in functions.values()] == [True, False, False, True, True]


def test_what_the_input_bears_is_in_the_data(functions):
    """The rating between terminals for voltages and for a level, nothing where the file says
    nothing."""
    inputs = {f["function"]: (f["input"]["highest"], f["needs_level"], f["is_ac"])
              for f in functions.values()}
    assert inputs == {"DC voltage": ("1000 V", False, False), "AC voltage": ("1000 V", False, True),
                      "duty cycle": ("1000 V", True, False),
                      "DC current": (None, False, False), "temperature": (None, False, False)}
