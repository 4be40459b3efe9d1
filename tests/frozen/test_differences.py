"""Plain data in words."""

import pytest

from builder.frozen.differences import differences, in_words


@pytest.mark.parametrize("value, said", [
    (None, "nothing"), ("", "nothing"), ([], "nothing"), ({}, "nothing"), (True, "yes"),
    (False, "no"), ("-3 V", "−3 V"), ("3 V", "3 V"), ("5 kOhm", "5 kΩ"), ("23.5 degC", "23.5 °C"),
    ("2026-03-12", "2026-03-12"), ("3 apples and pears", "3 apples and pears"),
    ("2 rooms", "2 rooms"), (["a", "b"], "a; b"), (7, "7"),
    ({"low": "-1 V", "high": "1 V", "low_counts": -1}, "−1 V to 1 V"),
    ({"U": "0.1 V", "k": "1.65", "u": "x"}, "0.1 V, k = 1.65"),
    ({"a": "x", "b": None, "c": ["y"]}, "a x, c y")])
def test_values(value, said):
    """As a reader expects them."""
    assert in_words(value) == said


def test_each_key_that_differs():
    """By its name; what only places an entry is passed over; digits that no reader sees are said
    to be so."""
    old = {"a": 1, "b_c": "x", "u": {"U": "1", "k": "2", "u": "3"}, "gone": "z", "step": "1"}
    new = {"a": 1, "b_c": "y", "u": {"U": "1", "k": "2", "u": "4"}, "new": "w", "step": "2"}
    assert list(differences(old, new, {"step"}, {"b_c": "what is said", "u": "uncertainty"})) == [
        "what is said y (before: x)", "uncertainty by less than is shown",
        "new w (before: nothing)", "gone nothing (before: z)"]
    assert list(differences(old, old, set(), {})) == []
