"""Mutation testing where limits are computed, planned and judged: changes one place at a time and
runs the tests that reach it.

    pip install mutmut==3.3.1
    python -P tests/mutation.py run 'builder.compute.*' --max-children 2    # half an hour
    python -P tests/mutation.py run 'builder.compute.exact.points.*'           # one module
    python -P tests/mutation.py run 'builder.procedure.planner.*' --sample 200 --seed 1
    python -P tests/mutation.py show builder.compute.exact.points.x_judge__mutmut_1

A mutant of `compute` meets all of its tests; one of another module the tests of that module's name
and those in `ALSO`; both those in tests/published. `--sample` takes so many changes of each module,
the same ones for the same seed.

mutmut leaves out what is decorated, which here is every dataclass, every property and every cached
function. So these are handed to it in another form: a property and a cached function as a function
and an assignment, and a dataclass as if it had no decorator. The copy under mutants/ is all that it
changes."""

import fnmatch
import os
import random
import sys
from pathlib import Path

import libcst as cst
import mutmut
import pytest
from mutmut import __main__ as program
from mutmut import file_mutation

ROOT = Path(__file__).resolve().parent.parent
COMPUTE = "builder/compute/"
OTHERS = [f"builder/{name}.py" for name in (
    "records/verdict", "records/typed", "records/statement", "records/record_statement",
    "procedure/supplies",
    "procedure/planner", "procedure/planned_points", "procedure/point_uncertainty",
    "procedure/budget_of_point",
    "procedure/groups",
    "practice/mistakes")]
# What else reaches a module than the tests of its name.
ALSO = {"procedure/planner": ["tests/procedure/test_planned_points*.py",
                              "tests/procedure/test_supplies*.py"]}
BESIDE = ["tests", "procedures", "site_src", "mkdocs.yml", "pyproject.toml"]

# runs a program of its own, which says nothing of a mutant
PROGRAM = "tests/compute/statistics/test_risk.py::test_the_benchmark_runs_and_prints_its_times"
# Without what looks at a whole site, which a program of its own builds; and with tracebacks that
# read no source, since pytest would parse all mutants of a file for each one that dies.
LEFT_OUT = (f"-p no:cacheprovider --tb native --deselect {PROGRAM} "
            "--ignore tests/published/test_page.py")


def modules(patterns: list[str]) -> list[str]:
    """The files that changes of these names are in; all of them where none is named."""
    files = [path.relative_to(ROOT).as_posix() for path in (ROOT / COMPUTE).rglob("*.py")] + OTHERS
    names = {file: file.removesuffix(".py").replace("/", ".") for file in sorted(files)}
    return [file for file, name in names.items()
            if not patterns or any(one.startswith(name + ".") or fnmatch.fnmatch(name + ".x", one)
                                   for one in patterns)]


def tests_of(files: list[str]) -> list[str]:
    """The tests that these files' changes meet."""
    found = {"tests/published"}
    for file in files:
        if file.startswith(COMPUTE):
            found.add("tests/compute")
            continue
        folder, _, name = file.removeprefix("builder/").removesuffix(".py").partition("/")
        for glob in (f"tests/{folder}/test_{name}*.py", *ALSO.get(f"{folder}/{name}", ())):
            found |= {path.relative_to(ROOT).as_posix() for path in ROOT.glob(glob)}
    return sorted(found)


def option(name: str) -> int:
    """Takes an option with a number out of the command line, which mutmut doesn't know; 0 where it
    isn't there."""
    if name not in sys.argv:
        return 0
    place = sys.argv.index(name)
    _, value = sys.argv[place:place + 2]
    del sys.argv[place:place + 2]
    return int(value)


def sampled(size: int, seed: int, plain=program.collect_source_file_mutation_data):
    """mutmut's list of mutants with at most `size` of each module in it."""
    def collect(*, mutant_names):
        mutants, files = plain(mutant_names=mutant_names)
        by_file: dict[str, list] = {}
        for mutant in mutants:
            by_file.setdefault(str(mutant[0].path), []).append(mutant)
        return [mutant for file, of_file in sorted(by_file.items())
                for mutant in random.Random(f"{seed} {file}").sample(
                    of_file, min(size, len(of_file)))], files
    return collect


class Undecorated(cst.CSTTransformer):
    """Properties and cached functions in a form that mutmut takes."""

    def leave_FunctionDef(self, _, function):
        names = [cst.Module([]).code_for_node(one.decorator) for one in function.decorators]
        if names in (["property"], ["cached_property"]):
            getter = function.with_changes(decorators=[],
                                           name=cst.Name(f"get_{function.name.value}"),
                                           leading_lines=[])
            return cst.FlattenSentinel([getter,
                                        cst.parse_statement(
                                            f"{function.name.value} = {names[0]}(lambda self: "
                                            f"self.{getter.name.value}())")])
        if names and names[0].startswith("lru_cache"):
            plain = function.with_changes(decorators=[],
                                          name=cst.Name(f"uncached_{function.name.value}"))
            return cst.FlattenSentinel(
                [plain,
                 cst.parse_statement(f"{function.name.value} = {names[0]}({plain.name.value})")])
        return function


def forget() -> None:
    """A mutant's process begins without what the right code has left in caches."""
    for name, module in sys.modules.items():
        if name.startswith("builder."):
            for one in vars(module).values():
                getattr(one, "cache_clear", lambda: None)()


class Visitor(file_mutation.MutationVisitor):
    def _skip_node_and_children(self, node):
        return not isinstance(node, cst.ClassDef) and super()._skip_node_and_children(node)


def mutated(filename: str, code: str, plain=file_mutation.mutate_file_contents):
    return plain(filename, cst.parse_module(code).visit(Undecorated()).code)


class Durations:
    """What a test takes with its fixtures, by which the quick ones come first; mutmut 3.3.1 takes
    the last part alone."""

    def __init__(self):
        self.of_test: dict[str, float] = {}

    def pytest_runtest_makereport(self, item, call):
        self.of_test[item.nodeid] = self.of_test.get(item.nodeid, 0) + call.duration


class Runner(program.PytestRunner):
    def execute_pytest(self, params, plugins=(), **more):
        durations = Durations()
        code = super().execute_pytest(params, plugins=[*plugins, durations], **more)
        if plugins:    # the run that collects what reaches what
            mutmut.duration_by_test.update(durations.of_test)
        return code

    def list_all_tests(self):
        return program.ListAllTestsResult(ids=super().list_all_tests().ids - {PROGRAM})


class Config(program.Config):
    mutated = ()

    def should_ignore_for_mutation(self, path) -> bool:
        return Path(path).as_posix() not in self.mutated


if __name__ == "__main__":
    os.chdir(ROOT)
    size, seed = option("--sample"), option("--seed")
    named = [one for one in sys.argv[2:] if one.startswith("builder.")]
    Config.mutated = modules(named)
    file_mutation.MutationVisitor = Visitor
    program.mutate_file_contents, program.PytestRunner = mutated, Runner
    # mutmut 3.3.1 holds each mutant to the shortest time of any; the limit of CPU time is enough.
    program.timeout_checker = lambda mutants: lambda: None
    if size:
        program.collect_source_file_mutation_data = sampled(size, seed)
    mutmut.config = Config(do_not_mutate=[], also_copy=[Path(one) for one in BESIDE],
                           max_stack_depth=-1, debug=False, paths_to_mutate=[Path("builder")],
                           tests_dir=tests_of(Config.mutated))
    # Which test reaches what is asked anew, since the last run may have had other modules.
    if sys.argv[1:2] == ["run"]:
        Path("mutants/mutmut-stats.json").unlink(missing_ok=True)
    # mutmut 3.3.1 asks for it by the name that pytest gave up
    pytest.Item._nodeid = property(lambda self: self.nodeid)
    os.environ["PYTEST_ADDOPTS"] = LEFT_OUT
    os.register_at_fork(after_in_child=forget)
    program.cli()
