"""Which answers at a step are from before work on the meter: the table that the builder and a phone
are held to. Each is (the step of the work, the step, answers given there, whether the first is a
'no', how many of them stand)."""

from __future__ import annotations

CASES = (
    ("7.4", "7.3", 1, False, 1), ("7.4", "7.3", 2, False, 2), ("7.4", "7.3", 0, False, 0),
    ("7.4", "6.9", 2, True, 2), ("7.4", "1.1", 1, False, 1),
    # at the step itself: the first of several; a single one only where it is a 'no'
    ("7.4", "7.4", 0, False, 0), ("7.4", "7.4", 1, False, 0), ("7.4", "7.4", 1, True, 1),
    ("7.4", "7.4", 2, False, 1), ("7.4", "7.4", 3, True, 1),
    ("7.4", "7.5", 1, False, 0), ("7.4", "7.5", 2, True, 0), ("7.4", "8.1", 1, True, 0),
    # as numbers, and not as texts or decimals
    ("7.4", "7.10", 1, False, 0), ("7.10", "7.4", 1, False, 1), ("7.10", "7.9", 1, False, 1),
    ("7.10", "7.1", 1, False, 1), ("7.1", "7.10", 1, False, 0), ("9.1", "10.1", 1, False, 0),
    ("10.1", "9.9", 1, False, 1),
    ("end", "7.4", 1, False, 1), ("end", "99.99", 2, True, 2),
)
