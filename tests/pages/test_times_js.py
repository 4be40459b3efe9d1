"""The times on and off that the phone counts down, by the ticks of the record and a clock that the
test sets."""

import re

import pytest

from tests.phone_bench import PHONE, Sheet

pytestmark = pytest.mark.browser
NOON = "2026-11-30T12:00:00"


@pytest.fixture
def sheet(tab, demo) -> Sheet:
    page = tab(**PHONE)
    page.clock.install(time=NOON)
    made = Sheet(page, (demo.site / "procedures/turnstone-c-yearly.html").as_uri())
    yield made
    assert made.wrong == []


def group_of_the_coil(sheet):
    """The group with six rows under a coil's 60 s and 180 s, and the row before which it rests."""
    rests = next(p for p in sheet.data["points"] if p["before_steps"] and p["pause"])
    return sheet.page.locator(f'[data-group="{rests["group"]}"]'), rests


def tick(place, words: str) -> None:
    place.locator("li", has_text=re.compile(words)).first.locator("input[type=checkbox]").check()


def timers(place) -> list[str]:
    return [" ".join(one.split()) for one in place.locator(".timer:visible").all_inner_texts()]


def told(place, words: str, *seconds: int) -> bool:
    """Whether one timer says so; `#` in the words is a time, within 3 s of these, since the clock
    of the page runs on between two looks."""
    (text,) = timers(place)
    found = re.fullmatch(re.escape(words).replace("\\#", "([0-9]+):([0-9]{2})"), text)
    assert found, text
    read = [60 * int(minutes) + int(rest) for minutes, rest in
            zip(found.groups()[::2], found.groups()[1::2], strict=True)]
    assert all(abs(a - b) <= 3 for a, b in zip(read, seconds, strict=True)), text
    return True


def test_both_times_count_down_and_survive_a_reload(sheet):
    """From the tick “output on” to that of standby, and from there to the end of the pause; after
    a reload the times are where they would have been."""
    group, rests = group_of_the_coil(sheet)
    line = sheet.page.locator(f'tr.between:has(+ [id="{rests["id"]}"])')
    assert timers(group) == []
    tick(group.locator(".before"), "output on")
    sheet.page.clock.run_for(18_000)
    assert told(group, "Output on: # left", 42)
    sheet.page.clock.run_for(50_000)
    assert told(group, "Output off now: on for #, at most 1:00", 68)
    assert "over" in group.locator(".timer:visible").get_attribute("class")
    tick(line, "standby")
    sheet.page.clock.run_for(15_000)
    (before,) = timers(group)
    assert re.fullmatch(r"Off until 12:04:(0|1)\d, 2:4[3-6] left", before), before
    sheet.kept()
    sheet.open()
    sheet.page.clock.run_for(1_000)
    (after,) = timers(group)
    assert after.split(",")[0] == before.split(",")[0]      # the same moment
    sheet.page.clock.run_for(170_000)
    assert timers(group) == [before.split(",")[0].replace("Off until", "Rested since")
                             + ": the output may go on."]
    tick(line, "output on")
    sheet.page.clock.run_for(1_000)
    assert told(group, "Output on: # left", 59)


def test_a_pause_that_was_cut_short_is_named(sheet):
    """It stays so after the output went on."""
    _, rests = group_of_the_coil(sheet)
    line = sheet.page.locator(f'tr.between:has(+ [id="{rests["id"]}"])')
    tick(line, "standby")
    sheet.page.clock.run_for(100_000)
    tick(line, "output on")
    sheet.page.clock.run_for(1_000)
    assert told(line, "The output went on # too early.", 80)


def test_a_pause_before_a_group_counts_from_its_own_standby(sheet):
    """The coil was on in the group before; the field for the time of day takes any sign."""
    later = next(p for p in sheet.data["points"] if p["pause"] and not p["before_steps"])
    opening = sheet.page.locator(f'[data-group="{later["group"]}"] .before')
    tick(opening, "standby")
    sheet.page.clock.run_for(60_000)
    (text,) = timers(opening)
    assert re.fullmatch(r"Off until 12:03:0\d, (2:00|1:5[7-9]|2:0[1-3]) left", text), text
    assert opening.locator("li", has_text="off for").locator("input.typed").get_attribute(
        "inputmode") == "text"
