"""How long the work at a sheet takes, as its head says."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from builder.compute.exact.work_time import work_time
from builder.procedure.sentences import Sentence, sentence
from builder.procedure.sheet import SheetGroup

# A time in the words of the warm-up's check, such as "for 30 min".
_STATED = re.compile(r"\b([0-9]+) (min|h)\b")
_MINUTES = {"min": 1, "h": 60}


def takes(groups: Sequence[SheetGroup]) -> Sentence:
    """Work, warm-up and pauses, each where there is any; compute/exact/work_time.py has what is
    reckoned for each. The warm-up is as long as the words of its check say."""
    points = [point for group in groups for point in group.points]
    checks = [check for group in groups for check in group.checks]
    warm_ups = [_STATED.search(check.do) for check in checks if check.warm_up]
    stated = sum(int(one[1]) * _MINUTES[one[2]] for one in warm_ups if one)
    time = work_time(
        points=len(points), sought=sum(bool(p.planned.find) for p in points),
        lines=sum(bool(p.steps_before) for p in points), checks=len(checks), groups=len(groups),
        warm_up=Fraction(stated * 60),
        pauses=sum((p.pause for p in points if p.pause), Fraction(0)))
    parts = [sentence(code, time=_shown(seconds))
             for code, seconds in (("takes-work", time.work), ("takes-warm-up", time.warm_up),
                                   ("takes-pauses", time.pauses)) if seconds]
    besides = sentence("takes-warm-up-besides") if warm_ups and not stated else ""
    return (sentence("takes", total=_shown(time.total), besides=besides, parts=tuple(parts))
            if len(parts) > 1
            else sentence("takes-only", total=_shown(time.total), besides=besides))


def _shown(seconds: int) -> str:
    hours, minutes = divmod(seconds // 60, 60)
    return " ".join([*([f"{hours} h"] if hours else []), *([f"{minutes} min"] if minutes else [])])
