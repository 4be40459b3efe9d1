"""Where work on the meter ends the state as found: the table, and every place by brute force."""

from __future__ import annotations

from itertools import product

import pytest

from builder.files.problems import Wrong
from builder.formats.worked_on import _work, position, that_stand
from tests.worked_cases import CASES


@pytest.mark.parametrize("at, step, given, first_is_no, wanted", CASES)
def test_the_table(at, step, given, first_is_no, wanted):
    assert that_stand(step, given=given, work=position(at), first_is_no=first_is_no) == wanted


def test_every_place_in_a_sheet_by_brute_force():
    """The answers of a sheet in the order in which they were given: those behind the work fall
    away. At the step of the work it is not known when a single one was given."""
    sheet = [f"{group}.{number}" for group in (1, 2, 9, 10, 11) for number in (1, 2, 9, 10, 11)]
    assert sorted(sheet, key=position) == sheet
    for (at, work), given, is_no in product(enumerate(sheet), range(4), (True, False)):
        for n, step in enumerate(sheet):
            wanted = (given if n < at else 0 if n > at else 0 if given == 0
                      else 1 if given > 1 or is_no else 0)
            assert that_stand(step, given=given, work=position(work), first_is_no=is_no) == wanted
    assert all(that_stand(step, given=given, work=work) == given for step in sheet
               for given in range(4) for work in (None, position("end")))


def test_what_is_written_stands_in_the_order_of_the_sheet():
    assert list(_work({"end": "b", "7.10": "a", "7.9": None})) == ["7.9", "7.10", "end"]
    assert _work(None) == _work("") == {} and _work({"7.9": None}) == {"7.9": ""}


@pytest.mark.parametrize("value", [
    "battery", ["7.4"], {"7": "battery"}, {"": "battery"}, {"7.4 3 V": "battery"},
    {"before 7": "battery"}, {"7.4": ["battery"]}, {"7.4": "x" * 1001}, {"-7.4": "battery"},
    {f"1.{n}": "battery" for n in range(51)}])
def test_what_is_no_work_is_refused_with_a_hint(value):
    with pytest.raises(Wrong) as wrong:
        _work(value)
    assert wrong.value.hint
