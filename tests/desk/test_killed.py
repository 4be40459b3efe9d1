"""The desk ended in the midst of its writing, at twenty moments: each file is as it was or as it
was to be, and the next start goes on."""

import json
import multiprocessing
import os
import time

import pytest

from builder.shop import loading
from tests.desk.conftest import RECORD, Visitor
from tests.recorded import data_of, phone, put

MOMENTS = 20


def work(at: Visitor, forms: list[tuple[str, dict]]) -> None:
    for path, form in forms:
        at.post(path, form)


@pytest.mark.long
@pytest.mark.skipif(os.name == "nt", reason="Windows has no fork")
def test_a_kill_at_any_moment_leaves_whole_files(recorded):
    """A record replaced by another one and a report finished: killed after each twentieth of the
    time that this takes, then done again where it isn't done."""
    old = phone(data_of(recorded.procedures), serial="0152", date="2026-03-13")
    put(recorded.procedures, "phone.json", old)
    texts = [json.dumps(old | {"place": f"bench {n}"}) for n in range(MOMENTS + 1)]
    fork = multiprocessing.get_context("fork")
    whole_time, replaced, finished = 0.0, 0, 0
    target = recorded.procedures / "records/phone.json"
    for n, text in enumerate(texts):
        (recorded.root / "inbox").mkdir(exist_ok=True)
        (recorded.root / "inbox/again.json").write_text(text, encoding="utf-8")
        for path in (recorded.procedures / "finished").glob("*"):
            path.unlink()
        before = target.read_bytes()
        forms = [("inbox", recorded.fill("inbox", do="replace")),
                 ("finish", recorded.fill(f"finish?name={RECORD}", by="T. Askew"))]
        worker = fork.Process(target=work, args=(recorded, forms))
        began = time.monotonic()
        worker.start()
        if n:       # the first one is measured
            worker.join(whole_time * n / MOMENTS)
            worker.kill()
        worker.join()
        whole_time = whole_time or time.monotonic() - began
        now = target.read_bytes()
        assert now in (before, text.encode()), "neither the old record nor the new one"
        if now != before:
            kept = [path.read_bytes() for path in (recorded.root / "kept/records").glob("*.json")]
            assert before in kept
        shop = loading.load_shop(recorded.procedures)
        assert not shop.errors, "\n".join(map(str, shop.errors))
        replaced += now != before
        finished += RECORD in shop.finished.numbers
        visible = {path.name for path in (recorded.procedures / "finished").glob("[!.]*")}
        assert visible <= {f"{RECORD}.1.json"}
        (recorded.root / "inbox/again.json").unlink(missing_ok=True)
    assert replaced >= 2 and finished >= 1      # the first, undisturbed, and others late enough
    assert recorded.get("").status_code == 200
