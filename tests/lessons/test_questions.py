"""What a lesson asks: closed without a script, opened by keys, and on paper answered at the end."""

from __future__ import annotations

import pytest


@pytest.mark.browser
def test_answers_open_by_keys_without_a_script_and_stand_last_on_paper(tab, demo):
    """Each question is a target of 44 px; one key opens it and leaves the others closed. Print has
    every question without its answer, opened or not, and the answers behind them."""
    phone = tab(viewport={"width": 360, "height": 740}, java_script_enabled=False)
    phone.goto((demo.site / "lessons/limits.html").as_uri())
    asked = phone.locator("details.ask")
    answers = asked.locator("> p")
    assert asked.count() == answers.count() >= 6
    assert all(asked.nth(n).locator("summary").bounding_box()["height"] >= 44
               for n in range(asked.count()))
    assert not any(answers.nth(n).is_visible() for n in range(answers.count()))
    asked.first.locator("summary").focus()
    phone.keyboard.press("Enter")
    assert [answers.nth(n).is_visible() for n in range(answers.count())] == [
        True, *[False] * (answers.count() - 1)]
    last = phone.locator(".answers-last")
    assert not last.is_visible()
    phone.emulate_media(media="print")
    assert last.is_visible() and last.locator("li").count() == answers.count()
    assert not any(answers.nth(n).is_visible() for n in range(answers.count()))
    assert all(asked.nth(n).locator("summary").is_visible() for n in range(asked.count()))
