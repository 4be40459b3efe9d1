"""JSON Schemas of the file formats, made from the models, so that an editor completes and checks
the YAML."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from builder import __version__
from builder.files import whole_files
from builder.formats.frozen_files import (ApprovedSheet, FinishedReport, WithdrawnReport,
                                          WithdrawnSheet)
from builder.formats.check_between import CheckBetween
from builder.formats.meter import Meter
from builder.formats.meter_data import MeterData
from builder.formats.past_result import PastResult
from builder.formats.phone_record import PhoneRecord
from builder.formats.plan import Plan
from builder.formats.record_head import RecordHead
from builder.formats.report_data import ReportData
from builder.formats.sheet_data import SheetData
from builder.formats.shop_register import ShopRegister
from builder.formats.site_data import SiteData
from builder.formats.standard import Standard
from builder.formats.workshop import Workshop

FOLDER = ".schema"    # of a shop's procedures/, where editors find them
VERSION = f"{FOLDER}/version.txt"
# What people write in files, and what the builder and the page's scripts write in JSON.
FILES: dict[str, type[BaseModel]] = {
    "meter": Meter, "standard": Standard, "plan": Plan, "paper-record": RecordHead,
    "workshop": Workshop, "register": ShopRegister, "past-result": PastResult,
    "check-between": CheckBetween}
DATA: dict[str, type[BaseModel]] = {
    "procedure-data": SheetData, "meter-data": MeterData, "report-data": ReportData,
    "record": PhoneRecord, "approved-sheet": ApprovedSheet, "withdrawn-sheet": WithdrawnSheet,
    "finished-report": FinishedReport, "withdrawn-report": WithdrawnReport,
    "site-data": SiteData}
MODELS = {**FILES, **DATA}


def text(name: str) -> str:
    """The schema of a file kind. In what people write an optional key may be absent, not null:
    editors would offer null otherwise. In what is written for them every field is there."""
    if name in FILES:
        schema = _without_null(FILES[name].model_json_schema(by_alias=True))
        if name == "paper-record":
            schema["properties"] = {key: _or_empty(one)
                                    for key, one in schema["properties"].items()}
    else:
        schema = {"$schema": "https://json-schema.org/draft/2020-12/schema",
                  **_without_titles(DATA[name].model_json_schema(mode="serialization"))}
    return json.dumps(schema, indent=1, ensure_ascii=False) + "\n"


def _or_empty(schema: dict[str, Any]) -> dict[str, Any]:
    """A place of a form that nothing has been written into yet is no mistake."""
    says: dict[str, Any] = {key: schema.pop(key) for key in ("description", "default")
                            if key in schema}
    return {**says, "anyOf": [schema, {"type": "null"}]} if schema else says


def file(procedures: Path, name: str) -> Path:
    """Where the schema of a kind stands."""
    return procedures / FOLDER / f"{name}.schema.json"


def write(procedures: Path) -> list[Path]:
    """Writes every schema into a shop's folder, beside the files that name them, and which version
    did."""
    (procedures / FOLDER).mkdir(parents=True, exist_ok=True)
    for name in MODELS:
        whole_files.replace(file(procedures, name), text(name))
    whole_files.replace(procedures / VERSION, __version__ + "\n")
    return [*(file(procedures, name) for name in MODELS), procedures / VERSION]


def _without_titles(node: Any) -> Any:
    """The schema without titles that only repeat the keys, and without defaults of null."""
    if isinstance(node, list):
        return [_without_titles(entry) for entry in node]
    if not isinstance(node, dict):
        return node
    return {key: _without_titles(value) for key, value in node.items()
            if not (key == "default" and value is None)
            and not (key == "title" and isinstance(value, str))}


def _without_null(node: Any) -> Any:
    """The schema without the choice of null too."""
    if isinstance(node, list):
        return [_without_null(entry) for entry in node]
    if not isinstance(node, dict):
        return node
    out = {key: _without_null(value) for key, value in _without_titles(node).items()}
    if isinstance(out.get("anyOf"), list):
        options = [option for option in out["anyOf"] if option != {"type": "null"}]
        out["anyOf"] = options
        if len(options) == 1:
            out.pop("anyOf")
            out = {**options[0], **out}
    return out
