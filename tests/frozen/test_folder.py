"""A folder of frozen files: written once, read with hashes and chain."""

import json
import os
import signal
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from builder import __version__
from builder.files import hashed, whole_files
from builder.files.cache import Cache
from builder.files.problems import Wrong
from builder.formats.frozen_files import KINDS, WithdrawnSheet
from builder.frozen import folder

ROOT = Path(folder.__file__).parent.parent.parent
SHEETS = (KINDS["approved sheet"], WithdrawnSheet)


def read(root):
    return folder.read(root, "procedures/approved", SHEETS, Cache(forgetful=True))


def add(root, revision="0" * 12, **more):
    """A small file behind those that there are."""
    fields = {"by": "T. Askew", "on": "2026-03-12", "procedure": "lapwing-yearly",
              "revision": revision, "turn": 1, "because": "a reason", "told": "the ferry"} | more
    return folder.append(root, folder.heads(read(root)[0]), WithdrawnSheet, **fields)


def names(problems):
    return [(one.code, one.place.file.rpartition("/")[2]) for one in problems]


def test_what_is_written_is_read(tmp_path):
    """Content, hash and the chain: each names those before it."""
    (path, content), (other, _) = add(tmp_path), add(tmp_path, "1" * 12)
    files, problems = read(tmp_path)
    assert problems == [] and [one.file for one in files] == [
        f"procedures/approved/{one.name}" for one in (path, other)]
    assert files[0].content == content and files[0].content.before == ()
    assert files[1].content.before == (files[0].hash,)
    assert json.loads(path.read_text())["hash"] == files[0].hash


def test_nothing_is_overwritten(tmp_path):
    """The same content once more has a name of its own; the first file stays as it was."""
    path, _ = add(tmp_path)
    first = path.read_bytes()
    assert [add(tmp_path)[0].name for _ in range(2)] == [
        f"lapwing-yearly-{'0' * 12}.withdrawn.{n}.json" for n in (2, 3)]
    assert path.read_bytes() == first and read(tmp_path)[1] == []


def test_two_people_at_a_time(tmp_path):
    """Both name the same one before them; the next names both, and the chain is whole."""
    add(tmp_path)
    before = folder.heads(read(tmp_path)[0])
    for revision in ("1" * 12, "2" * 12):
        folder.append(tmp_path, before, WithdrawnSheet, by="A", on="2026-03-12", turn=2,
                      procedure="lapwing-yearly", revision=revision, because="b", told="c")
    _, last = add(tmp_path, "3" * 12)
    files, problems = read(tmp_path)
    assert problems == [] and len(last.before) == 2
    assert set(last.before) == {one.hash for one in files[1:3]}


def test_one_that_is_gone_is_missed(tmp_path):
    """Nothing but the last may be taken away without a problem."""
    paths = [add(tmp_path, revision * 12)[0] for revision in "012"]
    paths[1].unlink()
    assert names(read(tmp_path)[1]) == [("frozen-chain", paths[2].name)]


def test_one_that_was_written_anew_breaks_the_chain(tmp_path):
    """Changed, with a new hash of its own that is right: the next one names the old hash."""
    paths = [add(tmp_path, revision * 12)[0] for revision in "01"]
    data = json.loads(paths[0].read_text())
    del data["hash"]
    paths[0].write_text(hashed.as_text(data | {"because": "another reason"}))
    files, problems = read(tmp_path)
    assert len(files) == 2 and names(problems) == [("frozen-chain", paths[1].name)]


def test_a_damaged_file_alone_is_left_out(tmp_path):
    """The others stand, and the problem is that of the damaged one."""
    paths = [add(tmp_path, revision * 12)[0] for revision in "012"]
    paths[1].write_text(paths[1].read_text().replace("a reason", "no reason"))
    files, problems = read(tmp_path)
    assert len(files) == 2 and names(problems) == [("frozen-hash", paths[1].name)]


def test_copies_and_other_names(tmp_path):
    """A copy is one too many, another name is none."""
    path, _ = add(tmp_path)
    (tmp_path / f"{path.stem}.7.json").write_bytes(path.read_bytes())
    ((code, name),) = names(read(tmp_path)[1])
    assert code == "frozen-twice" and name in (path.name, f"{path.stem}.7.json")
    (tmp_path / f"{path.stem}.7.json").rename(tmp_path / "other.json")
    assert names(read(tmp_path)[1]) == [("frozen-name", "other.json")]


def test_what_else_lies_there(tmp_path):
    """Hidden files are passed over, others are named; a file in the folder's place too."""
    (tmp_path / ".a.json-x.part").write_text("{")
    (tmp_path / "notes.txt").write_text("")
    (tmp_path / "b.json").mkdir()
    assert names(read(tmp_path)[1]) == [("file-name", "b.json"), ("file-name", "notes.txt")]
    assert [one.severity for one in read(tmp_path)[1]] == ["warning"] * 2
    assert names(read(tmp_path / "notes.txt")[1]) == [("no-folder", "approved")]
    assert read(tmp_path / "gone") == ((), [])


@pytest.mark.parametrize("change, said", [
    ({"kind": "finished report"}, "'finished report' is nothing that this folder holds"),
    ({"because": 7}, "because: it isn't what stands there"),
    ({"format": 2}, "format: it isn't what stands there"),
    ({"told": None}, "told: it isn't what stands there"),
])
def test_content_that_is_no_such_file(tmp_path, change, said):
    """The hash holds, and still it isn't what belongs here: with its place."""
    path, _ = add(tmp_path)
    data = json.loads(path.read_text())
    del data["hash"]
    path.write_text(hashed.as_text(data | change))
    (problem,) = read(tmp_path)[1]
    assert problem.code == "frozen-content"
    assert problem.place.text.strip().startswith(f'"{next(iter(change))}":')
    assert said in problem.sentence


def test_a_disk_that_takes_no_more(tmp_path, monkeypatch):
    """A sentence, and no file."""
    def full(*_):
        raise OSError(28, "No space left on device")
    monkeypatch.setattr(whole_files, "write_new", full)
    with pytest.raises(Wrong, match="No space left"):
        add(tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_cant_be_made(tmp_path):
    """Where a file has its name."""
    (tmp_path / "approved").write_text("")
    with pytest.raises(Wrong, match="the folder approved can't be made"):
        folder.append(tmp_path / "approved", (), WithdrawnSheet, by="A", on="2026-03-12", turn=1,
                      procedure="x", revision="0" * 12, because="b", told="c")


@pytest.mark.skipif(os.name == "nt", reason="killed by a signal")
@pytest.mark.parametrize("at", ["fsync", "link"])
def test_a_kill_in_the_middle_leaves_the_folder_as_it_was(tmp_path, at):
    """Killed while it writes, or before it gives the name: no reader sees anything, and the next
    one is written as if nothing had been."""
    add(tmp_path)
    before = read(tmp_path)
    program = (
        "import os, signal\nfrom pathlib import Path\nfrom tests.frozen.test_folder import add\n"
        f"os.{at} = lambda *_: os.kill(os.getpid(), signal.SIGKILL)\n"
        f"add(Path({str(tmp_path)!r}), '1' * 12)\n")
    done = subprocess.run([sys.executable, "-c", program], cwd=ROOT,
                          env={**os.environ, "PYTHONPATH": str(ROOT)})
    assert done.returncode == -signal.SIGKILL
    assert read(tmp_path) == before and len(before[0]) == 1
    add(tmp_path, "1" * 12)
    files, problems = read(tmp_path)
    assert len(files) == 2 and problems == []


def test_the_version_that_wrote_it_is_named(tmp_path):
    """For whoever reads it in ten years."""
    _, content = add(tmp_path, on=date(2026, 3, 12).isoformat())
    assert content.written_by == __version__ and content.format == 1
