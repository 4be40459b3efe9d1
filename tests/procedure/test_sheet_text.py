"""All that the pages of a sheet show, as plain texts: nothing is lost on the way into a file and
back."""

import json

import pytest

from builder.formats.sheet_text import SheetText
from builder.procedure.sheet_text import sheet_text
from tests.conftest import SHEETS


@pytest.fixture(scope="module")
def shop(demo_shop):
    return demo_shop


@pytest.mark.parametrize("name", SHEETS)
def test_it_comes_back_from_json(shop, name):
    """Texts, numbers, drawings, with no binary float among them."""
    text = sheet_text(shop.procedures[name])
    data = json.loads(json.dumps(text.as_data()), parse_float=pytest.fail)
    assert SheetText.model_validate(data) == text


@pytest.mark.parametrize("name", SHEETS)
def test_it_says_what_was_computed(shop, name):
    """Each text is that of the procedure; what is computed otherwise elsewhere is said the same."""
    procedure, text = shop.procedures[name], sheet_text(shop.procedures[name])
    assert [group.title for group in text.groups] == [g.title for g in procedure.groups]
    for group, made in zip(procedure.groups, text.groups, strict=True):
        assert made.opening == group.opening and made.closing == group.closing
        assert [one.text for one in made.warnings] == [one.text for one in group.warnings]
        assert made.drawing.startswith("<svg") == (group.connection is not None)
        for point, row in zip(group.points, made.points, strict=True):
            assert (row.step, row.apply, row.accept_from, row.accept_to, row.observe) == (
                point.step, point.apply, point.accept_from, point.accept_to, point.observe)
            assert row.judged == (point.planned.judged is not None)
    assert text.note == (procedure.plan.note or "")
    assert text.meter.degrees == procedure.meter.specification.holds.high.unit.shown
    assert [f.drawing.startswith("<svg") for f in text.evidence.functions] == [
        True] * len(procedure.evidence.functions)
