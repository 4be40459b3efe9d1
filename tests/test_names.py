"""Names say what they hold: the short ones that hold anything stay in scopes that are seen at a
glance."""

import ast
from pathlib import Path

import pytest

import builder

ROOT = Path(builder.__file__).parent
FILES = {path.relative_to(ROOT).as_posix(): path for path in sorted(ROOT.rglob("*.py"))}
SHORT = {"one", "found", "said", "at"}
LINES = 3
COMPREHENSIONS = (ast.ListComp, ast.SetComp, ast.DictComp, ast.GeneratorExp, ast.Lambda)


def own_nodes(scope: ast.AST):
    """The nodes of a scope, without those of functions, comprehensions and lambdas inside it."""
    for node in ast.iter_child_nodes(scope):
        if isinstance(node, (ast.FunctionDef, ast.ClassDef, *COMPREHENSIONS)):
            continue
        yield node
        yield from own_nodes(node)


def short_names(tree: ast.Module):
    """(name, first line, last line) of each short name that is bound in a function or at the top
    of a module."""
    for scope in [tree, *(node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef))]:
        nodes = list(own_nodes(scope))
        bound = {node.id: node.lineno for node in reversed(nodes)
                 if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store)}
        if isinstance(scope, ast.FunctionDef):
            given = scope.args
            bound |= {argument.arg: argument.lineno
                      for argument in (*given.posonlyargs, *given.args, *given.kwonlyargs)}
        for name in sorted(SHORT & set(bound)):
            used = [node.lineno for node in ast.walk(scope)
                    if isinstance(node, ast.Name) and node.id == name]
            yield name, bound[name], max([bound[name], *used])


@pytest.mark.parametrize("name", FILES)
def test_short_names_stay_in_small_scopes(name):
    """`one`, `found`, `said` and `at` are bound in comprehensions, or where three lines hold all
    of their uses."""
    tree = ast.parse(FILES[name].read_text(encoding="utf-8"))
    wide = [f"{name}:{first}-{last} {short}" for short, first, last in short_names(tree)
            if last - first >= LINES]
    assert not wide, "\n".join(wide)


def test_class_names_stand_once():
    """No two classes have one name, so that none is taken for another."""
    names: dict[str, str] = {}
    for name, path in FILES.items():
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef):
                assert node.name not in names, f"{node.name}: {names[node.name]} and {name}"
                names[node.name] = name


@pytest.mark.parametrize("name", FILES)
def test_dataclasses_with_many_fields_take_them_by_name(name):
    """More than five fields are given by name, so that none is exchanged for another."""
    for node in ast.walk(ast.parse(FILES[name].read_text(encoding="utf-8"))):
        if isinstance(node, ast.ClassDef):
            made = [one for one in node.decorator_list if ast.unparse(one).startswith("dataclass")]
            fields = [one for one in node.body if isinstance(one, ast.AnnAssign)
                      and "ClassVar" not in ast.unparse(one.annotation)]
            by_name = made and "kw_only=True" in ast.unparse(made[0])
            assert len(fields) <= 5 or not made or by_name, f"{name}: {node.name}"
