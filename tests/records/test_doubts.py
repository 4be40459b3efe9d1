"""What keeps a record's readings from being judged, or contradicts them: a warning where it was
typed."""

from __future__ import annotations

from datetime import date

import pytest

from builder.records.doubts import doubts
from builder.shop import loading
from tests.recorded import data_of, folder_with, put, record


@pytest.fixture
def doubted(tmp_path):
    """The doubts about one record: where, and what."""
    root = folder_with(tmp_path)

    def of(name: str = "a", as_of: date | None = None, **head) -> list:
        put(root, f"{name}.yaml", record(data_of(root), **head))
        shop = loading.load_shop(root)
        assert not shop.errors, "\n".join(map(str, shop.errors))
        found = doubts(shop.records[name], as_of)
        assert {one.severity for one in found} <= {"warning"} and all(one.hint for one in found)
        if as_of is None:
            assert [one.sentence for one in found] == [one.sentence for one in shop.problems]
        return [(one.place.text.strip().partition(":")[0].strip('"'), one.sentence)
                for one in found]
    return of


def test_a_good_record_leaves_none(doubted):
    assert doubted() == []


@pytest.mark.parametrize("head, at, says", [
    ({"ambient": {"start": "22 degC", "end": "31.0 degC"}}, "end", "31.0 degC is outside 18"),
    ({"ambient": {"start": "warm", "end": "22 degC"}}, "start", "'warm' can't be compared"),
    ({"ambient": "31 degC"}, "ambient", "31 degC is outside"),
    ({"ambient": "22 degC"}, "ambient", "was recorded once"),
    ({"ambient": None}, "procedure", "the ambient was not recorded"),
    ({"standards": {"petrel": {"due": "2026-03-11"}}}, "due", "Petrel was due on 2026-03-11"),
    ({"standards": {"petrel": {"calibrated": "2026-03-13"}}}, "calibrated",
     "was calibrated on 2026-03-13, after"),
    ({"standards": {"petrel": {"certificate": "another"}}}, "certificate",
     "no day of calibration for certificate another"),
    ({"standards": {"petrel": {"due": "soon"}}}, "due", "no due date that can be compared"),
    ({"verdict": "all within", "readings": {"5.1": "3.020"}}, "verdict", "step 5.1 is outside"),
    ({"verdict": "all within", "readings": {"5.1": "-"}}, "verdict", "step 5.1 was not done"),
    ({"verdict": "not all within"}, "verdict", "every reading is within"),
    ({"verdict": "not completed"}, "verdict", "every step was done"),
    ({"verdict": "not safe to use"}, "verdict", "no check that stops everything is a no"),
    ({"verdict": "all within", "checks": {"Case": "no"}}, "verdict", "stops everything is a no"),
])
def test_each_at_its_place(doubted, head, at, says):
    found = doubted(**head)
    assert any(place == at and says in sentence for place, sentence in found), found


@pytest.mark.parametrize("head", [
    {"verdict": "all within"}, {"verdict": "not all within", "readings": {"5.1": "3.020"}},
    {"verdict": "not completed", "readings": {"5.1": "-"}},
    {"verdict": "not safe to use", "checks": {"Case": "no"}}])
def test_a_verdict_that_is_true_is_left_alone(doubted, head):
    assert not [one for one in doubted(**head) if one[0] == "verdict"]


def test_the_day(doubted):
    """A file that is named for another day, and work after the day of the pages."""
    assert doubted("2026-03-12-lapwing-1") == []
    assert "is called 2026-03-11-lapwing-1" in doubted("2026-03-11-lapwing-1", serial="2")[0][1]
    assert doubted(serial="3", as_of=date(2026, 3, 12)) == []
    assert "is after 2026-03-11, the day of the pages" in doubted(
        serial="3", as_of=date(2026, 3, 11))[0][1]
