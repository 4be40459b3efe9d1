"""How a computed sheet stands beside what was approved."""

import pytest

from builder.frozen.standing import standing
from tests.frozen.test_approved import PLAN, approve, read, sheet, withdraw


@pytest.fixture
def two(tmp_path):
    return sheet(tmp_path / "a"), sheet(tmp_path / "b", ambient="20 to 26 degC")


def test_a_sheet_that_nobody_approved(tmp_path, two):
    """A draft, beside nothing."""
    own = standing(read(tmp_path)[0], two[0])
    assert own.is_draft and own.changes == () and own.in_force is None
    assert own.shown == f"DRAFT, revision {two[0].revision}"
    assert own.said.endswith("no approved sheet is in force.")


def test_the_sheet_that_is_approved(tmp_path, two):
    """With its count, its name and its day."""
    approve(tmp_path, two[0])
    own = standing(read(tmp_path)[0], two[0])
    assert not own.is_draft and own.shown == f"revision 1, {two[0].revision}"
    assert own.said == f"revision 1, {two[0].revision}, approved by T. Askew on 2026-03-12."


def test_a_draft_says_what_is_different(tmp_path, two):
    """Beside the one in force, in words."""
    approve(tmp_path, two[0])
    own = standing(read(tmp_path)[0], two[1])
    assert own.is_draft and own.in_force.revision == two[0].revision
    assert any(one.startswith("Ambient ") for one in own.changes)
    assert own.said.startswith(f"draft, revision {two[1].revision}, beside revision 1")


def test_what_is_renewed_makes_no_draft(tmp_path, two):
    """A new certificate is said, and the sheet stays approved."""
    approve(tmp_path, two[0])
    standards = tuple(one.model_copy(update={"certificate": "P-2"}) for one in two[0].standards)
    own = standing(read(tmp_path)[0], two[0].model_copy(update={"standards": standards}))
    assert not own.is_draft and "Approve it again to print what is new: " in own.said


def test_a_withdrawn_revision(tmp_path, two):
    """A draft that says why it was taken out of use."""
    approve(tmp_path, two[0])
    withdraw(tmp_path, two[0].revision)
    own = standing(read(tmp_path)[0], two[0])
    assert own.is_draft and own.withdrawn.because == "the source was out"
    approve(tmp_path, two[0], "2026-05-01")
    own = standing(read(tmp_path)[0], two[0])
    assert not own.is_draft and own.withdrawn is None and PLAN in read(tmp_path)[0].procedures
