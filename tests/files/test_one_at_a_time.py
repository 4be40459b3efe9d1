"""One process at a time holds the lock, and the system ends it with the process."""

import signal
import subprocess
import sys
from contextlib import contextmanager

import pytest

from builder.files.one_at_a_time import alone, lock

HOLDS = """
import pathlib, subprocess, sys
from builder.files.one_at_a_time import alone
with alone(pathlib.Path(sys.argv[1])) as held:
    {inner}
    print("held", flush=True)
    sys.stdin.read()
"""
AND_A_CHILD = ("subprocess.Popen([sys.executable, '-c', 'import time; time.sleep(1)'], "
               "pass_fds=[held.fileno()], stdin=-3, stdout=-3)")


@contextmanager
def another(path, inner="pass"):
    """A process that holds the lock until its input ends."""
    with subprocess.Popen([sys.executable, "-c", HOLDS.format(inner=inner), path],
                          stdin=subprocess.PIPE, stdout=subprocess.PIPE) as process:
        assert process.stdout.readline() == b"held\n"
        yield process


def test_who_comes_second_is_told_and_waits(tmp_path):
    """Until the first ends; without another one nothing is said."""
    said = []
    with another(tmp_path / "lock") as first:
        def busy():
            assert first.poll() is None
            said.append("busy")
            first.stdin.close()
        with alone(tmp_path / "lock", busy):
            said.append("held")
            assert first.wait(10) == 0
    with alone(tmp_path / "lock", lambda: said.append("busy")):
        pass
    assert said == ["busy", "held"]


def test_a_kill_ends_the_lock(tmp_path):
    """Nothing is left that anybody would have to delete."""
    with another(tmp_path / "lock") as first:
        first.send_signal(signal.SIGKILL)
        assert first.wait(10) == -9
        with alone(tmp_path / "lock", lambda: pytest.fail("still locked")):
            pass


def test_a_child_that_outlives_its_killed_parent_holds_on_to_the_lock(tmp_path):
    """What it was started for goes on, so nothing else begins beside it."""
    said = []
    with another(tmp_path / "lock", AND_A_CHILD) as first:
        first.send_signal(signal.SIGKILL)
        assert first.wait(10) == -9
        with alone(tmp_path / "lock", lambda: said.append("busy")):
            assert said == ["busy"]


def test_a_file_system_without_locks_is_told(tmp_path, monkeypatch):
    """And the work goes on."""
    import fcntl

    def none(*_):
        raise OSError(95, "Operation not supported")
    said = []
    monkeypatch.setattr(fcntl, "flock", none)
    with alone(tmp_path / "lock", lambda: said.append("busy"), lambda: said.append("never")):
        assert said == ["never"]


def test_who_may_not_wait_is_refused(tmp_path):
    """At once."""
    with another(tmp_path / "lock"), open(tmp_path / "lock", "a") as file:
        with pytest.raises(BlockingIOError):
            lock(file, wait=False)
