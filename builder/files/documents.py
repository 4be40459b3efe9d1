"""A file as plain data, and where each value of it stands: in the file itself, or in another one
that it was taken from."""

from __future__ import annotations

from dataclasses import dataclass, replace

from builder.files.problems import Place, Problem

Path_ = tuple  # of keys and list positions, as ("functions", 0, "ranges", 1, "range")


@dataclass(slots=True, kw_only=True)
class Node:
    """A value with the span of text that it stands in; `key` is the span of its key, if any."""

    value: str | list[Node] | dict[str, Node]
    start: tuple[int, int]
    end: tuple[int, int]
    key: tuple[tuple[int, int], tuple[int, int]] | None = None
    lost: frozenset = frozenset()   # keys and positions that `without` left out of it
    origin: Document | None = None  # where it stands, if in another file

    @property
    def keys(self) -> dict[str, Node]:
        """A group's values by their keys; empty for what is no group."""
        return self.value if isinstance(self.value, dict) else {}

    @property
    def entries(self) -> list[Node]:
        """Of a list; empty for what is none."""
        return self.value if isinstance(self.value, list) else []

    def plain(self):
        if isinstance(self.value, dict):
            return {k: n.plain() for k, n in self.value.items()}
        if isinstance(self.value, list):
            return [n.plain() for n in self.value]
        return self.value


class Document:
    """One file: its plain data, and the place of everything in it."""

    def __init__(self, file: str, text: str, root: Node):
        self.file = file
        self.lines = text.splitlines() or [""]
        self.root = self.whole = root   # `whole`: with what `without` leaves out

    @property
    def data(self):
        return self.root.plain()

    def has(self, key: str) -> bool:
        """Whether the file has the key, even if what stands there was left out for its mistakes."""
        return isinstance(self.whole.value, dict) and key in self.whole.value

    def lost(self, path: Path_) -> bool:
        """Whether a mistake had this key left out, or a part of the list there: what follows from
        its absence is no mistake of its own."""
        node = self.root
        for step in path:
            if step in node.lost:
                return True
            inner = node.value
            if isinstance(inner, dict) and step in inner or (
                    isinstance(inner, list) and isinstance(step, int) and step < len(inner)):
                node = inner[step]
            else:
                return False
        return isinstance(node.value, list) and bool(node.lost)

    def place(self, path: Path_ = (), of_key: bool = False) -> Place:
        """The place of the value at `path`, or of the nearest thing around it that exists."""
        node, last_key = self.root, None
        for step in path:
            inner = node.value
            if isinstance(inner, dict) and step in inner:
                node = inner[step]
            elif isinstance(inner, list) and isinstance(step, int) and step < len(inner):
                node = inner[step]
            else:
                of_key = False
                break
            last_key = node.key
        start, end = (last_key if of_key and last_key else (node.start, node.end))
        if not of_key and isinstance(node.value, dict) and node.value:
            node = next(iter(node.value.values()))
            start, end = node.key or (start, end)
        return (node.origin or self)._at(start, end)

    def _at(self, start, end) -> Place:
        line, column = start
        line = min(line, len(self.lines) - 1)
        text = self.lines[line]
        column = min(column, len(text))
        length = end[1] - column if end[0] == line else len(text) - column
        return Place(self.file, line + 1, column + 1, max(1, length), text)

    def problem(self, path: Path_, code: str, sentence: str, hint: str = "", of_key: bool = False,
                **more) -> Problem:
        return Problem(self.place(path, of_key), code, sentence, hint, **more)

    def without(self, paths: set[Path_]) -> Document:
        """The same file less the values at these paths, every other place unchanged."""

        def pruned(node: Node, path: Path_) -> Node:
            if isinstance(node.value, dict):
                value = {key: pruned(inner, (*path, key)) for key, inner in node.value.items()
                         if (*path, key) not in paths}
            elif isinstance(node.value, list):
                value = [pruned(inner, (*path, i)) for i, inner in enumerate(node.value)
                         if (*path, i) not in paths]
            else:
                return node
            gone = {step[-1] for step in paths if step[:-1] == path and step}
            return replace(node, value=value, lost=node.lost | gone)

        smaller = self.with_root(pruned(self.root, ()))
        smaller.whole = self.whole
        return smaller

    def with_root(self, root: Node) -> Document:
        """The same file with other values, each of which keeps its place."""
        other = Document(self.file, "", root)
        other.lines = self.lines
        return other


def nowhere() -> Node:
    """A value of a file that could not be read."""
    return Node(value="", start=(0, 0), end=(0, 0))
