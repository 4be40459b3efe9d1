"""Who may import whom: data flows one way, and each outside library has one door."""

import ast
from pathlib import Path

import pytest

import builder

ROOT = Path(builder.__file__).parent
FILES = {".".join(("builder", *path.relative_to(ROOT).with_suffix("").parts)).removesuffix(".__init__"): path for path in sorted(ROOT.rglob("*.py"))}
TREES = {name: ast.parse(path.read_text(encoding="utf-8")) for name, path in FILES.items()}


def imported(tree: ast.Module, everywhere: bool = True) -> set[str]:
    """The modules that a module imports, at its top level or anywhere in it; `from builder import x` counts as builder.x."""
    found = set()
    for node in ast.walk(tree) if everywhere else tree.body:
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert not node.level, "relative imports aren't used here"
            inner = {f"{node.module}.{alias.name}" for alias in node.names}
            found |= {name for name in inner if name in FILES} or {node.module}
    return found


# Uncertainty, coverage factors and risks are statistics, where floats are right; so they are for what a meter is expected
# to read of a square or a triangle, which is no limit, and for the drift of a meter and the interval that it suggests.
STATISTICS = {"builder.compute.budget", "builder.compute.decision", "builder.compute.interval", "builder.compute.repeated", "builder.compute.risk",
              "builder.compute.trend", "builder.compute.waveform"}

ALL = {name: imported(tree) for name, tree in TREES.items()}


def importers(library: str) -> set[str]:
    return {name for name, used in ALL.items() if any(one == library or one.startswith(library + ".") for one in used)}


@pytest.mark.parametrize("library, allowed", [
    ("yaml", {"builder.source"}), ("pint", {"builder.units"}), ("mkdocs", {"builder.plugin"}),
    ("jinja2", {"builder.render"}), ("segno", {"builder.render"}), ("markupsafe", {"builder.render"}),
])
def test_each_library_has_one_door(library, allowed):
    """Only the module that is there for it imports a library."""
    assert importers(library) == allowed


def test_pydantic_stays_in_the_model():
    """Only the file format knows how files are validated."""
    assert all(name.startswith("builder.model.") or name == "builder.schemas" for name in importers("pydantic"))


def inside(name: str) -> set[str]:
    return {one for one in ALL[name] if one == "builder" or one.startswith("builder.")}


@pytest.mark.parametrize("name", [n for n in FILES if n.startswith("builder.compute")])
def test_compute_knows_nothing_of_the_rest(name):
    """Pure functions: of the builder they import each other, and else the standard library's numbers and shapes."""
    assert all(one.startswith("builder.compute") for one in inside(name))
    assert {one.partition(".")[0] for one in ALL[name] - inside(name)} <= {"__future__", "dataclasses", "fractions", "functools", "itertools", "math", "typing",
                                                                            *(["statistics"] if name in STATISTICS else []),
                                                                            *(["datetime"] if name == "builder.compute.dates" else [])}


@pytest.mark.parametrize("name", [n for n in FILES if n.startswith("builder.model")])
def test_the_model_knows_no_page_and_no_plan_of_work(name):
    """The file format imports units, problems, places and itself, and of the computation only what a tolerance and a
    decision rule are, which readings a tolerance accepts, and which conductors and thermocouples there are."""
    allowed = {"builder.units", "builder.problems", "builder.source", "builder.compute.tolerance", "builder.compute.decision", "builder.compute.display",
               "builder.compute.leads", "builder.compute.thermocouple"}
    assert all(one in allowed or one.startswith("builder.model") for one in inside(name))


# Data flows down this list and never back up.
LAYERS = [
    {"builder.problems", "builder.kept"}, {"builder.source", "builder.units"}, {"builder.jsontext"}, {n for n in FILES if n.startswith("builder.compute")},
    {n for n in FILES if n.startswith("builder.model")}, {"builder.tables", "builder.wording"},
    {"builder.figures", "builder.drawings", "builder.plots", "builder.calendar_file", "builder.glossary", "builder.strokes", "builder.symbols", "builder.connections", "builder.sketch", "builder.lesson_pictures", "builder.lesson_sketches"},
    {n for n in FILES if n.startswith("builder.check")} | {"builder.instructions", "builder.conditions"}, {"builder.views"}, {"builder.supplies"},
    {"builder.planning"}, {"builder.proposal", "builder.steps", "builder.wiring", "builder.uncertainty"}, {"builder.evidence"},
    {"builder.procedure", "builder.data"}, {"builder.completeness", "builder.groups"}, {"builder.assemble"}, {"builder.judging", "builder.entries"}, {"builder.records"}, {"builder.pipeline"},
    {"builder.overall", "builder.lines"}, {"builder.reports", "builder.history"}, {"builder.history_texts", "builder.register"},
    {n for n in FILES if n.startswith("builder.drill")}, {"builder.exercises"}, {"builder.practice"}, {n for n in FILES if n.startswith("builder.published")},
    {"builder.draft", "builder.render", "builder.quick", "builder.schemas", "builder.blank", "builder.offline"}, {"builder.examples"}, {"builder.illustrations"}, {"builder.lessons"}, {"builder.export", "builder.plugin", "builder.reporting"}, {"builder.cli"}, {"builder.__main__"},
]


def test_data_flows_down_and_never_back_up():
    """A module imports only from its own layer or from those before it."""
    place = {name: n for n, layer in enumerate(LAYERS) for name in layer}
    assert set(FILES) - {"builder"} <= set(place), "a new module needs its place in LAYERS"
    for name in set(FILES) - {"builder"}:
        for one in inside(name) - {"builder"}:
            assert place[one] <= place[name], f"{name} imports {one}"


def test_no_cycles_at_module_level():
    """No module needs itself to be imported, by whatever way round."""
    edges = {name: {one for one in imported(tree, everywhere=False) if one in FILES} for name, tree in TREES.items()}
    done: set[str] = set()

    def visit(name, path):
        assert name not in path, " → ".join([*path, name])
        if name not in done:
            for one in edges[name]:
                visit(one, [*path, name])
            done.add(name)
    for name in edges:
        visit(name, [])


@pytest.mark.parametrize("name", ["builder", "builder.__main__"])
def test_the_start_needs_nothing_installed(name):
    """What runs before anything is installed uses the standard library only, and the rest of the builder only inside functions."""
    import sys
    outside = {one.partition(".")[0] for one in imported(TREES[name], everywhere=False)} - {"builder"}
    assert outside <= set(sys.stdlib_module_names) | {"__future__"}
    assert inside(name) <= {"builder", "builder.cli"}
    assert not {one for one in imported(TREES[name], everywhere=False) if one.startswith("builder.")}


EXACT = [n for n in FILES if n.startswith("builder.compute") or n in ("builder.units", "builder.wording", "builder.tables", "builder.model.accuracy")]


@pytest.mark.parametrize("name", sorted(set(EXACT) - STATISTICS))
def test_no_float_touches_a_limit(name):
    """No float is written or made where limits are computed and shown (how alike two words are is no limit)."""
    alike = {id(argument) for node in ast.walk(TREES[name]) if isinstance(node, ast.Call) and getattr(node.func, "attr", "") == "get_close_matches"
             for argument in node.args}
    for node in ast.walk(TREES[name]):
        assert not (isinstance(node, ast.Constant) and isinstance(node.value, (float, complex)) and id(node) not in alike), f"line {node.lineno}"
        assert not (isinstance(node, ast.Name) and node.id in ("float", "Decimal") and name.startswith("builder.compute")), f"line {node.lineno}"
        assert not (isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "float"), f"line {node.lineno}"


@pytest.mark.parametrize("name", FILES)
def test_modules_stay_readable(name):
    """About 300 lines a module; the adapter for the site engine stays under 150."""
    lines = FILES[name].read_text(encoding="utf-8").count("\n")
    assert lines <= (150 if name == "builder.plugin" else 400)


def test_limits_know_no_statistics():
    """What computes limits imports nothing of what computes with floats."""
    for name in (n for n in FILES if n.startswith("builder.compute") and n not in STATISTICS):
        assert not inside(name) & STATISTICS


@pytest.mark.parametrize("name", [n for n in FILES if n.startswith("builder.compute")])
def test_compute_takes_keywords_only(name):
    """Physical parameters are named at every call, so that none is exchanged for another."""
    for node in TREES[name].body:
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_") and len(node.args.args) > 2:
            raise AssertionError(f"{node.name} takes {len(node.args.args)} parameters by position")
