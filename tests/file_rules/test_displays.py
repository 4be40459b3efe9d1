"""How far a range counts: by the meter's display, the function's, or its own."""

import pytest

from tests.small_shop import function, load, meter, range_

OWN = range_("600 Mohm", "0.1 Mohm", "3 % + 5 counts")
CODES = ("resolution", "counts", "value")
SIX = range_("600 kohm", "100 ohm", "3 % + 5 counts")


def problems(folder, *ranges, **more):
    return [(p.severity, p.code) for p in load(folder, meter(
        function("resistance", *ranges, **more))).problems if p.code in CODES]


def test_a_range_may_count_differently_from_its_function(tmp_path):
    """600.0 Mohm needs 5999 counts where the others have 60 000; 600.00 kohm needs them."""
    fine = range_("600 kohm", "10 ohm", "3 % + 5 counts")
    assert problems(tmp_path / "1", fine, OWN, display="60000 counts")[0] == (
        "warning", "resolution")
    assert problems(tmp_path / "2", fine, OWN | {"display": "6000 counts"},
                    display="60000 counts") == []
    assert problems(tmp_path / "3", fine | {"display": "60000 counts"}, OWN) == []
    assert problems(tmp_path / "4", fine, OWN) == [("error", "counts")]


@pytest.mark.parametrize("display", ["5000 counts", "6 000 digits"])
def test_a_ranges_own_display_is_what_it_is_held_to(display, tmp_path):
    assert [severity for severity, _ in problems(
        tmp_path, SIX | {"display": display}, display="60000 counts")] == ["error"]


def test_a_range_by_hand_beside_others_of_another_display_is_no_doubt(tmp_path):
    ranges = [range_(f"{n} ohm", "0.01 ohm", "1 % + 2 counts") for n in (20, 40)]
    coarse = range_("100 ohm", "1 ohm", "1 % + 2 counts")
    said = [[p.sentence for p in load(tmp_path / str(n), meter(function(
        "resistance", *ranges, coarse | more, ranging="manual"))).problems
        if "finer or coarser" in p.sentence] for n, more in enumerate(
            ({}, {"display": "100 counts"}))]
    assert [len(one) for one in said] == [1, 0]
