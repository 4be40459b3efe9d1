"""Ambient and humidity at their moments."""

from __future__ import annotations

import pytest
from pydantic import TypeAdapter, ValidationError

from builder.formats.conditions import ReadConditions, group_after

READ = TypeAdapter(ReadConditions)


@pytest.mark.parametrize("given, read", [
    ("22.8 degC", {"": "22.8 degC"}), ("", {}),
    ({"start": "22", "before 17": "23", "end": "24"}, {"start": "22", "before 17": "23",
                                                       "end": "24"}),
    ({"start": "-", "end": ""}, {})])
def test_what_is_read(given, read):
    assert READ.validate_python(given) == read


@pytest.mark.parametrize("given, says", [
    ({"begin": "22"}, "'begin' is no moment"), ({"before 0": "22"}, "no moment"),
    ({"before": "22"}, "no moment"), (["22", "23"], "not a list"),
    ({"start": ["22"]}, "one value"), ("x" * 61, "longer"), ({"end": "x" * 61}, "longer"),
    ({f"before {n}": "22" for n in range(1, 60)}, "one value")])
def test_what_is_refused(given, says):
    with pytest.raises(ValidationError, match=says):
        READ.validate_python(given)


def test_moments_in_their_order():
    assert [group_after(one) for one in ("start", "", "before 3", "before 17", "end")] == [
        0, 0, 3, 17, float("inf")]
