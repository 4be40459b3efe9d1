"""What stands inside a record, each at its step: readings, ticks and labels."""

from __future__ import annotations

import pytest

from builder.records.readings import Answer, Closing, text_of
from builder.shop import loading
from tests.recorded import data_of, put, record


VOLT, OTHER_VOLT, LIVE = "dcv-6V-3.000V", "dcv-6V--3.000V", "dcv-600V-540.0V"


def entries(root, made: dict):
    """What was read of one record, which has no problem."""
    put(root, "x.json" if isinstance(made.get("judged_by"), dict) else "x.yaml", made)
    shop = loading.load_shop(root)
    assert not shop.problems, "\n".join(map(str, shop.problems))
    (found,) = [one for one in shop.records.values() if one.head.serial == "0147"]
    return found.entries


def tries(found, id: str) -> list[tuple]:
    return [one.readings for one in found.tries.get(id, ())]


def test_ticks_notes_labels_and_closings(root):
    """What stands beside the readings: good, not good and not done; what was written down; the
    reading near zero; the label's own number and date."""
    made = record(data_of(root), {VOLT: {"reading": "3.002", "note": "drifts"}},
                  {"1.1": "no", "1.2": "-", "2.1": {"good": "yes", "write": "0.58"}},
                  closed={"6": "0.02"}, notes={"5.2": "slow", "1.1": "worn"},
                  standards={"petrel": {"number": "77", "due": "2027-06-30", "certificate": "-"}})
    found = entries(root, made)
    assert found.answers == {"1.1": Answer(False, ""), "1.3": Answer(True, ""),
                             "1.4": Answer(True, ""), "2.1": Answer(True, "0.58")}
    assert found.notes == {"5.1": "drifts", "5.2": "slow", "1.1": "worn"}
    assert found.closings == {"6": Closing(True, "0.02")}
    assert found.labels == {"petrel": {"standard": "petrel", "number": "77", "due": "2027-06-30"}}


@pytest.mark.parametrize("given, closing", [
    ("yes", Closing(True, "")), ("no", Closing(False, "")), ("0.1", Closing(True, "0.1")),
    ("-", None), ("", None)])
def test_how_a_live_group_was_closed(given, closing, root):
    """A reading near zero says that it was; '-' says nothing."""
    found = entries(root, record(data_of(root), closed={"6": given}))
    assert found.closings.get("6") == closing


@pytest.mark.parametrize("value, text", [
    (None, ""), (True, "yes"), (False, "no"), (" 3.0 V ", "3.0 V"), (3, "3"), ([], None),
    ({"reading": "3"}, None)])
def test_a_single_value_as_text(value, text):
    """Nothing is an empty text; a list or a group of keys is no text at all."""
    assert text_of(value) == text
