"""Mutation testing of builder/compute: changes one place at a time and runs the tests that reach
it.

    pip install mutmut==3.3.1
    python tests/mutation.py run 'builder.compute.*' --max-children 2      # an hour
    python tests/mutation.py run 'builder.compute.points.*'                # one module
    python tests/mutation.py show builder.compute.points.x_judge__mutmut_1

mutmut leaves out what is decorated, which here is every dataclass, every property and every cached
function. So these are handed to it in another form: a property and a cached function as a function
and an assignment, and a dataclass as if it had no decorator. The copy under mutants/ is all that it
changes. """

import os
import sys
from pathlib import Path

import libcst as cst
import mutmut
import pytest
from mutmut import __main__ as program
from mutmut import file_mutation

TESTS = ["tests/compute", "tests/published"]
BESIDE = ["tests", "procedures", "site_src", "mkdocs.yml", "pyproject.toml"]

# runs a program of its own, which says nothing of a mutant
PROGRAM = "tests/compute/statistics/test_risk.py::test_the_benchmark_runs_and_prints_its_times"


class Undecorated(cst.CSTTransformer):
    """Properties and cached functions in a form that mutmut takes."""

    def leave_FunctionDef(self, _, function):
        names = [cst.Module([]).code_for_node(one.decorator) for one in function.decorators]
        if names == ["property"]:
            getter = function.with_changes(decorators=[],
                                           name=cst.Name(f"get_{function.name.value}"),
                                           leading_lines=[])
            return cst.FlattenSentinel([getter,
                                        cst.parse_statement(
                                            f"{function.name.value} = property(lambda self: "
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


class Runner(program.PytestRunner):
    def list_all_tests(self):
        return program.ListAllTestsResult(ids=super().list_all_tests().ids - {PROGRAM})


class Config(program.Config):
    def should_ignore_for_mutation(self, path) -> bool:
        return not str(path).startswith(os.path.join("builder", "compute", ""))


if __name__ == "__main__":
    os.chdir(Path(__file__).resolve().parent.parent)
    file_mutation.MutationVisitor = Visitor
    program.mutate_file_contents, program.PytestRunner = mutated, Runner
    mutmut.config = Config(do_not_mutate=[], also_copy=[Path(one) for one in BESIDE],
                           max_stack_depth=-1, debug=False, paths_to_mutate=[Path("builder")],
                           tests_dir=TESTS)
    # mutmut 3.3.1 asks for it by the name that pytest gave up
    pytest.Item._nodeid = property(lambda self: self.nodeid)
    os.environ["PYTEST_ADDOPTS"] = f"-p no:cacheprovider --deselect {PROGRAM}"
    os.register_at_fork(after_in_child=forget)
    program.cli()
