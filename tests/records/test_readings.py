"""What stands inside a record, each at its step: readings, ticks and labels."""

from __future__ import annotations

import pytest

from builder.records.readings import Answer, Closing, asked_for, is_number, text_of
from builder.shop import loading
from tests.recorded import OTHER, data_of, only_problem, phone, put, record


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
                  {"1.1": {"no": "worn"}, "1.2": "-", "1.3": "-", "1.4": "-",
                   "2.1": {"yes": "0.58"}},
                  closed={"6": "0.02 V"}, initials={"5": "IM", "6": "TA", "4": "-"},
                  standards={"petrel": {"number": "77", "due": "2027-06-30", "certificate": "-"}})
    found = entries(root, made)
    assert found.answers == {"1.1": Answer(good=False), "2.1": Answer(good=True, write="0.58")}
    assert found.notes == {"5.1": "drifts", "1.1": "worn"}
    assert found.initials == {"5": "IM", "6": "TA"}
    assert found.closings == {"6": Closing(closed=True, near_zero="0.02 V")}
    assert found.labels == {"petrel": {"standard": "petrel", "number": "77", "due": "2027-06-30"}}


@pytest.mark.parametrize("text, number", [("3", True), ("-0.5 V", True), ("12 mm", True),
                                          ("chipped", False), ("", False), ("OL", False)])
def test_what_is_a_number(text, number):
    assert is_number(text) is number


@pytest.mark.parametrize("given, closing", [
    ("no", Closing(closed=False)), ("0.1 V", Closing(closed=True, near_zero="0.1 V")),
    ({"otherwise": "mains off", "by": "AB"}, Closing(closed=True, otherwise="mains off", by="AB")),
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


# ---------------------------------------------------------------- several answers at a check

NO, YES = Answer(good=False), Answer(good=True)
NOT_HERE = Answer(good=None, not_here=True, by="XY")


@pytest.mark.parametrize("given, kept", [
    ({"no": "", "then": ["yes"]}, Answer(good=True, earlier=(NO,))),
    ({"no": "", "then": ["no", {"yes": "new leads"}]},
     Answer(good=True, write="new leads", earlier=(NO, NO))),
    ({"no": "cut", "then": [{"yes": ""}]},
     Answer(good=True, earlier=(Answer(good=False, write="cut"),))),
    ({"yes": "", "then": []}, YES), ({"note": "", "then": ["yes"]}, YES),
    ({"not on this meter": "XY"}, NOT_HERE),
    ({"no": "", "then": [{"not on this meter": "XY"}]},
     Answer(good=None, not_here=True, by="XY", earlier=(NO,)))])
def test_every_answer_is_kept(given, kept, root):
    """The last one counts, the first ones stay beside it, from paper and from a phone."""
    found = entries(root, record(data_of(root), checks={"2.1": given}))
    assert found.answers["2.1"] == kept
    if kept.all:
        answers = [{"answer": one.said, "write": one.write, "by": one.by, "at": None}
                   for one in kept.all]
        made = phone(data_of(root))
        (root / "records/x.yaml").unlink()
        made["checks"][4] |= {"answers": answers, "good": {True: "yes", False: "no"}.get(kept.good)}
        assert entries(root, made).answers["2.1"] == kept


@pytest.mark.parametrize("step, given, word", [
    ("2.1", {"no": "", "then": ["perhaps"]}, "neither yes nor no"),
    ("2.1", {"no": "", "then": [{"yes": "", "then": ["no"]}]}, "'then'"),
    ("2.1", {"not on this meter": ""}, "initials"), ("2.1", "not on this meter", "initials"),
    # never for what every meter has
    ("1.2", {"not on this meter": "XY"}, "no meter is without"),
    ("2.1", {"no": "", "bye": "XY"}, "'bye'")])
def test_an_answer_that_can_not_stand(step, given, word, root):
    """A problem at its place, with a hint."""
    put(root, "x.yaml", record(data_of(root), checks={step: given}, serial="5"))
    problem = only_problem(root, OTHER)
    assert word in f"{problem.sentence} {problem.hint}"


@pytest.mark.parametrize("change, word", [
    ({"answers": [{"answer": "no"}, {"answer": "yes"}], "good": "no"}, "not the last"),
    ({"answers": "yes", "good": "yes"}, "no list of answers"),
    ({"answers": [{"answer": "maybe"}], "good": "yes"}, "neither yes nor no")])
def test_answers_that_were_changed_by_hand(change, word, root):
    made = phone(data_of(root), serial="5")
    made["checks"][4] |= change
    put(root, "x.json", made)
    assert word in only_problem(root, OTHER).sentence


@pytest.mark.parametrize("given, good, outside", [
    ({"yes": "0.55"}, True, False), ({"yes": "0.4"}, True, False), ({"yes": "0.8"}, True, False),
    ({"yes": "0.39"}, False, True), ({"yes": "0.81 V"}, False, True), ({"yes": "1"}, False, True),
    ({"yes": "0,55"}, True, False), ({"yes": "1,2 V"}, False, True),
    ({"yes": "about"}, True, False), ("yes", True, False),
    ({"no": "0.55"}, False, False), ({"no": "0.9"}, False, False)])
def test_the_number_decides_against_a_yes(given, good, outside, root):
    """The diode test asks for 0.4 to 0.8 V, both ends included. A no stays a no."""
    put(root, "x.yaml", record(data_of(root), checks={"Diode test": given}, serial="0147"))
    shop = loading.load_shop(root)
    found = shop.records["x"].entries.answers["2.1"]
    assert (found.good, found.outside) == (good, outside)
    assert [p.code for p in shop.problems] == (["number"] if outside else [])
    assert all(p.severity == "warning" for p in shop.problems)


def test_what_a_check_asks_for_in_words(root):
    checks = {one.check: one for one in loading.load_shop(root).procedures[
        "lapwing-yearly"].sheet_data.checks}
    assert asked_for(checks["Diode test"]) == "at least 0.4 V and at most 0.8 V"
    assert asked_for(checks["Ratings"]) == ""
