"""A record from finished paper, saved into procedures/records/ as it is typed at the sheet's own
page. What was typed before is never lost: a save that would take something back is kept beside, and
one that knows less than what stands there is refused, as is one of which `check` would say that no
report can be made of it."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from builder.desk import inside, taking_in
from builder.files import whole_files
from builder.files.json_text import parse
from builder.files.problems import Wrong, errors
from builder.records import record_files
from builder.records.sheet_of_record import SheetsOfRecords
from builder.shop.contents import Shop

_ID = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}-[0-9a-f]{8}")


def save(root: Path, shop: Shop, text: str) -> str:
    """Writes a record under its own name; says where. Raises `Wrong` where it is none from paper,
    where no report can be made of it, or where another file holds it, or a newer one of it."""
    typed = _read(text)
    records = inside.folder(root, f"procedures/{record_files.FOLDER}")
    path = records / f"{typed['record']}.json"
    shown = f"procedures/{record_files.FOLDER}/{path.name}"
    if path.is_symlink():
        raise Wrong(f"{path.name} is a link")
    record, problems = record_files.read_file(
        path, shown, SheetsOfRecords(shop.approvals.data, beside=records), text)
    if wrong := errors(problems):
        raise Wrong(wrong[0].sentence, wrong[0].hint)
    twin = taking_in.twin(shop, record) if record else None
    if twin and twin.document.file != shown:
        raise Wrong(f"{twin.document.file} holds this record already" if twin.id == record.id else
                    f"{twin.document.file} is the record of the same meter, day and state already",
                    "is the date, the state or the serial number mistyped? Else save it as a file: "
                    "the inbox asks which of the two counts")
    if path.exists():
        before = path.read_text(encoding="utf-8")
        if before == text:
            return _said(path)
        _stand_back(root, path, _typed(_read(before)), _typed(typed))
    whole_files.replace(path, text)
    return _said(path)


def _said(path: Path) -> str:
    return f"Saved as {path.name} in procedures/records/."


def _read(text: str) -> dict[str, Any]:
    document, problems = parse(text, "the record")
    if document is None:
        raise Wrong(f"it can't be read: {problems[0].sentence}")
    record = document.raw
    if not _ID.fullmatch(str(record.get("record"))) or record.get("from_paper") is not True:
        raise Wrong("only a record from finished paper is saved here")
    return record


def _typed(record: dict[str, Any]) -> dict[str, tuple[str, str]]:
    """What was typed, with its time, by field."""
    typed = record.get("typed")
    return {name: (str(one[0]), str(one[1])) for name, one in typed.items()
            if isinstance(one, list) and len(one) == 2} if isinstance(typed, dict) else {}


def _stand_back(root: Path, path: Path, old: dict[str, tuple[str, str]],
                new: dict[str, tuple[str, str]]) -> None:
    """Keeps the version that stands there if the new one changes anything of it. Raises `Wrong`
    where the new one lacks what was typed later in another window."""
    nothing = ("", "")
    later = [name for name, (_, when) in old.items() if new.get(name, nothing)[1] < when]
    if later:
        raise Wrong(f"another window has typed something later ({later[0]})",
                    "load this page again: it goes on from there")
    if any(not new[name][0].startswith(value) for name, (value, _) in old.items()):
        inside.keep(root, path)
