"""What moved together, in words."""

from builder.records import together_page
from tests.records.test_history_page import plain
from tests.records.test_together import found_in, shop_with


def test_a_suspicion_is_said_with_its_reasons(tmp_path):
    """Which standard, where, by how much, when, why, and the chance of a false alarm."""
    page = together_page.page(found_in(shop_with(tmp_path)))
    row = page.rows[0]
    assert (row.suspect, row.where) == ("Petrel", "DC voltage, all values")
    assert plain(row.moved) == "+0.29 %" and row.month == "2022-05"
    why = plain(row.why)
    assert why.startswith("8 meters read before and after it differ by +0.29 %")
    assert "All are of one kind, Lapwing 1" in why and row.beyond
    assert "It is more than U of the surest of these readings, 0.10 %." in why
    assert why.endswith("The chance of this by accident: under 0.01 %.")
    assert "At that time 3 of 3 values of this function moved." in plain(page.rows[1].why)
    assert page.looked_at.startswith("6 values and functions were looked at in 44 months. Of a "
                                     "hundred shops whose standards do not move, 1 at most is told")


def test_what_is_within_u_is_said_to_be(tmp_path):
    """A little less than U, on all values: found, and no alarm."""
    page = together_page.page(found_in(shop_with(tmp_path, step=0.0009)))
    assert page.rows and not page.rows[0].beyond
    assert "It is within U of the surest of these readings" in page.rows[0].why


def test_nothing_to_look_at(tmp_path):
    page = together_page.page(found_in(shop_with(tmp_path, meters=2)))
    assert (page.rows, page.watched) == ((), ())
    assert page.looked_at.startswith("Nothing can be looked at yet: that takes three meters")
