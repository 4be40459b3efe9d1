"""YAML text → plain data with places; what YAML would turn into something else, and what is
refused."""

import time
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.files import yaml_text
from builder.files.problems import Problem


def data(text: str):
    document, problems = yaml_text.parse(text, "meters/x.yaml")
    assert not problems, str(problems[0])
    return document.data


def problem(text: "str | bytes", tmp_path=None) -> Problem:
    if isinstance(text, bytes):
        path = tmp_path / "x.yaml"
        path.write_bytes(text)
        document, problems = yaml_text.read(path, "meters/x.yaml")
    else:
        document, problems = yaml_text.parse(text, "meters/x.yaml")
    assert document is None and len(problems) == 1
    return problems[0]


@pytest.mark.parametrize("typed",
                         ["0.1", "1e3", "1E3", "on", "off", "yes", "no", "true", "null", "~",
                          "12:30", "190:20:30", "0x10", "010", "0o10", "0b1", "1_000", ".inf",
                          ".nan",
                          "2027-03-31", "+3", "-0.0", "1.10", "=", "<<",
                          "0.10000000000000000000001", "600 mV", "0.5 % + 3 counts", "3:4"])
def test_every_scalar_stays_the_text_that_was_typed(typed):
    """No number, boolean, date, base-sixty number or null is made of what a person typed, as a
    value, a key or in a list."""
    assert data(f"a: {typed}\nb: [{typed}]\n{typed}: c\n") == {"a": typed, "b": [typed], typed: "c"}


def test_an_empty_value_is_an_empty_text():
    """A key with nothing behind it holds nothing, and isn't null."""
    assert data("a:\nb: ''\n") == {"a": "", "b": ""}


def test_quotes_and_folded_lines_give_the_text():
    """Quotation marks, block texts and folded lines are ways to write a text; blanks and line ends
    in it become one blank."""
    assert data(
        'a: "0.1 # no"\nb: \'it\'\'s\'\nc: >\n  two\n  lines\nd: |\n  two\n  lines\ne: one\n  '
        'more\n') == {
            "a": "0.1 # no", "b": "it's", "c": "two lines", "d": "two lines", "e": "one more"}


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_line_ends_of_all_systems(end):
    """Files from any editor are read, with the same lines."""
    text = end.join(["meter: x", "functions:", "  - a: 1", ""])
    document, _ = yaml_text.parse(text, "x")
    assert document.data == {"meter": "x", "functions": [{"a": "1"}]}
    assert document.place(("functions", 0, "a")).line == 3


def test_a_byte_order_mark_is_no_key(tmp_path):
    """A mark that some editors put at the file's start is passed over, and columns count without
    it."""
    (tmp_path / "x.yaml").write_bytes(b"\xef\xbb\xbfmeter: x\n")
    document, problems = yaml_text.read(tmp_path / "x.yaml", "x")
    assert document.data == {"meter": "x"} and not problems
    assert document.place(("meter",)).column == 8


TABLE = [
    # text, code, line, column, a word of sentence or hint
    ("a: 1\nb: 2\na: 3\n", "duplicate-key", 3, 1, "line 1"),
    ("f:\n  - {range: 1, range: 2}\n", "duplicate-key", 2, 16, "line 2"),
    ("a: 1\n\"a\": 2\n", "duplicate-key", 2, 1, "line 1"),
    ("a: &x 1\n", "anchor", 1, 4, "anchors"),
    ("a: {b: &x 1}\nc: *x\n", "anchor", 1, 8, "anchors"),
    ("c: *x\n", "anchor", 1, 4, "anchors"),
    ("a: 1\nb: &x [1]\n", "anchor", 2, 4, "anchors"),
    ("<<: *x\n", "anchor", 1, 5, "anchors"),
    ("a: !!float 0.1\n", "tag", 1, 4, "tag"),
    ("a: !thing {b: 1}\n", "tag", 1, 4, "tag"),
    ("a: 1\nb:\n  - !!python/object/apply:os.system [x]\n", "tag", 3, 5, "tag"),
    ("a: ! 1\n", "tag", 1, 4, "tag"),
    ("a: 1\n---\nb: 2\n", "documents", 2, 1, "---"),
    ("a: 1\n...\n---\nb: 2\n", "documents", 3, 1, "---"),
    ("", "empty", 1, 1, "no keys"),
    ("# only a comment\n", "empty", 1, 1, "no keys"),
    ("just words\n", "empty", 1, 1, "no keys"),
    ("- a\n- b\n", "empty", 1, 1, "no keys"),
    ("[]\n", "empty", 1, 1, "no keys"),
    ("a: 1\n\tb: 2\n", "yaml", 2, 1, "spaces"),
    ("a:\n\t- 1\n", "yaml", 2, 1, "spaces"),
    ("a: [1, 2\nb: 3\n", "yaml", 1, 4, "bracket"),
    ("a: 1\nb: [1, 2}\n", "yaml", 2, 9, "YAML"),
    ("a: b: c\n", "yaml", 1, 5, "quotes"),
    ("a: 1\n b: 2\n", "yaml", 2, 2, "one column"),
    ("a: %x\n", "yaml", 1, 4, "can't begin with"),
    ("a: @x\n", "yaml", 1, 4, "can't begin with"),
    ("? [a]\n: b\n", "key", 1, 3, "plain word"),
    ("{a: 1}: b\n", "key", 1, 1, "plain word"),
    ("a: 1\nb: x\u200by\n", "control-character", 2, 5, "200B"),
    ("a: x\u00ady\n", "control-character", 1, 5, "00AD"),
    ("a: x\x00y\n", "control-character", 1, 5, "0000"),
    ("a: x\x1by\n", "control-character", 1, 5, "001B"),
    ("a: x\u202ey\n", "control-character", 1, 5, "202E"),
    ("a: x\u2028b: y\n", "control-character", 1, 5, "2028"),
    ("a: x\x85b: y\n", "control-character", 1, 5, "0085"),
    ("a: x\x0cy\n", "control-character", 1, 5, "000C"),
    # an escape in quotation marks is no way in
    ('a: 1\nb: "x\\u202ey"\n', "control-character", 2, 4, "202E"),
    ('a: 1\n"x\\0y": b\n', "control-character", 2, 1, "0000"),
    ('a: {b: ["\\uFEFF"]}\n', "control-character", 1, 9, "FEFF"),
    ("a: 1\nb: " + "x" * 5001 + "\n", "too-long", 2, 4, "5001"),
    ("a: [" + "1, " * 20_000 + "]\n", "too-many", 1, 59996, "20000"),
    ("# \ufeff\na: 1\n", "control-character", 1, 3, "FEFF"),
    ("a: \ud800\n", "control-character", 1, 4, "D800"),
    ("a: " + "[" * 30 + "]" * 30, "too-deep", 1, 24, "deep"),
    ("a: " + "{a: " * 30, "too-deep", 1, 81, "deep"),
]


@pytest.mark.parametrize("text, code, line, column, word", TABLE,
                         ids=[f"{t[1]}-{n}" for n, t in enumerate(TABLE)])
def test_what_is_refused_and_where(text, code, line, column, word):
    """Each refused text gives one problem, at its line and column, with a sentence or hint that
    names the matter."""
    found = problem(text)
    assert (found.code, found.place.line, found.place.column) == (code, line, column), str(found)
    assert word in found.sentence + found.hint
    assert found.place.file == "meters/x.yaml" and found.severity == "error"


@pytest.mark.parametrize("text, line, column",
                         [("a: 1\nname: 'open\nc: 3\nd: 4\n", 2, 7), ("a: 'open\n", 1, 4),
                          ('a: "open\nb: 1\n', 1, 4)])
def test_a_quotation_mark_that_never_closes_is_shown_where_it_opens(text, line, column):
    """Not at the file's end, where YAML misses it."""
    found = problem(text)
    assert (found.place.line, found.place.column) == (line, column)


@pytest.mark.parametrize("text", ["a: 1\nf: {x: y\n", "a: 1\nf: {x: y\nb: 2\n", "a: 1\nf: [x, y\n"])
def test_a_bracket_that_never_closes_is_named_by_the_line_where_it_opens(text):
    """Where brackets don't end, place or hint leads to the line where they open."""
    found = problem(text)
    assert found.place.line == 2 or "line 2" in found.hint


@pytest.mark.parametrize("raw, line, column",
                         [(b"a: \xff\n", 1, 4), (b"a: 1\nb: \xe9t\xe9\n", 2, 4),
                          (b"\xff\xfea\x00:\x00", 1, 1), (b"a: 1\n\x80", 2, 1),
                          (b"a: 1\rb: \x80", 2, 4), (b"a: 1\r\nb: \x80", 2, 4)])
def test_what_is_not_utf8_is_refused(raw, line, column, tmp_path):
    """A file in another encoding is refused where its first foreign byte stands, with what to do
    about it."""
    found = problem(raw, tmp_path)
    assert (found.code, found.place.line, found.place.column) == ("encoding", line, column)
    assert "UTF-8" in found.hint


def test_the_column_of_a_foreign_byte_counts_characters(tmp_path):
    """Columns count characters, as editors do, also behind a character of several bytes."""
    assert problem("µµµ: ".encode() + b"\xff\n", tmp_path).place.column == 6


def test_a_file_too_large_is_refused_unread(tmp_path):
    """A megabyte is no meter's table."""
    assert problem(b"a: 1\n" + b"#" * yaml_text.LARGEST_FILE, tmp_path).code == "too-large"


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="no such device here")
def test_a_file_that_never_ends_is_refused_unread(tmp_path):
    """A link to a device is a problem, and the program doesn't wait for its end."""
    (tmp_path / "a.yaml").symlink_to("/dev/zero")
    document, (found,) = yaml_text.read(tmp_path / "a.yaml", "a.yaml")
    assert document is None and found.code == "unreadable" and "device" in found.sentence


@pytest.mark.parametrize("text", [r"C:\users", r"a\ud800", r"a\U0011ffff", r"\q"])
def test_a_backslash_that_means_nothing_is_named(text, tmp_path):
    """Not taken for a quotation mark that isn't closed."""
    found = problem(f'a: 1\nx: "{text}"\n'.encode(), tmp_path)
    assert ((found.place.line, found.code) == (2,
                                               "yaml") and "backslash" in found.sentence
            and "single quotation marks" in found.hint)


def test_a_file_that_cannot_be_read_is_a_problem(tmp_path):
    """A missing file or a folder in its place is a problem, not a traceback."""
    document, problems = yaml_text.read(tmp_path / "none.yaml", "none.yaml")
    assert document is None and problems[0].code == "unreadable"
    document, problems = yaml_text.read(tmp_path, "folder.yaml")
    assert document is None and problems[0].code == "unreadable"


PLACES = """\
meter: dunlin-60
functions:
  - function: DC voltage   # a comment
    jacks: [V, COM]
    ranges:
      - {range: 600 mV, "resolution": '0.1 mV'}
      - range: 6 V
        accuracy:
          - within: 1 %
µ-key: Ω value
folded: one
  two
"""


@pytest.mark.parametrize("path, of_key, line, column, length", [
    (("meter",), False, 1, 8, 9), (("meter",), True, 1, 1, 5),
    (("functions", 0, "function"), False, 3, 15, 10),
    (("functions", 0, "jacks", 1), False, 4, 16, 3),
    (("functions", 0, "ranges", 0, "range"), False, 6, 17, 6),
    (("functions", 0, "ranges", 0, "resolution"), True, 6, 25, 12),
    (("functions", 0, "ranges", 0, "resolution"), False, 6, 39, 8),
    (("functions", 0, "ranges", 1), False, 7, 9, 5),  # a group of keys: its first key
    (("functions", 0, "ranges", 1, "accuracy", 0, "within"), False, 9, 21, 3),
    (("functions", 0, "ranges", 1, "resolution"), False, 7, 9, 5),  # missing: what is around it
    (("functions", 0, "nothing", 3, "there"), False, 3, 5, 8),
    (("µ-key",), False, 10, 8, 7), (("µ-key",), True, 10, 1, 5),
    (("folded",), False, 11, 9, 3),  # a value over two lines: its first
    ((), False, 1, 1, 5), (("functions", 7), False, 3, 3, 1),
])
def test_places(path, of_key, line, column, length):
    """Every value and key is found at its line, column and length; what isn't there, at what stands
    around it."""
    document, _ = yaml_text.parse(PLACES, "x")
    found = document.place(path, of_key)
    if path == ("functions", 7):
        assert (found.line, found.column) == (line, column)
        return
    assert (found.line, found.column, found.length) == (line, column, length)
    assert found.text == PLACES.splitlines()[line - 1]


def test_leaving_out_values_keeps_all_other_places():
    """The same document less some values still knows where the rest stands in the file."""
    document, _ = yaml_text.parse(PLACES, "x")
    smaller = document.without({("functions", 0, "ranges", 0), ("meter",)})
    assert smaller.data["functions"][0]["ranges"] == [
        {"range": "6 V", "accuracy": [{"within": "1 %"}]}]
    assert smaller.place(("functions", 0, "ranges", 0, "range")).line == 7
    assert document.data["meter"] == "dunlin-60"


@given(st.text(max_size=200))
def test_any_text_gives_data_or_one_problem(text):
    """No text whatever makes the reader raise, and a refusal stands inside the text."""
    document, problems = yaml_text.parse(text, "x")
    assert (document is None) == bool(problems)
    for one in problems:
        assert 1 <= one.place.line <= text.count("\n") + text.count("\r") + 1
        assert str(one)


@given(
    st.lists(
        st.sampled_from(["a", "b: ", "- ", "\n", "  ", "{", "}", "[", "]", ", ", ": ", "'", '"',
                         "#", "&x ", "*x", "!t ", "|\n", ">\n", "? ", "---\n", "...\n", "\t",
                         "%YAML 1.1\n", "µ"]), max_size=30))
def test_yaml_of_all_kinds_gives_data_or_one_problem(pieces):
    """Neither does YAML's own material in any order."""
    document, problems = yaml_text.parse("".join(pieces), "x")
    assert (document is None) == bool(problems)
    assert all(str(one) for one in problems)


@pytest.mark.parametrize("text",
                         ["[" * 300_000, "a: " + "{" * 300_000, "- " * 300_000,
                          "a:\n" + " " * 200_000 + "b: 1\n",
                          "".join(f"k{n}: v\n" for n in range(9_000)),
                          "".join(f"k{n}: v\n" for n in range(60_000))])
def test_hostile_size_is_soon_done(text):
    """Deep nesting and many keys within the size limit end in seconds, without exhausting the
    stack."""
    started = time.perf_counter()
    yaml_text.parse(text, "x")
    assert time.perf_counter() - started < 5
