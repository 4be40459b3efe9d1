"""Who may import whom: data flows one way, and each outside library has one door."""

import ast
import functools
from pathlib import Path

import pytest

import builder

ROOT = Path(builder.__file__).parent
FILES = {".".join(("builder", *path.relative_to(ROOT).with_suffix("").parts)).removesuffix(
    ".__init__"): path for path in sorted(ROOT.rglob("*.py"))}


@functools.cache
def tree(name: str) -> ast.Module:
    return ast.parse(FILES[name].read_text(encoding="utf-8"))


@functools.cache
def imported(name: str, everywhere: bool = True) -> set[str]:
    """The modules that a module imports, at its top level or anywhere in it; `from builder import
    x` counts as builder.x."""
    found = set()
    for node in ast.walk(tree(name)) if everywhere else tree(name).body:
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert not node.level, "relative imports aren't used here"
            inner = {f"{node.module}.{alias.name}" for alias in node.names}
            found |= inner & set(FILES) or {node.module}
    return found


# Data flows down this list and never back up: a folder imports from itself and from those before
# it.
ORDER = [
    "files",                # text of a file, plain data with places, problems, the cache
    "numbers",              # units, and numbers as text
    "compute.exact",        # what makes limits: no float, no statistics
    "compute.statistics",   # uncertainty, risk, trend: floats, rounded once on the page
    "formats",              # what files may hold
    "drawing",              # SVG
    "procedure",            # a plan and its sheet
    "file_rules",           # what must hold across files
    "records",              # readings, verdicts, reports, histories, the register
    "frozen",               # approved sheets and finished reports, which never change
    "shop",                 # everything a folder holds, computed
    "first_plan",           # a plan proposed
    "lessons",              # numbers and pictures for what people write
    "practice",             # exercises
    "published",            # values from outside beside ours
    "pages",                # pages, and the engines that take them
    "own_shop",             # a shop's folder as a whole: a new one, a backup
    "desk",                 # the local pages of `serve`: doors to the same functions
    "cli",
    "__main__",
]


def importers(library: str) -> set[str]:
    return {name for name in FILES
            if any(one == library or one.startswith(library + ".") for one in imported(name))}


def folder(name: str) -> str:
    """The entry of ORDER that a module belongs to; "" for the package itself and for `compute`,
    which holds two."""
    inner = name.removeprefix("builder").removeprefix(".")
    return next((entry for entry in ORDER if inner == entry or inner.startswith(entry + ".")), "")


@pytest.mark.parametrize("library, allowed", [
    ("yaml", {"builder.files.yaml_text"}), ("pint", {"builder.numbers.units"}),
    ("csv", {"builder.files.csv_text"}), ("mkdocs", {"builder.pages.plugin"}),
    ("jinja2", {"builder.pages.page_text"}), ("segno", {"builder.pages.sheet_pages"}),
    ("werkzeug", {"builder.desk.app", "builder.desk.guard", "builder.desk.shell"}),
    ("markupsafe", {"builder.pages.chips", "builder.pages.page_styles", "builder.pages.page_text",
                    "builder.pages.report_pages", "builder.pages.sheet_pages",
                    "builder.desk.app", "builder.desk.labels", "builder.desk.proposals",
                    "builder.desk.shell"}),
])
def test_each_library_has_one_door(library, allowed):
    """Only the module that is there for it imports a library."""
    assert importers(library) == allowed


def test_pydantic_stays_in_the_formats():
    """Only the file formats know how files are validated."""
    assert {folder(name) for name in importers("pydantic")} == {"formats"}


def inside(name: str) -> set[str]:
    return {one for one in imported(name) if one == "builder" or one.startswith("builder.")}


@pytest.mark.parametrize("name", [n for n in FILES if n.startswith("builder.compute")])
def test_compute_knows_nothing_of_the_rest(name):
    """Pure functions: of the builder they import each other, and else the standard library's
    numbers and shapes."""
    assert all(one.startswith("builder.compute") for one in inside(name))
    assert {one.partition(".")[0] for one in imported(name) - inside(name)} <= {
        "__future__", "collections", "dataclasses", "fractions", "functools", "itertools", "math",
        "operator", "typing",
        *(["statistics"] if folder(name) == "compute.statistics" else []),
        *(["datetime"] if name == "builder.compute.exact.dates" else [])}


def test_formats_know_little_of_the_computation():
    """Of the computation the file formats know what a tolerance and a decision rule are, which
    readings a tolerance accepts, which conductors, thermocouples and resistance thermometers there
    are, and the stages of the work, which plans name."""
    known = {one for name in FILES if folder(name) == "formats" for one in inside(name)
             if one.startswith("builder.compute")}
    assert known == {"builder.compute.exact.tolerance", "builder.compute.exact.display",
                     "builder.compute.exact.leads", "builder.compute.exact.order",
                     "builder.compute.exact.resistance_thermometer",
                     "builder.compute.exact.thermocouple", "builder.compute.statistics.decision"}


def test_data_flows_down_and_never_back_up():
    """A folder imports from itself and from those before it in ORDER."""
    place = {entry: n for n, entry in enumerate(ORDER)}
    assert {folder(name) for name in FILES} == {"", *ORDER}, "a new folder needs its place in ORDER"
    assert {name for name in FILES if not folder(name)} == {"builder", "builder.compute"}
    for name in FILES:
        for one in inside(name) - {"builder"} if folder(name) else ():
            assert place[folder(one)] <= place[folder(name)], f"{name} imports {one}"


def test_the_top_of_the_house_is_seen_at_a_glance():
    """No more entries at the top of builder/ than a reader takes in."""
    assert len([path for path in ROOT.iterdir() if path.name != "__pycache__"]) <= 21


def test_no_cycles_at_module_level():
    """No module needs itself to be imported, by whatever way round."""
    edges = {name: {one for one in imported(name, everywhere=False) if one in FILES}
             for name in FILES}
    done: set[str] = set()

    def visit(name, path):
        assert name not in path, " → ".join([*path, name])
        if name not in done:
            for one in edges[name]:
                visit(one, [*path, name])
            done.add(name)
    for name in edges:
        visit(name, [])


LOCK = "builder.files.one_at_a_time"


@pytest.mark.parametrize("name", ["builder", "builder.__main__", LOCK])
def test_the_start_needs_nothing_installed(name):
    """What runs before anything is installed uses the standard library only, and the rest of the
    builder only inside functions."""
    import sys
    outside = {one.partition(".")[0]
               for one in imported(name, everywhere=False)} - {"builder"}
    assert outside <= set(sys.stdlib_module_names) | {"__future__"}
    assert inside(name) <= {"builder", "builder.cli", LOCK}
    assert not {one for one in imported(name, everywhere=False)
                if one.startswith("builder.")}


EXACT = [n for n in FILES if folder(n) == "compute.exact" or n in (
    "builder.numbers.units", "builder.numbers.exact_text", "builder.procedure.meter_function",
    "builder.procedure.refusals", "builder.formats.accuracy")]


@pytest.mark.parametrize("name", EXACT)
def test_no_float_touches_a_limit(name):
    """No float is written or made where limits are computed and shown (how alike two words are is
    no limit)."""
    alike = {id(argument) for node in ast.walk(tree(name))
             if isinstance(node, ast.Call) and getattr(node.func, "attr", "") == "get_close_matches"
             for argument in node.args}
    for node in ast.walk(tree(name)):
        assert not (isinstance(node, ast.Constant) and isinstance(node.value, (float, complex))
                    and id(node) not in alike), f"line {node.lineno}"
        assert not (isinstance(node, ast.Name) and node.id in ("float", "Decimal")
                    and name.startswith("builder.compute")), f"line {node.lineno}"
        assert not (isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
                    and node.func.id == "float"), f"line {node.lineno}"


@pytest.mark.parametrize("name", FILES)
def test_modules_stay_readable(name):
    """Under 300 lines a module; the adapter for the site engine under 150."""
    lines = FILES[name].read_text(encoding="utf-8").count("\n")
    assert lines < (150 if name == "builder.pages.plugin" else 300)


@pytest.mark.parametrize("name", [n for n in FILES if n.startswith("builder.compute")])
def test_compute_takes_keywords_only(name):
    """Physical parameters are named at every call, so that none is exchanged for another."""
    for node in tree(name).body:
        if isinstance(node,
                      ast.FunctionDef) and not node.name.startswith("_") and len(
                              node.args.args) > 2:
            raise AssertionError(f"{node.name} takes {len(node.args.args)} parameters by position")
