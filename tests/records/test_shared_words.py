"""What points of one meter have in common, in words."""

import pytest

from builder.records.shared_words import part_text
from tests.records.test_history_page import page_of, plain
from tests.records.test_shared_causes import rising


@pytest.mark.parametrize("share, text", [
    (72e-6, "+72 ppm"), (-4.2e-6, "−4.2 ppm"), (0.00123, "+0.12 %"), (-0.02, "−2.0 %"),
    (0.0, "0 ppm"), (0.000999, "+999 ppm")])
def test_a_part_of_the_value(share, text):
    """In ppm, from a thousand on in percent, with its sign."""
    assert plain(part_text(share)) == text


def test_a_drift_is_said_with_its_suspect(tmp_path):
    (line,) = page_of(tmp_path, *rising(0, 0.5, 1, 1.5, 2, 2.5)).shared
    assert plain(line).startswith(
        "DC voltage: the 3 points on 2 ranges drift together, by +479 ppm of the value a year "
        "(standard uncertainty 21 ppm, 6 records).")
    assert "That is one cause, and no 3 drifts: its voltage reference is suspected." in line
    assert "The chance of this by accident: " in line


def test_a_jump_is_said_with_what_else_it_may_be(tmp_path):
    (line,) = page_of(tmp_path, *rising(0, 0, 0, 0, 0, 3)).shared
    assert "all moved since the time before, by +0.30" in plain(line)
    assert "or the standard that one of the two records was read with" in line


def test_how_it_was_looked_for(tmp_path):
    """Also where nothing was found; nothing where nothing could be looked at."""
    page = page_of(tmp_path / "a", *rising(0, 0, 0, 0, 0, 0))
    assert page.shared == () and page.looked_at.startswith("One function was looked at together")
    assert page_of(tmp_path / "b", *rising(0, 0)).looked_at == ""


def test_several_at_one_rate(demo_shop):
    """The demo's four that go by one reference."""
    from builder.records import history, history_page
    own = history.histories(demo_shop.records, {})["whimbrel-200", "W-0088"]
    *lines, last = history_page.page(own, None).shared
    assert len(lines) == 4 and last.endswith(
        "do so at one rate, within what their uncertainties allow: look first for what all of them "
        "go by.")
