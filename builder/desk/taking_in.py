"""inbox/ → procedures/records/: what a phone, a table or another bench handed over. A double
vanishes, what is new is taken in, what stands here otherwise is asked about, and what is faulty
stays and says what and where."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path

from builder.desk import inside
from builder.desk.guard import LARGEST
from builder.files import whole_files
from builder.files.problems import Wrong, as_text, errors
from builder.formats.fields import slug
from builder.records import record_files
from builder.records.judged_record import Record
from builder.records.sheet_of_record import SheetsOfRecords
from builder.shop.contents import Shop

INBOX = "inbox"
NEW, DOUBLE, ASKS, FAULTY = "new", "double", "asks", "faulty"


@dataclass(frozen=True, slots=True, kw_only=True)
class Incoming:
    """A file of the inbox: `state` is one of the four, `other` the file that stands here."""

    name: str
    state: str
    said: str
    content: bytes = b""
    other: Path | None = None

    @property
    def seen(self) -> str:
        """Stands for the file and for the one that it would replace."""
        other = self.other.read_bytes() if self.other else b""
        return hashlib.sha256(repr((self.content, other)).encode()).hexdigest()


def names(root: Path) -> list[str]:
    """The files that wait, by their names; what is hidden is being written."""
    path = root / INBOX
    return sorted(one.name for one in path.iterdir()
                  if not one.name.startswith(".")) if path.is_dir() else []


def put(root: Path, given: str, content: bytes) -> str:
    """Puts a file that somebody dropped into the inbox, if it doesn't wait there already; gives its
    name there."""
    name, folder = inside.plain_name(given), inside.folder(root, INBOX)
    for other in names(root):
        path = folder / other
        if path.suffix == f".{name.rpartition('.')[2]}" and path.is_file() and (
                not path.is_symlink()) and path.read_bytes() == content:
            return other
    return inside.write_free(folder, name, content).name


def look(root: Path, shop: Shop, name: str) -> Incoming:
    """What a file of the inbox is."""
    if name not in names(root):
        raise Wrong(f"there is no file '{name[:100]}' in the inbox", "was it taken in meanwhile?")
    path = inside.folder(root, INBOX) / name
    try:
        content = inside.content(path, LARGEST)
        inside.plain_name(name)
    except Wrong as wrong:
        return Incoming(name=name, state=FAULTY, said=inside.sentences(wrong))
    records = root / "procedures" / record_files.FOLDER
    record, problems = record_files.read_file(
        path, f"{INBOX}/{name}", SheetsOfRecords(shop.approvals.data, beside=records))
    if record is None or errors(problems):
        return Incoming(name=name, state=FAULTY, content=content, said=as_text(problems)
                        or "these are the data of a sheet, and no record")
    try:
        slug(record.id)
    except Wrong as wrong:
        return Incoming(name=name, state=FAULTY, content=content, said=wrong.sentence)
    return _beside(root, shop, Incoming(name=name, state=NEW, content=content, said=_said(record)),
                   record)


def _beside(root: Path, shop: Shop, came: Incoming, record: Record) -> Incoming:
    """A file that can be read, beside the records that stand."""
    other = twin(shop, record)
    if other is None:
        return came
    path = root.joinpath(*other.document.file.split("/"))
    if other.id == record.id and other.fingerprint == record.fingerprint:
        return Incoming(name=came.name, state=DOUBLE, content=came.content, other=path,
                        said=f"it says what {other.document.file} says already")
    finished = shop.finished.latest(other.id)
    return Incoming(
        name=came.name, state=ASKS, content=came.content, other=path,
        said=f"{came.said}. {other.document.file} is the record of the same already, and says "
        "something else" + (f"; its report was finished by {finished.by} on {finished.on}, and "
                            "would have to be amended" if finished else ""))


def twin(shop: Shop, record: Record) -> Record | None:
    """The record of the shop that has its name, or is of the same meter, sheet, day and state."""
    return shop.records.get(record.id) or next(
        (one for one in shop.records.values() if _what(one) == _what(record)), None)


def _what(record: Record) -> tuple:
    return record.same_meter, record.head.procedure, record.head.date, record.head.state


def _said(record: Record) -> str:
    return (f"{record.carried.meter_name}, serial no. {record.head.serial}, "
            f"{record.head.state or 'state not recorded'}, {record.head.date}")


# ---------------------------------------------------------------- deciding

def take(root: Path, came: Incoming) -> str:
    """Takes in what is new, and a double out of the way; says so. "" for what has to wait."""
    if came.state == NEW:
        records = inside.folder(root, f"procedures/{record_files.FOLDER}")
        path = inside.write_free(records, inside.plain_name(came.name), came.content)
        (root / INBOX / came.name).unlink()
        return f"{came.name} is now {path.relative_to(root).as_posix()}: {came.said}."
    if came.state == DOUBLE:
        (root / INBOX / came.name).unlink()
        return f"{came.name}: {came.said}, and is gone from the inbox."
    return ""


def replace(root: Path, came: Incoming) -> str:
    """Puts a file in the place of the one that stands here, which is kept."""
    if came.state != ASKS or came.other is None:
        raise Wrong(f"'{came.name}' replaces nothing")
    records = inside.folder(root, f"procedures/{record_files.FOLDER}")
    target = came.other
    if records not in target.parents or target.is_symlink() or target.suffix != Path(
            came.name).suffix:
        raise Wrong(f"'{came.name}' can't take the place of {target.name}",
                    "both have to be files of one kind in procedures/records/")
    kept = inside.keep(root, target)
    whole_files.replace(target, came.content)
    (root / INBOX / came.name).unlink()
    return (f"{target.relative_to(root).as_posix()} says now what {came.name} said; what stood "
            f"there is {kept.relative_to(root).as_posix()}.")


def leave(root: Path, came: Incoming) -> str:
    """Puts a file out of the inbox without taking it in; it is kept."""
    if not came.content:
        raise Wrong(f"'{came.name}' is no file that can be kept: move it away by hand")
    kept = inside.write_free(inside.folder(root, f"{inside.KEPT}/{INBOX}"), came.name, came.content)
    (root / INBOX / came.name).unlink()
    return f"{came.name} was not taken in; it is {kept.relative_to(root).as_posix()}."
