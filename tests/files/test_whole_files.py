"""Files are written whole or not at all, whatever ends the writing."""

import os
import subprocess
import sys

import pytest

from builder.files import whole_files

WAYS = [whole_files.write_new, whole_files.replace]
NO_ROOM = OSError(28, "No space left on device")


@pytest.mark.parametrize("write", WAYS)
def test_a_file_holds_just_what_was_given(write, tmp_path):
    """Text as UTF-8 with its line ends as they are, bytes as they are; the rights of any file."""
    for name, given, held in (("a", "µ\r\nΩ\n", "µ\r\nΩ\n".encode()), ("b", b"\xff\r", b"\xff\r")):
        write(tmp_path / name, given)
        assert (tmp_path / name).read_bytes() == held
    (tmp_path / "plain").write_text("")
    assert (tmp_path / "a").stat().st_mode == (tmp_path / "plain").stat().st_mode
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a", "b", "plain"]


@pytest.mark.parametrize("write, fails", [
    (whole_files.write_new, ["fsync"]), (whole_files.write_new, ["link", "rename"]),
    (whole_files.replace, ["fsync"]), (whole_files.replace, ["replace"])])
def test_a_disk_that_is_full_leaves_what_was_there(write, fails, tmp_path, monkeypatch):
    """Neither half a file nor a trace, and the error names the file that was wanted."""
    def full(*_):
        raise OSError(*NO_ROOM.args)
    (tmp_path / "old").write_text("as it was")
    for step in fails:
        monkeypatch.setattr(os, step, full)
    wanted = tmp_path / ("old" if write is whole_files.replace else "new")
    with pytest.raises(OSError, match="No space left") as full_disk:
        write(wanted, "new")
    assert full_disk.value.filename == str(wanted)
    assert [(path.name, path.read_text()) for path in tmp_path.iterdir()] == [("old", "as it was")]


def test_a_name_that_is_taken_is_left_alone(tmp_path, monkeypatch):
    """Also on a file system without links, and where a link that leads nowhere has the name."""
    (tmp_path / "file").write_text("as it was")
    (tmp_path / "link").symlink_to("nowhere")
    for name in ("file", "link"):
        with pytest.raises(FileExistsError):
            whole_files.write_new(tmp_path / name, "new")

    def none(*_):
        raise PermissionError(1, "Operation not permitted")
    monkeypatch.setattr(os, "link", none)
    for name in ("file", "link"):
        with pytest.raises(FileExistsError):
            whole_files.write_new(tmp_path / name, "new")
    whole_files.write_new(tmp_path / "free", "new")
    assert (tmp_path / "free").read_text() == "new"
    assert (tmp_path / "file").read_text() == "as it was"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["file", "free", "link"]


@pytest.mark.parametrize("write", ["write_new", "replace"])
def test_a_kill_in_the_middle_leaves_nothing_under_the_name(write, tmp_path):
    """The process ends at once while the file's bytes are on their way to the disk: what is left
    is hidden, and the next one writes as ever."""
    done = subprocess.run([sys.executable, "-c", "import os, pathlib, signal, sys\n"
                           "from builder.files import whole_files\n"
                           "os.fsync = lambda _: os.kill(os.getpid(), signal.SIGKILL)\n"
                           f"whole_files.{write}(pathlib.Path(sys.argv[1]), 'x' * 100_000)",
                           tmp_path / "file"], timeout=60)
    assert done.returncode == -9
    (left,) = tmp_path.iterdir()
    assert left.name.startswith(".")
    getattr(whole_files, write)(tmp_path / "file", "whole")
    assert (tmp_path / "file").read_text() == "whole"


def test_a_folder_is_there_when_all_of_it_is(tmp_path):
    """A new one, one below folders that are missing too, or an empty one."""
    (tmp_path / "empty").mkdir()
    for name in ("new", "empty", "deep/down"):
        with whole_files.new_folder(tmp_path / name) as folder:
            (folder / "inner").mkdir()
            assert name == "empty" or not (tmp_path / name).exists()
        assert (tmp_path / name / "inner").is_dir()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["deep", "empty", "new"]


def test_a_folder_that_fails_is_not_there(tmp_path):
    """Nor is anything of it; what stood there before stays."""
    (tmp_path / "full").mkdir()
    (tmp_path / "full/file").write_text("as it was")
    for name in ("new", "full"):
        with pytest.raises(OSError), whole_files.new_folder(tmp_path / name) as folder:
            (folder / "file").write_text("new")
            if name == "new":
                raise OSError(*NO_ROOM.args)
    assert [path.name for path in tmp_path.iterdir()] == ["full"]
    assert (tmp_path / "full/file").read_text() == "as it was"
