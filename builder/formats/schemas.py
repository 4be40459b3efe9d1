"""JSON Schemas of the file formats, made from the models, so that an editor completes and checks
the YAML."""

from __future__ import annotations

import json
from pathlib import Path

from builder.formats.fields import Strict
from builder.formats.meter import Meter
from builder.formats.plan import Plan
from builder.formats.record_head import RecordHead
from builder.formats.standard import Standard
from builder.formats.workshop import Workshop

FOLDER = Path(__file__).parent.parent / "schema"
# `record.schema.json` beside them is written by hand: it is what a phone hands over.
MODELS: dict[str, type[Strict]] = {
    "meter": Meter, "standard": Standard, "plan": Plan, "paper-record": RecordHead,
    "workshop": Workshop}


def text(name: str) -> str:
    """The schema of a file kind. An optional key may be absent, not null: editors would offer null
    otherwise."""
    schema = MODELS[name].model_json_schema(by_alias=True)
    return json.dumps(_plain(schema), indent=1, ensure_ascii=False) + "\n"


def write() -> list[Path]:
    FOLDER.mkdir(exist_ok=True)
    written = []
    for name in MODELS:
        path = FOLDER / f"{name}.schema.json"
        path.write_text(text(name), encoding="utf-8")
        written.append(path)
    return written


def _plain(node):
    """The schema without the choice of null, and without titles that only repeat the keys."""
    if isinstance(node, list):
        return [_plain(one) for one in node]
    if not isinstance(node, dict):
        return node
    out = {key: _plain(value) for key, value in node.items()
           if not (key == "default" and value is None)
           and not (key == "title" and isinstance(value, str))}
    if isinstance(out.get("anyOf"), list):
        options = [one for one in out["anyOf"] if one != {"type": "null"}]
        if len(options) == 1:
            out.pop("anyOf")
            out = {**options[0], **out}
        else:
            out["anyOf"] = options
    return out
