"""JSON with places: what is JSON, where each value stands, and what no record may hold."""

from __future__ import annotations

import json
import random

import pytest

from builder.files import json_text, yaml_text
from builder.files.problems import Place
from tests import recorded
from tests.conftest import ROOT


@pytest.mark.parametrize("text, line, column, says", [
    ('{"a": 1,\n "b": ', 2, 7, "cut short"), ('{"a": "x', 1, 7, "cut short"),
    ('{"a": [1,\n', 2, 1, "cut short"), ("", 1, 1, "cut short"), ('{"a": 1', 1, 8, "cut short"),
    ('{"a": 1, "a": 2}', 1, 10, "'a' stands twice"), ("[1]", 1, 1, "no record"),
    ('{"b": [{"a": 1,\n "a": NaN}]}', 2, 2, "'a' stands twice"), ('"a"', 1, 1, "no record"),
    ('{"a": NaN}', 1, 7, "neither a text"), ('{"a": [1, -Infinity]}', 1, 11, "neither a text"),
    ('{"a": yes}', 1, 7, "neither a text"), ("{'a': 1}", 1, 2, "key in quotation marks"),
    ('{"a": 1} x', 1, 10, "behind the end"), ('{"a": 1}\n{"a": 1}', 2, 1, "behind the end"),
    ('{"a": 01}', 1, 8, "a comma or a closing bracket"),
    ('{"a": [1 2]}', 1, 10, "a comma or a closing bracket"), ('{"a" 1}', 1, 6, "a colon"),
    ('{"a": 1 ,\n}', 1, 9, "a comma too many"), ('{"a": [1,]}', 1, 9, "a comma too many"),
    ('{"a": "\\ud800"}', 1, 7, "half of a character"), ('{"a": "x\ty"}', 1, 9, "line end"),
    ('{"a": "\\x"}', 1, 8, "unknown escape"), ('{"a": "\u202e"}', 1, 7, "invisible"),
    ('{"\\u0000": 1}', 1, 2, "invisible"), ('{"a": "' + "x" * 5001 + '"}', 1, 7, "5001 characters"),
    ('{"a": ' + "[" * 100 + "]" * 100 + "}", 1, 67, "nested"),
    ('{"a": ' + "[" * 100_000, 1, 67, "nested"),
    ('{"a": ' + "9" * 5001 + "}", 1, 7, "neither a text"),
])
def test_broken_json_has_a_place_and_a_sentence(text, line, column, says):
    """Where it breaks, and in words that help at the bench."""
    document, (problem,) = json_text.parse(text, "x.json")
    assert document is None and says in problem.sentence
    assert (problem.place.line, problem.place.column) == (line, column)


def test_json_becomes_texts_and_nothing_else_grows_lax():
    """Numbers, true and null are taken in JSON; the same text as YAML keeps every scalar as it was
    typed."""
    text = '{"a": 1.50, "b": [true, null, "µ\\ud83d\\ude00"], "c": "1"}'
    assert json_text.parse(text, "x")[0].data == {"a": "1.50", "b": ["true", None, "µ😀"], "c": "1"}
    assert yaml_text.parse('{"a": 1.50, "b": [true, null]}',
                           "x")[0].data == {"a": "1.50", "b": ["true", "null"]}
    place = json_text.parse('{"a":\n  [1,\n   "xy"]}', "x")[0].place(("a", 1))
    assert place == Place("x", 3, 4, 4)


def test_decimals_stay_as_they_are_written():
    """No binary number in the data."""
    raw = json_text.parse('{"a": [0.10, 1e-3, 7, -0.0]}', "x")[0].raw
    assert raw == {"a": ["0.10", "1e-3", 7, "-0.0"]}


class Writer:
    """Writes JSON as no formatter would, and notes where each value and each key comes to stand."""

    TEXTS = ["", "a", "a: b, #", "{[", "  x ", '\\"', "\\\\", "\\/", "\\n", "µ", "\\ud83d\\ude00",
             "😀", "\ufeff\uffff", "k" * 2000]

    def __init__(self, seed: int):
        self.chance = random.Random(seed)
        self.text = ""
        self.places: dict[tuple, tuple[int, int]] = {}
        self.keys: dict[tuple, tuple[int, int]] = {}

    def blank(self) -> None:
        self.text += self.chance.choice(["", "", "", " ", "\t", "\n", "\n\n\t "])

    def here(self) -> tuple[int, int]:
        return self.text.count("\n") + 1, len(self.text) - self.text.rfind("\n")

    def quoted(self, number: int) -> str:
        return f'"{self.chance.choice(self.TEXTS)}{number}"'

    def value(self, path: tuple, group: str = ""):
        """Writes one value; gives it as texts."""
        self.blank()
        group = group or self.chance.choice(["{", "[", "", "", ""] if len(path) < 6 else [""])
        self.places[path] = self.here()
        if not group:
            word = self.chance.choice(["1.50", "-0", "1E+400", "true", "null", self.quoted(0)])
            self.text += word
            return {"null": None}.get(word, json.loads(word) if word[0] == '"' else word)
        values: dict = {}
        self.text += group
        for number in range(self.chance.randrange(6)):
            self.text += "," if number else ""
            self.blank()
            name = number
            if group == "{":
                quoted = self.quoted(number)
                name = json.loads(quoted)
                self.keys[(*path, name)] = self.here()
                self.text += quoted
                self.blank()
                self.text += ":"
            values[name] = self.value((*path, name))
            self.blank()
        self.blank()
        self.text += "}" if group == "{" else "]"
        return values if group == "{" else list(values.values())


def test_every_value_stands_where_it_was_written():
    """Hundreds of random texts: each value, its place unless it is a group of keys, whose place is
    its first key, and each key's."""
    leaves = 0
    for seed in range(500):
        writer = Writer(seed)
        data = writer.value((), "{")
        document, problems = json_text.parse(writer.text, "x")
        assert not problems and document.data == data
        lines = writer.text.split("\n")
        for path, (line, column) in writer.places.items():
            if lines[line - 1][column - 1] != "{":
                place = document.place(path)
                assert (place.line, place.column, place.text) == (line, column, lines[line - 1])
                leaves += 1
        for path, start in writer.keys.items():
            place = document.place(path, of_key=True)
            assert (place.line, place.column) == start
    assert leaves > 5000


@pytest.mark.parametrize("path", sorted((ROOT / "procedures/records").glob("*.json")),
                         ids=lambda path: path.name)
def test_the_demo_s_records_have_a_place_for_each_leaf(path):
    """What stands at the place of a leaf is the leaf."""
    document, problems = json_text.read(path, path.name)
    assert not problems
    todo = [((), document.raw)]
    while todo:
        keys, value = todo.pop()
        if isinstance(value, (dict, list)):
            todo += [((*keys, key), inner) for key, inner in
                     (value.items() if isinstance(value, dict) else enumerate(value))]
            continue
        place = document.place(keys)
        written = place.text[place.column - 1:place.column - 1 + place.length]
        assert json.loads(written, parse_float=str) == value


def test_every_cut_of_a_record_is_a_problem(tmp_path):
    """A file that was cut short anywhere is never taken for a whole one, and never a traceback."""
    text = json.dumps(recorded.phone(recorded.data_of(recorded.folder_with(tmp_path))))
    rng = random.Random(3)
    for end in [0, 1, len(text) - 1, *rng.sample(range(len(text)), 60)]:
        document, problems = json_text.parse(text[:end], "x.json")
        assert document is None and len(problems) == 1


def test_a_file_that_cannot_be_read_is_a_problem(tmp_path):
    """None, one that is too large and one that is no UTF-8; a mark of the byte order is passed
    over."""
    path = tmp_path / "x.json"
    assert json_text.read(path, "x.json")[1][0].code == "unreadable"
    path.write_bytes(b'\xef\xbb\xbf{"a":\r\n1}')
    document, _ = json_text.read(path, "x.json")
    assert document.raw == {"a": 1} and document.place(("a",)) == Place("x.json", 2, 1, 1)
    path.write_bytes(b'{\n"a": "\xff"}')
    assert (problem := json_text.read(path, "x.json")[1][0]).code == "encoding"
    assert problem.place.line == 2
    path.write_bytes(b" " * (yaml_text.LARGEST_FILE + 1))
    assert json_text.read(path, "x.json")[1][0].code == "too-large"
