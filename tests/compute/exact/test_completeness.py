"""Completeness: tested, left out with a reason, or forgotten."""

from builder.compute.exact.completeness import completeness

REQUIRED = [("DCV", 6, "a"), ("DCV", 60, "a"), ("ACV", 6, "low"), ("ACV", 6, "high"),
            ("CONT", None, None)]


def table(tested, left_out):
    rows, unused = completeness(required=REQUIRED, tested=tested, left_out=left_out)
    return {r.key: (r.tested_by, r.left_out_because, r.is_forgotten) for r in rows}, unused


def test_what_is_neither_tested_nor_left_out_is_forgotten():
    """A plan with nothing in it forgets everything, in the order of the meter's file."""
    rows, unused = table({}, [])
    assert list(rows) == REQUIRED
    assert all(forgotten for _, _, forgotten in rows.values()) and unused == []


def test_a_test_of_one_row_tests_no_other():
    """A point tests its own row of its own range, and nothing beside it."""
    rows, _ = table({("ACV", 6, "low"): ["3.1"]}, [])
    assert rows[("ACV", 6, "low")] == (("3.1",), None, False)
    assert rows[("ACV", 6, "high")][2] and rows[("DCV", 6, "a")][2]


def test_left_out_by_function_range_or_row():
    """What is left out is named from wide to narrow, and None stands for all."""
    rows, unused = table({}, [(("DCV", None, None), "one"), (("ACV", 6, "high"), "two"),
                              (("CONT", None, None), "three")])
    assert [rows[k][1] for k in REQUIRED] == ["one", "one", None, "two", "three"]
    assert unused == []
    rows, unused = table({}, [(("DCV",), "by its beginning"), (("ACV", 6), "as well")])
    assert [rows[k][1] for k in REQUIRED] == ["by its beginning"] * 2 + ["as well"] * 2 + [None]
    assert unused == []


def test_leaving_out_what_is_tested_is_reported():
    """An entry that leaves out nothing but what is tested anyway is returned by its position."""
    rows, unused = table({("DCV", 6, "a"): ["1.1"], ("DCV", 60, "a"): ["1.2"]},
                         [(("DCV", None, None), "no"), (("ACV", None, None), "yes"),
                          (("DCV", 60, None), "no")])
    assert unused == [0, 2]
    assert rows[("DCV", 6, "a")] == (("1.1",), None, False)


def test_the_first_reason_that_holds_is_given():
    """Of two entries that leave out the same row the first gives the reason, and both count as
    used."""
    rows, unused = table({}, [(("ACV", 6, None), "first"), (("ACV", None, None), "second")])
    assert rows[("ACV", 6, "low")][1] == "first" and unused == []
