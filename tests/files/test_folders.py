"""What a folder holds, whatever its names are and wherever links lead, with nothing passed over."""

import os

import pytest

from builder.files import folders


def names(found: list[folders.Entry]) -> list[str]:
    return [one.shown for one in found]


def made(folder, *files: str):
    for name in files:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).touch()
    return folder


def test_hidden_files_are_left_out_and_the_rest_is_in_order(tmp_path):
    """Files and folders alike; no folder has nothing in it."""
    made(tmp_path, "b", "a/c", ".hidden", ".git/x", "C")
    assert folders.entries(tmp_path, "here") == ([
        folders.Entry(tmp_path / name, f"here/{name}") for name in ("C", "a", "b")], [])
    assert folders.entries(tmp_path / "none", "here/none") == ([], [])


def test_every_file_below_is_found(tmp_path):
    """However deep; folders that are hidden are not."""
    made(tmp_path, "2025/b", "2025/a/x", "2026/c", "d", ".old/e", "2025/.old/f")
    found, problems = folders.files_below(tmp_path, "records")
    assert names(found) == ["records/2025/a/x", "records/2025/b", "records/2026/c", "records/d"]
    assert problems == [] and folders.files_below(tmp_path / "none", "x") == ([], [])


def test_a_link_to_a_folder_is_followed(tmp_path):
    """As where older records lie on another disk."""
    made(tmp_path, "archive/a", "records/b")
    (tmp_path / "records/2024").symlink_to(tmp_path / "archive")
    found, problems = folders.files_below(tmp_path / "records", "records")
    assert (names(found), problems) == (["records/2024/a", "records/b"], [])


@pytest.mark.parametrize("at, to, says", [
    ("a/loop", "..", "records/a/loop: this folder is read as 'records' already"),
    ("b", "a", "records/b: this folder is read as 'records/a' already"),
    ("a/b", "nowhere", None), ("c", "c", None)])
def test_a_link_that_leads_in_a_circle_is_read_once(at, to, says, tmp_path):
    """And told, as a warning; one that leads nowhere is a file that can't be read."""
    folder = made(tmp_path / "records", "a/x", "z")
    (folder / at).symlink_to(to)
    found, problems = folders.files_below(folder, "records")
    assert [f"{p.place.file}: {p.sentence}" for p in problems] == ([says] if says else [])
    assert all(p.severity == "warning" for p in problems)
    assert names(found) == sorted(["records/a/x", "records/z", *([] if says
                                                               else [f"records/{at}"])])


def test_a_folder_inside_that_cannot_be_read_is_told(tmp_path, monkeypatch):
    """The others are read."""
    made(tmp_path, "a/x", "b/y")
    real = os.listdir

    def locked(path):
        if path.name == "a":
            raise PermissionError(13, "Permission denied")
        return real(path)
    monkeypatch.setattr(os, "listdir", locked)
    found, (problem,) = folders.files_below(tmp_path, "records")
    assert names(found) == ["records/b/y"]
    assert str(problem).startswith("records/a:1:1: error: the folder can't be read: Permission de")


@pytest.mark.parametrize("name, shown", [
    (b"caf\xe9.yaml", r"caf\xe9.yaml"), ("café µ.yaml".encode(), "café µ.yaml"),
    (b"a\nb\x1b.yaml", r"a\nb\x1b.yaml"), ("a\u202eb".encode(), r"a\u202eb"),
    (b"\xed\xa0\x80", r"\xed\xa0\x80")])
def test_any_name_can_be_printed(name, shown, tmp_path):
    """Bytes from another system, line ends, and signs that turn the direction of writing."""
    made(tmp_path)
    open(os.path.join(os.fsencode(tmp_path), name), "w").close()
    (found,), _ = folders.entries(tmp_path, "here")
    assert found.shown == f"here/{shown}" and found.shown.encode()
    assert found.path.is_file()
