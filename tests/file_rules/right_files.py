"""Every right file of a meter or a standard that stands in the tests: texts that begin as one, and
what the small projects' makers (`tests/small_shop.py`) make of values that are written out. A file
that a test is about because it is wrong or doubtful is none; nor is one that only comes about while
a test runs."""

from __future__ import annotations

import ast
import importlib
import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from builder.files import yaml_text
from builder.files.problems import Problem
from tests import small_shop
from tests.file_rules import spoilt_numbers

ROOT = Path(__file__).parents[1]
MAKERS = ("meter", "function", "standard", "box", "reference", "coil")
ABOUT_SLIPS = {"file_rules", "formats", "first_plan", "test_fuzz.py", "fuzz.py", "small_shop.py"}
MISSING = {"lowest", "drift", "method"}   # told because it is missing, which is no doubt


@dataclass(frozen=True)
class RightFile:
    """A file without errors: where the tests have it, how many accuracies it states, and what it is
    doubted for."""

    place: str
    rows: int
    doubts: tuple[Problem, ...]


def right_files() -> Iterator[RightFile]:
    for text, place in sorted(_texts().items(), key=lambda pair: pair[1]):
        document, _ = yaml_text.parse(text, "x.yaml")
        if document is None:
            continue
        key = "standard" if "standard" in document.data else "meter"
        told = spoilt_numbers.problems(f"{key}s", text, f"{document.data.get(key)}.yaml")
        if not any(one.severity == "error" for one in told):
            yield RightFile(place, _rows(document.data),
                            tuple(one for one in told if one.code not in MISSING))


def _texts() -> dict[str, str]:
    """Each file's text, and where it stands first."""
    found: dict[str, str] = {}
    for path in sorted(ROOT.rglob("*.py")):
        inside = path.relative_to(ROOT)
        if inside.parts[0] in ABOUT_SLIPS:
            continue
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for line, text in _written(tree):
            found.setdefault(text, f"{inside.as_posix()}:{line}")
        if _names(tree):
            module = importlib.import_module(".".join(("tests", *inside.with_suffix("").parts)))
            for line, made in _made(tree, vars(module)):
                found.setdefault(json.dumps(made, sort_keys=True), f"{inside.as_posix()}:{line}")
    return found


def _names(tree: ast.Module) -> dict[str, str]:
    """What a module calls the makers, and which each is."""
    return {alias.asname or alias.name: alias.name for node in tree.body
            if isinstance(node, ast.ImportFrom) and node.module == small_shop.__name__
            for alias in node.names if alias.name in MAKERS}


def _written(tree: ast.Module) -> Iterator[tuple[int, str]]:
    for node in ast.walk(tree):
        if (isinstance(node, ast.Constant) and isinstance(node.value, str)
                and node.value.startswith(("meter: ", "standard: "))):
            yield node.lineno, node.value


def _made(tree: ast.Module, names: dict) -> Iterator[tuple[int, dict]]:
    """Of each call of a maker what it gives, where its values don't come from inside a test."""
    makers = _names(tree)
    for node in ast.walk(tree):
        if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
                and node.func.id in makers):
            continue
        try:
            made = eval(compile(ast.Expression(node), "<a test's file>", "eval"), dict(names))
        except (NameError, AttributeError):     # a value of the test around it
            continue
        yield node.lineno, (small_shop.meter(made) if makers[node.func.id] == "function" else made)


def _rows(data: object) -> int:
    """How many accuracies and uncertainties a file states."""
    if isinstance(data, list):
        return sum(map(_rows, data))
    if not isinstance(data, dict):
        return 0
    return sum(key == "within" or key == "accuracy" and isinstance(value, str) or _rows(value)
               for key, value in data.items())
