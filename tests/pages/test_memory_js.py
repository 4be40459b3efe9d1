"""What was practised is remembered on the device, and comes again at its intervals."""

from __future__ import annotations

import pytest

from builder.pages import render

pytestmark = pytest.mark.browser


@pytest.fixture
def page(tab, tmp_path):
    """A page with the memory alone."""
    path = tmp_path / "memory.html"
    path.write_text("<!doctype html><title>x</title><script>"
                    + render.served("assets/memory.js") + "</script>", encoding="utf-8")
    page = tab()
    page.goto(path.as_uri())
    return page


DONE = "all => { for (const one of all) Bench.memory.done(one); }"
BOXES = "() => Bench.memory.boxes().map(one => [one.kind, one.box, one.due])"


def answer(day: str, right: bool, kind: str = "judge", **more) -> dict:
    return {"kind": kind, "right": right, "seed": 3, "day": day} | more


def test_what_is_done_is_there_after_a_reload(page):
    """Every answer with its day, in order; a right one names no mistake."""
    page.evaluate(DONE, [answer("2026-02-27", True, mistake="counts", set=3),
                         {"kind": "fault", "right": False, "mistake": "leads", "sure": False}])
    page.reload()
    first, second = page.evaluate("Bench.memory.all()")
    assert {k: v for k, v in first.items() if k != "at"} == {
        "kind": "judge", "right": True, "mistake": "", "sure": True, "seed": 3, "set": 3,
        "day": "2026-02-27"}
    assert (second["mistake"], second["sure"], second["seed"]) == ("leads", False, None)
    assert second["day"] == page.evaluate("Bench.memory.today()")
    page.evaluate("Bench.memory.forget()")
    page.reload()
    assert page.evaluate("Bench.memory.all()") == []


@pytest.mark.parametrize("answers, box, due", [
    # one box on each time that it is due: 1, 2, 4, 8, 16 days
    ([("02-27", True)], 2, "03-01"), ([("02-27", False)], 1, "02-28"),
    ([("02-01", True), ("02-03", True)], 3, "02-07"),
    ([("02-01", True), ("02-03", True), ("02-07", True), ("02-15", True)], 5, "03-03"),
    ([("02-01", True), ("02-03", True), ("02-07", True), ("02-15", True), ("03-03", True)],
     5, "03-19"),
    # not twice on a day, and not before it is due
    ([("02-01", True), ("02-01", True)], 2, "02-03"),
    ([("02-01", True), ("02-02", True)], 2, "02-03"),
    # a wrong one sends it back, due or not, whatever else was right on that day
    ([("02-01", True), ("02-03", True), ("02-04", False)], 1, "02-05"),
    ([("02-01", True), ("02-03", False), ("02-03", True)], 1, "02-04"),
    # a guess that was right stays where it is, and waits again
    ([("02-01", True), ("02-03", "guess")], 2, "02-05"), ([("02-01", "guess")], 1, "02-02"),
])
def test_boxes(page, answers, box, due):
    """By days that stand written out here."""
    page.evaluate(DONE, [answer(f"2026-{day}", bool(right), sure=right != "guess")
                         for day, right in answers])
    assert page.evaluate(BOXES) == [["judge", box, f"2026-{due}"]]
    asked = "day => Bench.memory.due(day).length"
    assert page.evaluate(asked, f"2026-{due}") == 1
    assert page.evaluate(asked, "2026-02-02" if due != "02-02" else "2026-02-01") == 0


def test_kinds_are_apart_and_counted(page):
    """The one that was due first comes first."""
    page.evaluate(DONE, [answer("2026-02-05", True), answer("2026-02-05", False, "sheet"),
                         answer("2026-02-05", True, "sheet")])
    assert page.evaluate("Bench.memory.boxes()") == [
        {"kind": "sheet", "box": 1, "due": "2026-02-06", "right": 1, "wrong": 1,
         "last": "2026-02-05"},
        {"kind": "judge", "box": 2, "due": "2026-02-07", "right": 1, "wrong": 0,
         "last": "2026-02-05"}]


@pytest.mark.parametrize("full", ["setItem", "getItem"])
def test_a_store_that_fails_is_told(page, full):
    """The answers live as long as the page does, and the trouble has words."""
    page.evaluate(f"void (Storage.prototype.{full} = () => {{ throw new Error('full'); }})")
    page.evaluate(DONE, [answer("2026-02-05", True)] * 2)
    assert len(page.evaluate("Bench.memory.all()")) == 2
    assert "can’t be remembered" in page.evaluate("Bench.memory.trouble")


def test_what_others_left_there_is_passed_over(page):
    """A store with something else in it makes no trouble."""
    for text in ("", "{}", "null", '[1, null, {"kind": "judge"}]'):
        page.evaluate("text => localStorage.setItem('bench-practice', text)", text)
        assert page.evaluate("Bench.memory.boxes()") == []
        page.evaluate(DONE, [answer("2026-02-05", True)])
        assert len(page.evaluate("Bench.memory.all()")) == 1


def test_what_cannot_be_read_is_not_overwritten(page):
    """Answers go on living in the page, and the store stays as it is."""
    page.evaluate("localStorage.setItem('bench-practice', '[{')")
    page.evaluate(DONE, [answer("2026-02-05", True)])
    assert len(page.evaluate("Bench.memory.all()")) == 1
    assert page.evaluate("localStorage.getItem('bench-practice')") == "[{"
