"""The committed JSON Schemas: current, and of use in an editor."""

import json

import jsonschema
import pytest
import yaml

from builder.formats import schemas
from tests.committed import schema
from tests.conftest import ROOT
from tests.file_rules.test_file_rules import METER, PLAN, STANDARD

FOLDER = ROOT / "procedures" / schemas.FOLDER
RIGHT = {"meter": METER, "plan": PLAN, "standard": STANDARD}


@pytest.mark.parametrize("name", schemas.MODELS)
def test_the_committed_schema_is_current(name):
    """`python3 -m builder schema` has been run since the models changed."""
    assert (FOLDER / f"{name}.schema.json").read_text(encoding="utf-8") == schemas.text(name)


@pytest.mark.parametrize("name",
                         sorted(path.name.removesuffix(".schema.json")
                                for path in FOLDER.glob("*.schema.json")))
def test_every_schema_is_one(name):
    """Each is a valid JSON Schema."""
    jsonschema.Draft202012Validator.check_schema(schema(name))


@pytest.mark.parametrize("name", RIGHT)
def test_a_right_file_passes_as_an_editor_reads_it(name):
    """What the builder accepts, an editor's YAML reader with the schema doesn't mark."""
    # An editor reads dates as text (YAML 1.2); this reader must be told.
    class Loader(yaml.SafeLoader):
        yaml_implicit_resolvers = {k: [r for r in v if r[0] != "tag:yaml.org,2002:timestamp"] for k,
                                   v in yaml.SafeLoader.yaml_implicit_resolvers.items()}
    jsonschema.validate(yaml.load(RIGHT[name], Loader), schema(name),
                        jsonschema.Draft202012Validator)


@pytest.mark.parametrize("name, old, new", [
    ("meter", "maker:", "makker:"), ("meter", "function: DC voltage", "function: DC volts"),
    ("meter", "resolution: 0.1 mV, ", ""), ("meter", "meter: lapwing-1", "meter: Lapwing 1"),
    ("plan", "apply: recommended", "appply: recommended"),
    ("plan", "decision_rule: simple acceptance", "decision_rule: luck"),
    ("standard", "kind: source", "kind: sauce"), ("standard", "due: 2030-01-01\n", ""),
])
def test_a_wrong_file_is_marked(name, old, new):
    """Unknown keys, unknown words and missing keys are marked while typing."""
    assert old in RIGHT[name]
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(
            yaml.safe_load(RIGHT[name].replace(old, new,
                                               1).replace("due: 2030-01-01", "due: '2030-01-01'")),
            schema(name), jsonschema.Draft202012Validator)


@pytest.mark.parametrize("name", schemas.FILES)
def test_every_key_is_described_where_it_helps(name):
    """An editor shows a description at most keys; a null is offered only where a form's places may
    be empty."""
    text = json.dumps(schema(name))
    assert ('"null"' in text) == (name == "paper-record")
    assert text.count('"description"') >= min(9, len(schema(name)["properties"]))
