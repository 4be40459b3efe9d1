"""Data with a hash: what changes it and what doesn't, and the place of each problem."""

import hashlib
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.files import hashed

DATA = {"format": 1, "name": "Ünïcode µV", "lines": ["a", ""], "more": {"b": True, "a": None}}
WHOLE = {**DATA, "hash": hashed.digest(DATA)}


def codes(text: str) -> list[tuple[str, int]]:
    return [(one.code, one.place.line) for one in hashed.parse(text, "x.json")[1]]


def test_the_hash_is_sha_256_of_the_canonical_text():
    """By hand, so that any program can check it."""
    text = '{"format":1,"lines":["a",""],"more":{"a":null,"b":true},"name":"Ünïcode µV"}'
    assert hashed.canonical(DATA) == text
    assert hashed.digest(DATA) == hashlib.sha256(text.encode()).hexdigest()
    assert json.loads(hashed.as_text(DATA))["hash"] == hashed.digest(DATA)


def test_what_is_written_is_read():
    """With its hash."""
    assert hashed.parse(hashed.as_text(DATA), "x.json") == (WHOLE, [])


def test_line_ends_and_indentation_may_change(tmp_path):
    """As they do in repositories and editors; so may the order of keys."""
    data = json.loads(hashed.as_text(DATA))
    path = tmp_path / "x.json"
    for text in (hashed.as_text(DATA).replace("\n", "\r\n"), json.dumps(data, indent=4),
                 json.dumps(dict(reversed(data.items()))), "\ufeff" + json.dumps(data)):
        path.write_bytes(text.encode())
        assert hashed.read(path, "x.json") == (WHOLE, [])


def test_no_changed_byte_goes_unseen(tmp_path):
    """Each byte of a file replaced by others: a problem, or the content as it was."""
    raw, path = hashed.as_text(DATA).encode(), tmp_path / "x.json"
    unchanged = 0
    for n in range(len(raw)):
        for byte in {raw[n] ^ 1, raw[n] ^ 0x20, ord("0"), ord(" ")} - {raw[n]}:
            path.write_bytes(raw[:n] + bytes([byte]) + raw[n + 1:])
            data, problems = hashed.read(path, "x.json")
            assert (data is None) == bool(problems)
            assert problems or data == WHOLE
            unchanged += not problems
    assert unchanged < len(raw)     # blanks between values only


@given(st.recursive(st.none() | st.booleans() | st.integers() | st.text(),
                    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
                    max_leaves=20))
def test_any_plain_data_comes_back(value):
    """Whatever texts and whole numbers are in it."""
    try:
        text = hashed.as_text({"v": value})
    except UnicodeEncodeError:      # half of a character has no bytes
        return
    data, problems = hashed.parse(text, "x.json")
    assert (data, problems) == ({"v": value, "hash": hashed.digest({"v": value})}, [])


@pytest.mark.parametrize("value", [0.5, [1.0], {"a": [{"b": float("nan")}]}])
def test_no_float_is_hashed(value):
    """Two systems may write one differently."""
    with pytest.raises(TypeError):
        hashed.as_text({"v": value})


def test_problems_stand_at_their_place():
    """The line where the file breaks, or that of its hash."""
    text = hashed.as_text(DATA)
    last = text.count("\n") - 1
    assert codes(text.replace("µV", "mV")) == [("frozen-hash", last)]
    assert codes(text.replace(',\n "hash"', '\n "hash"')) == [("frozen-json", last)]
    assert codes(text[:40])[0][0] == "frozen-json"
    assert codes("[]") == [("frozen-json", 1)] and codes("{}") == [("frozen-hash", 1)]
    assert codes('{\n "a": 1,\n "a": 2\n}') == [("frozen-json", 2)]
    assert codes('{\n "a": 1.5\n}') == [("frozen-json", 1)]
    assert codes('{\n "a": "\\ud800",\n "hash": "0"\n}') == [("frozen-hash", 3)]
    assert codes("[" * 100_000) == [("frozen-json", 1)]


def test_files_that_cant_be_read(tmp_path, monkeypatch):
    """A folder, no UTF-8, too large: each a sentence."""
    (tmp_path / "x.json").write_bytes(b"{\n\xff}")
    (problem,) = hashed.read(tmp_path / "x.json", "x.json")[1]
    assert (problem.code, problem.place.line) == ("encoding", 2)
    assert hashed.read(tmp_path, "x.json")[1][0].code == "unreadable"
    monkeypatch.setattr(hashed, "LARGEST", 3)
    assert hashed.read(tmp_path / "x.json", "x.json")[1][0].code == "too-large"
