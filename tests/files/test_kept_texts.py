"""Finished texts on disk: what is there and whole is taken, all else is made."""

import json
import os

import pytest

from builder.files import kept_texts
from builder.files.kept_texts import FOLDER, KeptTexts

DATA = {"page": "4.7 µV\n<p>", "list": [1, "two", None], "lone": "\ud800"}


def entries(root):
    return sorted(path for path in (root / FOLDER).rglob("*")
                  if path.is_file() and path.name != ".gitignore")


def made(root, *inputs, data=DATA) -> bool:
    """Whether it had to be made; what comes back is right either way."""
    calls = []
    assert KeptTexts(root).get("page", inputs, lambda: calls.append(1) or data) == data
    return bool(calls)


def test_what_was_made_is_not_made_again(tmp_path):
    assert made(tmp_path, "a", b"b")
    assert not made(tmp_path, "a", b"b")
    assert len(entries(tmp_path)) == 1


@pytest.mark.parametrize("other", [("a",), ("ab", ""), ("", "ab"), ("b", "a"), ("a", "b", "")])
def test_other_inputs_are_others(tmp_path, other):
    """However their signs would run together."""
    made(tmp_path, "a", "b")
    assert made(tmp_path, *other)


def test_another_builder_finds_nothing(tmp_path, monkeypatch):
    made(tmp_path, "a")
    monkeypatch.setattr(kept_texts, "builder_itself", lambda: "another")
    assert made(tmp_path, "a")


def test_the_builder_is_all_its_files(tmp_path, monkeypatch):
    """A changed, a new and a renamed one, and a package of another version."""
    monkeypatch.setattr(kept_texts, "_CODE", tmp_path)
    ask = kept_texts.builder_itself.__wrapped__
    (tmp_path / "a.py").write_text("1")
    seen = [ask()]
    (tmp_path / "a.py").write_text("2")
    seen.append(ask())
    (tmp_path / "templates").mkdir()
    (tmp_path / "templates/x.j2").write_text("")
    seen.append(ask())
    (tmp_path / "a.py").rename(tmp_path / "b.py")
    seen.append(ask())
    (tmp_path / "__pycache__").mkdir()
    (tmp_path / "__pycache__/b.pyc").write_text("")
    assert ask() == seen[-1]
    monkeypatch.setattr(kept_texts.metadata, "version", lambda name: "99")
    seen.append(ask())
    assert len(set(seen)) == 5


def test_no_damage_goes_unseen(tmp_path):
    """Each byte changed, cut off there, or the file emptied, doubled or put in another's place."""
    made(tmp_path, "a")
    (path,) = entries(tmp_path)
    whole = path.read_bytes()
    spoilt = [whole[:n] + bytes([whole[n] ^ 1]) + whole[n + 1:] for n in range(len(whole))]
    for content in [*spoilt, *(whole[:n] for n in range(0, len(whole), 7)), whole * 2]:
        path.write_bytes(content)
        assert made(tmp_path, "a")
        assert path.read_bytes() == whole
    assert not made(tmp_path, "a")


def test_a_folder_in_the_place_of_an_entry_is_no_entry(tmp_path):
    made(tmp_path, "a")
    (path,) = entries(tmp_path)
    path.unlink()
    path.mkdir()
    assert made(tmp_path, "a") and made(tmp_path, "a")
    KeptTexts(tmp_path).prune()


def test_nothing_needs_the_folder(tmp_path):
    """A file in its place; or none at all."""
    (tmp_path / ".cache").write_text("not a folder")
    assert made(tmp_path, "a") and made(tmp_path, "a")
    assert made(None, "a") and made(None, "a")


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="nobody may write all files")
def test_a_folder_that_cannot_be_written_is_none(tmp_path):
    tmp_path.chmod(0o500)
    assert made(tmp_path, "a") and made(tmp_path, "a")
    tmp_path.chmod(0o700)


def test_a_disk_that_is_nearly_full_is_left_to_the_site(tmp_path, monkeypatch):
    monkeypatch.setattr(kept_texts, "ROOM", 10 ** 18)
    assert made(tmp_path, "a") and made(tmp_path, "a")
    assert not entries(tmp_path)


def test_only_what_was_asked_for_stays(tmp_path):
    made(tmp_path, "old")
    texts = KeptTexts(tmp_path)
    texts.prune()   # of a build that asked for nothing
    assert len(entries(tmp_path)) == 1
    texts.get("page", ("new",), lambda: DATA)
    texts.prune()
    assert len(entries(tmp_path)) == 1
    assert not made(tmp_path, "new") and made(tmp_path, "old")


def test_a_repository_takes_nothing_of_it(tmp_path):
    made(tmp_path, "a")
    assert (tmp_path / FOLDER / ".gitignore").read_text() == "*\n"


def test_an_entry_is_plain_text_with_its_hash(tmp_path):
    """No code comes out of it, whoever wrote it."""
    made(tmp_path, "a")
    (path,) = entries(tmp_path)
    assert json.loads(path.read_bytes()[64:]) == DATA
