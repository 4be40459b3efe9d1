"""The limits of tables whose rows end in the open, hold at single frequencies or say DC, beside
`tests/row_tables.py`."""

import re
from fractions import Fraction

import pytest

from builder.files.problems import Wrong
from builder.numbers import units
from builder.shop import loading, quick_answer
from tests.row_tables import ASKED, TABLES
from tests.small_shop import write

SPACES = str.maketrans("\u00a0\u202f−", "  -")


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    made = loading.load_shop(write(tmp_path_factory.mktemp("rows") / "procedures", {
        f"meters/{name}.yaml": text for name, text in TABLES.items()}))
    assert not made.problems, "\n".join(map(str, made.problems))
    return made


@pytest.mark.parametrize("one", ASKED, ids=lambda one: f"{one.meter} {one.value} {one.hertz}")
def test_limits_beside_independent_arithmetic(one, shop):
    asked = shop.functions[one.meter], one.function, one.value, one.hertz or None
    if not one.percent:
        with pytest.raises(Wrong, match="no row|covers|specified"):
            quick_answer.answer(*asked)
        return
    lines, _, judged = quick_answer.answer(*asked)
    low, high = one.accepted()
    scale = units.quantity(one.value).unit.scale
    assert (judged.accepted.low * judged.range.resolution,
            judged.accepted.high * judged.range.resolution) == (low * scale, high * scale)
    shown = re.findall(r"-?\d+\.\d+", lines[-1].translate(SPACES).partition(": ")[2])
    assert list(map(Fraction, shown)) == [low, high]
