"""A lock that the system ends with the processes that hold it, however they end: no lock is ever
left behind. Standard library only: the start on a bare machine uses it."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO

Say = Callable[[], None]


@contextmanager
def alone(path: Path, busy: Say = lambda: None, never: Say = lambda: None) -> Iterator[IO]:
    """Holds the lock in the file `path`, which is made and stays; gives the open file, by which a
    process started meanwhile may hold on to it. Where another process has it, calls `busy` and
    waits. Where the file system knows no locks, calls `never` and goes on without."""
    with open(path, "a", encoding="utf-8") as file:
        try:
            lock(file, wait=False)
        except BlockingIOError:
            busy()
            lock(file)
        except OSError:
            never()
        yield file


def lock(file: IO, wait: bool = True) -> None:
    """Locks an open file until it is closed. BlockingIOError where it may not wait and would have
    to; OSError where the file system knows no locks."""
    if os.name != "nt":
        import fcntl
        return fcntl.flock(file, fcntl.LOCK_EX | (0 if wait else fcntl.LOCK_NB))
    import msvcrt
    while True:
        with suppress(OSError):     # which it also is after ten seconds of waiting
            return msvcrt.locking(file.fileno(), msvcrt.LK_LOCK if wait else msvcrt.LK_NBLCK, 1)
        if not wait:
            raise BlockingIOError
