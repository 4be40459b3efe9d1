"""Every key of every file that people write is explained, with an example that is right."""

from __future__ import annotations

import pytest
from pydantic import create_model

from builder.files import yaml_text
from builder.formats import examples, reference, schemas
from builder.formats.fields import Strict

CLASSES = {one.__name__: one for one in reference._below(Strict)}
GROUPS = {kind: reference.groups(kind) for kind in schemas.FILES}


def of_key(group: str, name: str):
    """The model's field, and the name that it goes by in a file."""
    own, field = next((own, field) for own, field in CLASSES[group].model_fields.items()
                      if (field.alias or own) == name)
    return create_model("OneKey", value=(field.annotation, field)), field.alias or "value"


@pytest.mark.parametrize("kind", schemas.FILES)
def test_each_key_is_there_with_what_it_does_and_an_example_that_is_right(kind):
    """The head of the file first; every group of the schema, and each example as the model that
    reads files takes it. A group of keys has its own list in place of an example."""
    assert GROUPS[kind][0].name == schemas.FILES[kind].__name__
    for group in GROUPS[kind]:
        assert [one.name for one in group.keys] == [
            field.alias or name for name, field in CLASSES[group.name].model_fields.items()]
        for key in group.keys:
            what = f"{group.name}.{key.name}"
            assert key.says and key.written, what
            if key.groups and not key.example or key.example == examples._AS_A_PHONE:
                continue
            assert key.example, f"{what}: quote one in its description, or add it to EXAMPLES"
            start = "x:\n  " if key.example.startswith("- ") else "x: "
            document, problems = yaml_text.parse(start + key.example, what)
            assert document, f"{what}: {problems}"
            model, name = of_key(group.name, key.name)
            if not key.example.startswith("- "):    # an entry of a list may show a part of it
                model.model_validate({name: document.data["x"]})


def test_no_example_is_left_of_a_key_that_is_gone():
    known = {f"{group.name}.{key.name}" for own in GROUPS.values() for group in own
             for key in group.keys}
    assert set(examples.EXAMPLES) <= known


def test_what_is_needed():
    """As the models have it."""
    needed = {key.name for key in GROUPS["workshop"][0].keys if key.needed}
    assert needed == {"name", "address"}
    assert {key.name for key in GROUPS["register"][1].keys if key.needed} == {"serial", "meter"}


def test_each_group_says_under_which_keys_it_stands():
    under = {one.name: one.under for one in GROUPS["meter"]}
    assert under["RangeEntry"] == ("ranges",) and under["Meter"] == ()
    assert under["RowEntry"] == ("accuracy",)
