"""Which files of a shop's folder are read, and that nothing in them ends in a traceback."""

import os

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from builder.files.problems import as_json, as_text
from builder.shop import loading
from tests.conftest import ROOT
from tests.file_rules.test_file_rules import METER, PLAN, STANDARD
from tests.small_shop import load, write

RIGHT = {"meters/lapwing-1.yaml": METER, "standards/petrel.yaml": STANDARD,
         "plans/lapwing-yearly.yaml": PLAN}


def test_a_folder_that_is_missing_or_empty(tmp_path):
    """No folder is a problem; a folder without files is a shop without anything yet."""
    assert [p.code for p in loading.load_shop(tmp_path / "none").errors] == ["no-folder"]
    (tmp_path / "procedures").mkdir()
    shop = loading.load_shop(tmp_path / "procedures")
    assert shop.problems == [] and shop.procedures == {}


@pytest.mark.parametrize("name, said", [
    ("meters/other.yml", "error file-name name it 'other.yaml'"),
    ("plans/Other.YAML", "error file-name name it 'Other.yaml'"),
    ("standards/other.yaml.txt", "error file-name name it 'other.yaml'"),
    ("records/2026/other.yml", "error file-name name it 'other.yaml'"),
    ("records/other.JSON", "error file-name name it 'other.json'"),
    ("meters/other.json", "warning file-name rename it, or move it elsewhere"),
    ("meters/other.txt", "warning file-name rename it, or move it elsewhere"),
    ("meters/sub/x.yaml", "warning file-name rename it, or move it elsewhere"),
    ("records/2026/x.txt", "warning file-name rename it, or move it elsewhere"),
    ("meter/x.yaml", "warning folder did you mean 'meters'?"),
    ("Records/x.yaml", "warning folder did you mean 'records'?"),
    ("photos/x.png", f"warning folder known here: {', '.join(loading.FOLDERS)}"),
    ("workshop.yml", "error file-name rename it, or move it elsewhere"),
    ("Workshop.yaml", "error file-name rename it, or move it elsewhere"),
    ("workshop.yaml.bak", "error file-name rename it, or move it elsewhere"),
    ("x.yaml",
     "warning file-name move it into one of meters, standards, plans, records, or elsewhere"),
    ("README.md", None), ("readme", None), (".hidden/x.yaml", None), (".gitignore", None),
    ("meters/.x.yaml.swp", None), ("records/.x.yaml.swp", None), ("records/.old/x.yaml", None),
])
def test_what_is_not_read_is_said(name, said, tmp_path):
    """What looks meant and isn't read is told at its place, as an error where it is surely meant;
    hidden files and a readme are passed over."""
    shop = loading.load_shop(write(tmp_path / "procedures", RIGHT | {name: "x: 1"}))
    assert [f"{p.severity} {p.code} {p.hint}" for p in shop.problems] == ([said] if said else [])
    shown = name if name.count("/") != 1 or said is None or " file-name " in said else (
        name.partition("/")[0])
    assert all(p.place.file == f"procedures/{shown}".replace("/sub/x.yaml", "/sub")
               for p in shop.problems)
    assert list(shop.procedures) == ["lapwing-yearly"]


LINKS = [("a file", lambda path: path.write_text(""), "a file stands here, and a folder is exp"),
         ("nowhere", lambda path: path.symlink_to("/not mounted"), "this link leads to no folder"),
         ("itself", lambda path: path.symlink_to(path), "this link leads to no folder")]


@pytest.mark.parametrize("kind", [*loading.FOLDERS, ""])
@pytest.mark.parametrize("spoil, says", [one[1:] for one in LINKS], ids=[one[0] for one in LINKS])
def test_a_folder_that_is_none_is_said(kind, spoil, says, tmp_path):
    """At its own place, whatever it leads to besides."""
    folder = write(tmp_path / "procedures", RIGHT)
    spoilt = folder / kind if kind else folder
    if spoilt.exists():
        spoilt.rename(tmp_path / "away")
    spoil(spoilt)
    first, *_ = loading.load_shop(folder).errors
    assert first.place.file == ("procedures/" + kind if kind else str(folder))
    assert says in first.sentence or not kind and first.sentence == "there is no such folder"


@pytest.mark.parametrize("kind", [*loading.FOLDERS, ""])
def test_a_folder_that_cannot_be_read_is_said(kind, tmp_path, monkeypatch):
    """At its own place; for records nothing else would tell."""
    folder = write(tmp_path / "procedures", RIGHT | {"records/a/b.txt": "", "approved/.x": "",
                                                        "finished/.x": "", "past/.x": "",
                                                        "checks-between/.x": ""})
    real = os.listdir

    def locked(path):
        if path == folder / kind:
            raise PermissionError(13, "Permission denied")
        return real(path)
    monkeypatch.setattr(os, "listdir", locked)
    (found,) = [p for p in loading.load_shop(folder).errors if p.code == "unreadable-folder"]
    assert found.place.file == f"procedures/{kind}".rstrip("/")
    assert found.sentence == "the folder can't be read: Permission denied"


@pytest.mark.parametrize("make, says", [
    (lambda path: path.symlink_to("nowhere"), "No such file or directory"),
    (lambda path: path.mkdir(), "Is a directory")])
def test_a_workshop_file_that_cannot_be_read_is_said(make, says, tmp_path):
    """Without it nothing would be overdue, so its absence is no matter of course."""
    folder = write(tmp_path / "procedures", RIGHT)
    make(folder / "workshop.yaml")
    (found,) = loading.load_shop(folder).errors
    assert (found.place.file, found.sentence) == ("procedures/workshop.yaml",
                                                  f"the file can't be read: {says}")


@pytest.mark.parametrize("due, year", [("9999-12-31", "9999"), ("0026-03-12", "0026")])
def test_a_year_that_no_bench_sees_is_refused(due, year, tmp_path):
    """Someone's way to write never, and a slip of the hand."""
    spoilt = STANDARD.replace("due: 2030-01-01", f"due: {due}")
    assert spoilt != STANDARD
    found, *_ = load(tmp_path, METER, PLAN, spoilt).errors
    assert found.sentence == f"the year {year} can't be meant"


def test_the_same_files_give_the_same_revision(tmp_path):
    """Comments and the order of keys or ranges change no limit and no text, so the revision stays;
    a limit changes it."""
    def revision(name, meter):
        return load(tmp_path / name, meter, PLAN, STANDARD).procedures["lapwing-yearly"].revision
    first = revision("a", METER)
    assert revision("b", METER) == revision("c", "# a comment\n" + METER) == first
    low, high = METER.splitlines(keepends=True)[15:17]
    assert revision("d", METER.replace(low + high, high + low)) == first
    assert revision("e", METER.replace("0.4 % + 2 counts", "0.4 % + 3 counts")) != first


def test_a_plan_without_points_is_a_procedure_too(tmp_path):
    """A plan may hold checks alone, with all that has a table left out."""
    plan = PLAN.replace(
        "points:\n  - {function: DC voltage, apply: recommended}\n  - {function: AC voltage, "
        "apply: recommended}",
        "points: []\nleft_out:\n  - {function: DC voltage, because: a}\n  - {function: AC voltage, "
        "because: b}")
    shop = load(tmp_path, METER, plan, STANDARD)
    assert shop.problems == [] and shop.procedures["lapwing-yearly"].points == []


def test_the_order_of_files_does_not_matter(tmp_path):
    """Meters, standards and plans are found by name, whatever order they are written or read in."""
    shop = loading.load_shop(write(tmp_path / "procedures", dict(reversed(RIGHT.items()))))
    assert list(shop.procedures) == ["lapwing-yearly"] and shop.problems == []


# ---------------------------------------------------------------- no traceback, whatever the text

def survives(folder, files: dict) -> None:
    shop = loading.load_shop(write(folder, files))
    assert as_text(shop.problems) or not shop.problems
    as_json(shop.problems)
    for one in shop.problems:
        lines = files.get(one.place.file.split("/", 1)[1], "").split("\n")
        assert 1 <= one.place.line <= len(lines) and 1 <= one.place.column <= len(
            lines[one.place.line - 1]) + 1, str(one)


BITS = ["", " ", "\n", "\n  ", "- ", ": ", ", ", "{", "}", "[", "]", "#", "'", '"', "0", "-1",
        "1e9", "99999999999999999", "0.000000000000000001", "% ", "V", "mA", "degF", "Hz",
        "recommended", "counts", "null", "~", "true", "range: 1 V", "values: 0 V to 1 V",
        "frequency: 1 Hz to 2 Hz", "lowest: 1 V", "µ", "\t", "&a ", "*a", "!x ", "---\n", "…",
        "\u202e", "x" * 500]
mutation = st.tuples(st.sampled_from(sorted(RIGHT)), st.integers(0, 2000), st.integers(0, 25),
                     st.sampled_from(BITS))


@settings(max_examples=150)
@given(st.lists(mutation, min_size=1, max_size=4))
def test_mutated_files_never_raise(tmp_path_factory, mutations):
    """Text cut out of and put into right files anywhere gives a shop and problems inside the text,
    never an exception."""
    files = dict(RIGHT)
    for name, start, length, bit in mutations:
        text = files[name]
        start %= len(text) + 1
        files[name] = text[:start] + bit + text[start + length:]
    survives(tmp_path_factory.getbasetemp() / "mutated", files)


def lines_of(text):
    return st.lists(st.sampled_from(text.splitlines()), max_size=25).map("\n".join)


@settings(max_examples=50)
@given(lines_of(METER), lines_of(PLAN), lines_of(STANDARD))
@example("", "", "")
def test_shuffled_lines_never_raise(tmp_path_factory, meter, plan, standard):
    """Neither do the lines of right files in any order."""
    survives(tmp_path_factory.getbasetemp() / "shuffled",
             dict(zip(sorted(RIGHT), (meter, plan, standard), strict=True)))


DEMO = {f"{path.parent.name}/{path.name}": path.read_text(encoding="utf-8")
        for path in sorted((ROOT / "procedures").glob("[!r]*/*.yaml"))}


@settings(max_examples=12)
@given(st.lists(st.tuples(st.integers(0, 100_000), st.integers(0, 40), st.sampled_from(BITS)),
                min_size=1, max_size=6))
def test_the_mutated_demo_never_raises(tmp_path_factory, mutations):
    """Neither does the demo, whatever it holds today, with text cut out of it and put into it."""
    files = {name: DEMO[name] for name in DEMO
             if name.split("/")[0] in ("meters", "standards", "plans")}
    for start, length, bit in mutations:
        name = sorted(files)[start % len(files)]
        text = files[name]
        start %= len(text) + 1
        files[name] = text[:start] + bit + text[start + length:]
    survives(tmp_path_factory.getbasetemp() / "mutated demo", files)


VALUES = st.sampled_from(["", "3 V", "6 V", "600 mV", "1 mV", "1 nV", "1e18 V", "1e-18 V", "3 A",
                          "50 %", "20 degC", "70 degF", "50 Hz", "1 kHz", "1 V to 6 V",
                          "40 Hz to 1 kHz", "1 to 2 degF",
                          "0.5 % + 3 counts", "1 %", "1 degC", "recommended", "manual",
                          "automatic only", "DC voltage", "AC voltage", "temperature", "frequency",
                          "duty cycle", "resistance",
                          "continuity", "5 % of range", "Ω", "µA ⎓", "[V, COM]", "{}", "[]", "[[]]",
                          "{range: 6 V}"])


@settings(max_examples=150)
@given(st.lists(st.tuples(st.sampled_from(sorted(RIGHT)), st.integers(0, 100), VALUES), min_size=1,
                max_size=5))
def test_exchanged_values_never_raise(tmp_path_factory, exchanges):
    """Neither do right values at wrong places: each value of the files exchanged for one of another
    kind."""
    files = {}
    for name, text in RIGHT.items():
        parts = [part for line in text.splitlines(keepends=True)
                 for part in line.replace(", ", ", \0").replace(": ", ": \0").split("\0")]
        for file, at, value in exchanges:
            if file == name:
                at %= len(parts)
                tail = parts[at][len(parts[at].rstrip("\n,} ")):]
                if not parts[at].endswith(": "):
                    parts[at] = value + tail
        files[name] = "".join(parts)
    survives(tmp_path_factory.getbasetemp() / "exchanged", files)


@pytest.mark.parametrize("changes", [
    [("0.5 % + 3 counts", "0.00000000000000001e-18 % + 3 counts"),
     ("0.1 per degC", "0.00000000000000001e-18 per degC")],
    [("0.4 % + 2 counts", "0.00000000000000001e-18 % + 2 counts"),
     ("18 to 28 degC", "18 to 28.0000000000000001 degC"),
     ("0.1 per degC", "0.00000000000000001e-18 per degC")],
])
def test_numbers_with_very_many_decimals(changes, tmp_path):
    """Exact arithmetic on the longest numbers that a file may hold gives limits or a problem, not a
    traceback."""
    text = METER
    for old, new in changes:
        text = text.replace(old, new)
    plan = PLAN.replace("checks:",
                        "ambient: 30.0000000000000001 to 31 degC\nchecks:").replace(
                            "DC voltage, apply: recommended",
                            "DC voltage, apply: [0.3 V, 3.00000000000000001 V]")
    survives(tmp_path / "procedures",
             RIGHT | {"meters/lapwing-1.yaml": text, "plans/lapwing-yearly.yaml": plan})


def test_a_point_on_a_function_that_lost_its_ranges(tmp_path):
    """A temperature function whose only range can't be read, with a point of it in the plan, gives
    problems."""
    for n, ranges in enumerate(("[]", "[{range: 400 degX, resolution: 0.1 degC, accuracy: 1 %}]",
                                "[{range: 400 V, resolution: 0.1 V, accuracy: 1 %}]")):
        meter = METER + f"  - {{function: temperature, jacks: [T], ranges: {ranges}}}\n"
        plan = PLAN.replace("points:", "points:\n  - {function: temperature, apply: 20 degC}")
        survives(tmp_path / str(n),
                 RIGHT | {"meters/lapwing-1.yaml": meter, "plans/lapwing-yearly.yaml": plan})
