"""Who may put their name to what stays."""

import pytest

from builder.files.problems import Wrong
from builder.formats.workshop import Workshop
from builder.frozen import names

LISTED = Workshop.model_validate({
    "name": "W", "address": "A", "authorised": [{"name": "T. Askew", "may": ["approve", "finish"]},
                                                {"name": "I. Marlow", "may": "review"}]})


@pytest.mark.parametrize("workshop", [None, Workshop(name="W", address=["A"])])
def test_without_a_list_any_name_will_do(workshop):
    """But a name there is."""
    names.refuse_unless(workshop, "Anybody", names.APPROVE)
    with pytest.raises(Wrong, match="a name is needed"):
        names.refuse_unless(workshop, "  ", names.APPROVE)


@pytest.mark.parametrize("name", ["T. Askew", "t.  askew "])
def test_the_list_decides(name):
    """By name and act; case and blanks are no part of a name."""
    names.refuse_unless(LISTED, name, names.APPROVE)
    with pytest.raises(Wrong, match="who may review"):
        names.refuse_unless(LISTED, name, names.REVIEW)
    with pytest.raises(Wrong) as wrong:
        names.refuse_unless(LISTED, "I. Marlow", names.FINISH)
    assert wrong.value.hint == "listed: T. Askew"
    alone = LISTED.model_copy(update={"authorised": LISTED.authorised[1:]})
    with pytest.raises(Wrong) as wrong:
        names.refuse_unless(alone, "I. Marlow", names.FINISH)
    assert wrong.value.hint == "nobody there may finish"
