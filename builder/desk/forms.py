"""A file as a form: each of its single values in a field, in the order of the file, and the keys
that it may still get; what was typed is put into the file in place."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from builder.desk import completing
from builder.desk.shop_files import ShopFile
from builder.files import in_place, yaml_text
from builder.files.documents import Node, Path_
from builder.files.problems import Wrong

ENTRIES = "meters"      # of the register


@dataclass(frozen=True, slots=True, kw_only=True)
class FormField:
    """`name` is what the form calls it, by its place among the values of the whole file."""

    name: str
    label: str
    value: str
    says: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FormPart:
    """A group of a file: its own values, and the groups in it."""

    title: str
    fields: tuple[FormField, ...]
    parts: tuple[FormPart, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FileForm:
    """Of a file, or of one entry of the register: `more` are the keys that it may get."""

    part: FormPart
    more: Mapping[str, str]


def entries(file: ShopFile) -> list[dict[str, str]]:
    """The lines of the register."""
    return [{key: str(one.plain()) for key, one in entry.keys.items()}
            for entry in _listed(_root(file))]


def new_entry(file: ShopFile) -> dict[str, str]:
    """The keys of another line, with what they are for."""
    return completing.keys(file.kind, (ENTRIES, 0), single=True)


def form(file: ShopFile, entry: int | None) -> FileForm:
    """Raises `Wrong` where the file can't be read, or has no such entry."""
    root, path = _root(file), _path(file, entry)
    numbers = {id(node): f"v{n}" for n, (_, node) in enumerate(in_place.leaves(root))}
    node = root if entry is None else _listed(root)[entry]
    more = {key: says for key, says in completing.keys(file.kind, path, single=True).items()
            if key not in node.keys}
    return FileForm(part=_part(file.kind, node, path, numbers), more=more)


def typed_into(file: ShopFile, entry: int | None, typed: Mapping[str, str]) -> str:
    """The file's text with what was typed; raises `Wrong`."""
    text = file.text
    if entry is not None and entry == len(_listed(_root(file))):
        return in_place.with_entry(text, (ENTRIES,), {
            key: typed[key] for key in new_entry(file) if typed.get(key, "").strip()})
    values = {path: typed[f"v{n}"] for n, (path, node) in enumerate(in_place.leaves(_root(file)))
              if f"v{n}" in typed and " ".join(typed[f"v{n}"].split()) != node.value}
    text = in_place.changed(text, values)
    if typed.get("key") and typed.get("more", "").strip():
        if typed["key"] not in form(file, entry).more:
            raise Wrong(f"'{typed['key'][:60]}' is no key that it may get")
        text = in_place.with_key(text, _path(file, entry), typed["key"], typed["more"])
    return text


def _path(file: ShopFile, entry: int | None) -> Path_:
    return () if entry is None else (ENTRIES, entry)


def _root(file: ShopFile) -> Node:
    document, problems = yaml_text.parse(file.text, file.shown)
    if document is None:
        raise Wrong(f"{file.shown}, line {problems[0].place.line}: {problems[0].sentence}",
                    "mend it in the text of the file")
    return document.root


def _listed(root: Node) -> list[Node]:
    """The entries of a register."""
    return root.keys[ENTRIES].entries if ENTRIES in root.keys else []


def _part(kind: str, node: Node, path: Path_, numbers: dict[int, str], title: str = "") -> FormPart:
    fields, parts = [], []
    says = {} if title else completing.keys(kind, path)
    for label, own, place in _values(node, path):
        if isinstance(own.value, str):
            fields.append(FormField(name=numbers[id(own)], label=label, value=own.value,
                                    says=says.get(label, "")))
        else:
            first = next((one.value for one in own.keys.values() if isinstance(one.value, str)), "")
            parts.append(_part(kind, own, place, numbers,
                               f"{label}: {first}" if label[-1:].isdigit() else label))
    return FormPart(title=title, fields=tuple(fields), parts=tuple(parts))


def _values(group: Node, path: Path_) -> Iterator[tuple[str, Node, Path_]]:
    """What stands in a group, that of its lists one by one with a number."""
    for key, node in group.keys.items():
        if isinstance(node.value, list):
            yield from ((f"{key} {n}", one, (*path, key, n - 1))
                        for n, one in enumerate(node.entries, 1))
        else:
            yield key, node, (*path, key)
