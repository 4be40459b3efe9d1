"""Files that are there whole or not at all."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from builder.files import whole

ROOT = Path(whole.__file__).parent.parent.parent


def test_a_new_file_is_written_and_nothing_beside_it(tmp_path):
    """Its folder is made, its lines end alike on every system."""
    whole.write_new(tmp_path / "new/a.json", "µ\nb\n")
    assert (tmp_path / "new/a.json").read_bytes() == "µ\nb\n".encode()
    assert os.listdir(tmp_path / "new") == ["a.json"]


def test_a_file_that_is_there_stays(tmp_path):
    """Refused, and the old one as it was."""
    (tmp_path / "a.json").write_text("old")
    with pytest.raises(FileExistsError):
        whole.write_new(tmp_path / "a.json", "new")
    assert (tmp_path / "a.json").read_text() == "old" and os.listdir(tmp_path) == ["a.json"]


@pytest.mark.parametrize("taken", [False, True])
def test_on_a_disk_without_links(tmp_path, monkeypatch, taken):
    """Renamed instead, and still never over another file."""
    def refuse(*_):
        raise PermissionError("no links here")
    monkeypatch.setattr(os, "link", refuse)
    if taken:
        (tmp_path / "a.json").write_text("old")
        with pytest.raises(FileExistsError):
            whole.write_new(tmp_path / "a.json", "new")
    else:
        whole.write_new(tmp_path / "a.json", "new")
    assert (tmp_path / "a.json").read_text() == ("old" if taken else "new")
    assert os.listdir(tmp_path) == ["a.json"]


@pytest.mark.parametrize("name", ["fsync", "link"])
def test_a_full_disk_leaves_nothing(tmp_path, monkeypatch, name):
    """Neither the file nor a part of it."""
    def full(*_):
        raise OSError(28, "No space left on device")
    monkeypatch.setattr(os, name, full)
    if name == "link":
        monkeypatch.setattr(os, "rename", full)
    with pytest.raises(OSError, match="No space left"):
        whole.write_new(tmp_path / "a.json", "text")
    assert os.listdir(tmp_path) == []


@pytest.mark.skipif(os.name == "nt", reason="killed by a signal")
@pytest.mark.parametrize("at", ["fsync", "link"])
def test_a_kill_in_the_middle_leaves_no_file_of_that_name(tmp_path, at):
    """Killed before the name is given: what is left is hidden and no reader takes it for a file;
    the next write succeeds."""
    program = (f"import os, signal, sys\nfrom pathlib import Path\n"
               f"from builder.files import whole\n"
               f"os.{at} = lambda *_: os.kill(os.getpid(), signal.SIGKILL)\n"
               f"whole.write_new(Path(sys.argv[1]), 'text' * 1000)\n")
    done = subprocess.run([sys.executable, "-c", program, str(tmp_path / "a.json")], cwd=ROOT,
                          env={**os.environ, "PYTHONPATH": str(ROOT)})
    assert done.returncode < 0
    assert all(name.startswith(".") and name.endswith(whole.PART) for name in os.listdir(tmp_path))
    whole.write_new(tmp_path / "a.json", "text")
    assert (tmp_path / "a.json").read_text() == "text"
