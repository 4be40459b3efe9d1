"""A test is found by the name of what it tests: tests/ has the folders of builder/, and what is
computed, planned and recorded has a file of tests for each module."""

from pathlib import Path

import pytest

import builder

SOURCE, TESTS = Path(builder.__file__).parent, Path(__file__).parent
MIRRORED = [path.relative_to(SOURCE) for name in ("compute", "procedure", "records")
            for path in sorted((SOURCE / name).rglob("*.py")) if path.stem != "__init__"]
APART = {"benchmark"}   # of the whole builder


def owner(test: Path) -> str:
    """The module that a file of tests is named after: `test_points_by_hand.py` is of `points`, and
    `test_history_page.py` of `history_page`, not of `history`."""
    modules = [path.stem for path in MIRRORED if path.parent == test.parent]
    name = test.stem.removeprefix("test_")
    return max((one for one in modules if name == one or name.startswith(one + "_")), key=len,
               default="")


FILES = [path.relative_to(TESTS) for folder in sorted({path.parent for path in MIRRORED})
         for path in sorted((TESTS / folder).glob("test_*.py"))]


@pytest.mark.parametrize("module", MIRRORED, ids=str)
def test_a_module_has_tests_of_its_name(module):
    """In the same folder, as one file or several."""
    assert [test for test in FILES if test.parent == module.parent and owner(test) == module.stem]


@pytest.mark.parametrize("test", FILES, ids=str)
def test_a_file_of_tests_has_its_module(test):
    """What was renamed or is gone leaves no tests behind under the old name."""
    assert owner(test)


def test_a_folder_of_tests_has_its_folder():
    """No folder of tests without the one that it tests."""
    folders = {path.parent.relative_to(TESTS).as_posix() for path in TESTS.rglob("test_*.py")}
    assert [one for one in folders - APART if not (SOURCE / one).is_dir()] == []
