"""Values changed where they stand: every other byte stays, and what was typed is what is read."""

from pathlib import Path

import pytest

from builder.files import in_place, yaml_text
from builder.files.problems import Wrong

PROCEDURES = Path(__file__).parents[2] / "procedures"
FILES = [PROCEDURES / "register.yaml", PROCEDURES / "workshop.yaml", *(
    path for kind in ("meters", "plans", "standards") for path in sorted(
        (PROCEDURES / kind).glob("*.yaml")))]
HOSTILE = ["a: b", "x # y", '"q"', "it's", "yes", "on", "No", "0147", "é Ω 測 😀", "a\nb", "- x",
           "? y", "{a}", "[b, c", "a, b", "*x", "&x", "!t", "|", ">", "%d", "@x", "`", "~", "null",
           "tail:", "#c", "\\n", "2026-01-02", "12:30", "…", "1e3", 'a\\"b', "'", '"', ": ", ",",
           "=", "0x1f", "1_000", "---", "...", "<<", "y", "+1", ".5", "a  b", " lead",
           "key: {x: [1"]


def data(text: str):
    document, problems = yaml_text.parse(text, "the file")
    assert document is not None, problems
    return document


def spans(text: str) -> dict[tuple, tuple[int, int]]:
    """Where each single value stands, from the places of the reader."""
    starts = [0]
    for line in text.splitlines(keepends=True):
        starts.append(starts[-1] + len(line))
    found = {}
    for path, node in in_place.leaves(data(text).root):
        first, last = (starts[line] + column for line, column in (node.start, node.end))
        found[path] = (first, first + len(text[first:last].rstrip()))
    return found


ENDS = [*(pytest.param(path, "\n", marks=[] if path.parent.name in ("procedures", "standards")
                       else pytest.mark.long) for path in FILES),
        *((PROCEDURES / name, end) for end in ("\r\n", "\r")
          for name in ("register.yaml", "standards/pipit.yaml"))]


@pytest.mark.parametrize("path, end", ENDS, ids=lambda one: getattr(one, "stem", repr(one)))
def test_every_value_of_the_demo_becomes_every_kind_of_text(path, end):
    """In turn; all other bytes are compared, and all other values."""
    text = path.read_text(encoding="utf-8").replace("\n", end)
    own = spans(text)
    assert len(own) >= 5
    for n, (place, (first, last)) in enumerate(own.items()):
        value = HOSTILE[n % len(HOSTILE)]
        made = in_place.changed(text, {place: value})
        assert made[:first] == text[:first] and made[len(made) - len(text) + last:] == text[last:]
        read = dict(in_place.leaves(data(made).root))
        assert read[place].value == " ".join(value.split())
        assert {key: one.value for key, one in read.items() if key != place} == {
            key: one.value for key, one in in_place.leaves(data(text).root) if key != place}


@pytest.mark.parametrize("path", [*FILES[:2], PROCEDURES / "standards/pipit.yaml"],
                         ids=lambda path: path.stem)
def test_the_same_value_is_the_same_file(path):
    """But for a text of several lines, which may be broken elsewhere."""
    text = path.read_text(encoding="utf-8")
    read = dict(in_place.leaves(data(text).root))
    for place, (first, _) in spans(text).items():
        if text[first:first + 1] not in (">", "|"):
            assert in_place.changed(text, {place: read[place].value}) == text, place


@pytest.mark.parametrize("value", HOSTILE)
@pytest.mark.parametrize("text", [
    "k: x  # c\n", "k: 'x'\n", 'k: "x"  # c\nz: 1\n', "k:\n", "k: # c\n", "a: {k: x, z: 1}\n",
    "a: {k: , z: 1}\n", "a: [x, z]\n", "a:\n  - x\n  - z\n", "k: >-\n  x\n\n# c\nz: 1\n",
    "k: |  # c\n    x\n    y\nz: 1\n", "k: x\n  y\nz: 1", "k: 'x\n  y'\nz: 1"])
def test_whatever_stood_there_any_text_can_take_its_place(text, value):
    """Plain, in quotation marks, empty, between brackets, over several lines."""
    place = next(iter(spans(text)))
    made = in_place.changed(text, {place: value})
    assert dict(in_place.leaves(data(made).root))[place].value == " ".join(value.split())
    assert ("# c" in made) == ("# c" in text)


@pytest.mark.parametrize("old, new, made", [
    ("KP-1", "KP-2", "KP-2"), ("2026-06-24", "2027-06-24", "2027-06-24"), ("50", "60", "60"),
    ("x", "0147", '"0147"'), ("0147", "0152", "0152"), ('"0147"', "W-1", '"W-1"'),
    ("x", "yes", '"yes"'), ("yes", "no", "no"), ("x", "N", '"N"'), ("x", "1e3", '"1e3"'),
    ("'x'", "it's", "'it''s'"), ("x", "50", '"50"'), ("x", "60 ppm + 8 uV", "60 ppm + 8 uV")])
def test_it_is_written_as_what_stood_there(old, new, made):
    """And in quotation marks where another program would read a number or yes."""
    assert in_place.changed(f"k: {old}   # c\n", {("k",): new}) == f"k: {made}   # c\n"


def test_several_at_once():
    """Those behind don't move those before."""
    text = "# one\na: {x: 1, y: 2}\nb: >-\n  long\nc: 3  # three\n"
    made = in_place.changed(text, {("a", "x"): "100 000", ("c",): "4", ("b",): "short and long"})
    assert made == "# one\na: {x: 100 000, y: 2}\nb: >-\n  short and long\nc: 4  # three\n"


@pytest.mark.parametrize("value", ["a\u200bb", "a\x07b", "\u202ea", "x" * 5001])
def test_what_the_reader_refuses_is_not_written(value):
    """Invisible signs, and too long a text."""
    with pytest.raises(Wrong):
        in_place.changed("k: x\n", {("k",): value})


def test_a_file_that_cant_be_read_is_not_changed():
    """Its line is named."""
    with pytest.raises(Wrong, match="line 2"):
        in_place.changed("k: x\nk: y\n", {("k",): "z"})


@pytest.mark.parametrize("text, path, made", [
    ("a: 1\nb:\n  - x: 1\n", (), 'a: 1\nz: "no"\nb:\n  - x: 1\n'),
    ("a: 1  # c\n\n# end\n", (), 'a: 1  # c\nz: "no"\n\n# end\n'),
    ("a: 1", (), 'a: 1\nz: "no"\n'), ("a: 1\r\n", (), 'a: 1\r\nz: "no"\r\n'),
    ("a: >-\n  x\n\n# c\n", (), 'a: >-\n  x\n\nz: "no"\n# c\n'),
    ("m:\n  - {a: 1, b: 'x'}  # c\n", ("m", 0), "m:\n  - {a: 1, b: 'x', z: \"no\"}  # c\n"),
    ("m:\n  - a: 1\n    b: 2\n  - a: 3\n", ("m", 0),
     'm:\n  - a: 1\n    b: 2\n    z: "no"\n  - a: 3\n')])
def test_a_key_more(text, path, made):
    """Behind those that are there, in their way of writing."""
    assert in_place.with_key(text, path, "z", "no") == made


@pytest.mark.parametrize("text", ["a: [1]\n", "a: &x 1\n", ""])
def test_a_key_that_has_no_place(text):
    """It is left to the text."""
    with pytest.raises(Wrong):
        in_place.with_key(text, (), "z", "no")


@pytest.mark.parametrize("text, made", [
    ("m:\n  - {a: 1}  # c\n\n# end\n", 'm:\n  - {a: 1}  # c\n  - {a: "02", b: "x, y"}\n\n# end\n'),
    ("m:\n- a: 1\n  b: >-\n    x\n", 'm:\n- a: 1\n  b: >-\n    x\n- {a: "02", b: "x, y"}\n'),
    ("m:\r\n  - {a: 1}", 'm:\r\n  - {a: 1}\r\n  - {a: "02", b: "x, y"}\r\n')])
def test_an_entry_more(text, made):
    """On a line of its own; what is left empty isn't written."""
    assert in_place.with_entry(text, ("m",), {"a": "02", "b": "x, y", "c": " "}) == made


@pytest.mark.parametrize("text", ["m: []\n", "m: [{a: 1}]\n"])
def test_an_entry_that_has_no_line(text):
    """It is left to the text."""
    with pytest.raises(Wrong, match="no list of lines"):
        in_place.with_entry(text, ("m",), {"a": "2"})
