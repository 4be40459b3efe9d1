"""Commands of a terminal and desks at once, each in a process of its own: the chain of what is
frozen stays one, and nothing is written twice."""

import json
import multiprocessing
import os
import time

import pytest

from builder import cli
from builder.shop import deciding, loading
from tests.desk.conftest import Visitor
from tests.recorded import data_of, put, record

pytestmark = pytest.mark.skipif(os.name == "nt", reason="Windows has no fork")
FORK = multiprocessing.get_context("fork") if os.name != "nt" else None
SERIALS = [f"0{n}" for n in range(200, 206)]


def at_once(*works) -> list:
    """What each gives that begins, in a process of its own, when all are ready."""
    ready, gives = FORK.Barrier(len(works)), FORK.Queue()

    def begin(n: int, work) -> None:
        ready.wait()
        gives.put((n, work()))
    processes = [FORK.Process(target=begin, args=(n, work)) for n, work in enumerate(works)]
    for one in processes:
        one.start()
    given = dict(gives.get(timeout=60) for _ in works)
    for one in processes:
        one.join()
    return [given[n] for n in range(len(works))]


@pytest.fixture
def many(recorded, monkeypatch):
    """A shop with a record of each serial number, whose reports nobody finished."""
    data = data_of(recorded.procedures)
    for serial in SERIALS:
        put(recorded.procedures, f"meter-{serial}.yaml", record(data, serial=serial))
    monkeypatch.setattr(cli, "PROCEDURES", recorded.procedures)
    return recorded


def finish_at_desk(at: Visitor, name: str):
    """By a desk of its own, which knows only what its page showed."""
    own = Visitor(at.root)
    form = own.fill(f"finish?name={name}", by="T. Askew")
    return lambda: own.post("finish", form).status_code


def finish_by_command(name: str):
    return lambda: cli.main(["finish", name, "--by", "T. Askew"])


def test_commands_and_desks_at_once_make_one_chain(many):
    """Six reports are finished by three commands and three desks: each names the one before it, and
    none names what another names too."""
    names = [f"meter-{serial}" for serial in SERIALS]
    assert at_once(*map(finish_by_command, names[:3]),
                   *(finish_at_desk(many, name) for name in names[3:])) == [0] * 3 + [200] * 3
    before = [json.loads(path.read_text(encoding="utf-8"))["before"]
              for path in (many.procedures / "finished").glob("*.json")]
    assert sorted(map(len, before)) == [0, 1, 1, 1, 1, 1]
    assert len({one for named in before for one in named}) == 5
    assert loading.load_shop(many.procedures).frozen_problems == []


def test_of_two_that_finish_the_same_one_does(many):
    """The other one is told."""
    name = f"meter-{SERIALS[0]}"
    codes = at_once(finish_by_command(name), finish_at_desk(many, name),
                    finish_at_desk(many, name))
    assert codes in ([0, 409, 409], [1, 200, 409], [1, 409, 200])
    assert os.listdir(many.procedures / "finished") == [f"{name}.1.json"]


def test_a_command_says_that_it_waits(many, capsys):
    """And goes on when the other one is done."""
    held, let_go = FORK.Event(), FORK.Event()

    def hold() -> None:
        with deciding.alone(many.procedures):
            held.set()
            let_go.wait(20)
            time.sleep(0.2)
    other = FORK.Process(target=hold)
    other.start()
    assert held.wait(20)
    let_go.set()
    assert finish_by_command(f"meter-{SERIALS[0]}")() == 0
    other.join()
    assert "Another command or the desk is writing in this shop" in capsys.readouterr().err


def test_a_lock_is_not_left_behind(many):
    """By a process that was killed in the midst of its writing."""
    held = FORK.Event()

    def hold() -> None:
        with deciding.alone(many.procedures):
            held.set()
            time.sleep(60)
    other = FORK.Process(target=hold)
    other.start()
    assert held.wait(20)
    other.kill()
    other.join()
    assert finish_by_command(f"meter-{SERIALS[0]}")() == 0
