"""Every text that somebody may read: templates, pages that people write, what scripts say, messages
and statements of the program; each with where it stands."""

from __future__ import annotations

import ast
import html
import re
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
# of a script: a comment, or a string of one of three kinds
_TOKEN = re.compile(r"/\*.*?\*/|//[^\n]*|'((?:[^'\\\n]|\\.)*)'|\"((?:[^\"\\\n]|\\.)*)\"|"
                    r"`((?:[^`\\]|\\.)*)`", re.S)
_TEMPLATES, _ASSETS = ROOT / "builder/pages/templates", ROOT / "builder/pages/assets"
_DESK = ROOT / "builder/desk"


def texts() -> Iterator[tuple[str, str]]:
    """Where, as file and line, and the text."""
    for path in sorted((ROOT / "builder").rglob("*.py")):
        yield from _placed(path, _of_python(path.read_text(encoding="utf-8")))
    for path in (*sorted(_ASSETS.glob("*.js")), *sorted(_DESK.glob("*.js"))):
        yield from _placed(path, _of_script(path.read_text(encoding="utf-8")))
    for path in (*sorted(_TEMPLATES.rglob("*.j2")), *sorted(_DESK.rglob("*.j2"))):
        yield from _placed(path, _of_page(_without_jinja(path.read_text(encoding="utf-8"))))
    for path in (*sorted((ROOT / "site_src").rglob("*.md")), ROOT / "README.md"):
        yield from _placed(path, _of_page(path.read_text(encoding="utf-8")))


def _placed(path: Path, found: Iterator[tuple[int, str]]) -> Iterator[tuple[str, str]]:
    for line, text in found:
        yield f"{path.relative_to(ROOT)}:{line}", text


def _of_python(source: str) -> Iterator[tuple[int, str]]:
    """Strings with a space in them, which are no docstrings."""
    tree = ast.parse(source)
    docstrings = {id(node.body[0].value) for node in ast.walk(tree)
                  if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
                  and node.body and isinstance(node.body[0], ast.Expr)}
    for node in ast.walk(tree):
        if (isinstance(node, ast.Constant) and isinstance(node.value, str) and " " in node.value
                and id(node) not in docstrings):
            yield node.lineno, re.sub(r"<[^>]*>", " ", node.value)


def _of_script(source: str) -> Iterator[tuple[int, str]]:
    """Strings with a space in them, and templates without what they put in."""
    for found in _TOKEN.finditer(source):
        text = re.sub(r"\$\{[^}]*\}", "X", next(filter(None, found.groups()), ""))
        if " " in text:
            yield source.count("\n", 0, found.start()) + 1, text


def _without_jinja(text: str) -> str:
    return re.sub(r"\{#.*?#\}|\{%.*?%\}|\{\{.*?\}\}",
                  lambda m: "\n" * m[0].count("\n") or " ", text, flags=re.S)


def _of_page(text: str) -> Iterator[tuple[int, str]]:
    """Line by line: without code, tags of lessons, addresses and marks."""
    text = re.sub(r"```.*?```|<(script|style)\b.*?</\1>", lambda m: "\n" * m[0].count("\n"), text,
                  flags=re.S)
    text = re.sub(r"<[^>]*>", lambda m: "\n" * m[0].count("\n") or " ", text)
    for number, line in enumerate(text.splitlines(), 1):
        line = re.sub(r"`[^`]*`|\]\([^)]*\)|\{[^}]*\}|[*_#|]", " ", line)
        yield number, html.unescape(line)
