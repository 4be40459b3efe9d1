"""Which record a sheet goes on with, and what the next one takes over."""

from __future__ import annotations

import pytest

pytestmark = pytest.mark.browser
DATA = {"holds": "18 to 28 °C", "humidity": "up to 75 %", "verified_against": None,
        "standards": [{"standard": "petrel"}]}
RECORDS = [("1", "ours", "new", {"serial": "A 1"}), ("2", "ours", "new", {"serial": "B2"}),
           ("3", "ours", "new", {"serial": "C3", "verdict": "all within"}),
           ("4", "ours", "old", {"serial": "D4"}), ("5", "other", "new", {"serial": "A1"})]


@pytest.mark.parametrize("held, asked, found, ask, older", [
    ("1", {}, "1", "", ""), ("", {}, None, "", ""), ("5", {}, None, "", ""),
    ("3", {}, None, "", ""),                            # it has its verdict
    ("12", {}, None, "12", ""),                         # which of them is asked, not guessed
    ("12", {"wanted": "2"}, "2", "", ""), ("123", {"wanted": "3"}, "3", "", ""),
    ("12", {"wanted": "9"}, None, "12", ""),            # that one is gone
    ("124", {"serial": "a1"}, "1", "", "4"), ("12", {"serial": "X"}, None, "", ""),
    ("11", {"serial": "A1"}, None, "11", ""),
    ("4", {}, None, "", "4"), ("14", {}, "1", "", "4"),
    ("14", {"wanted": "4"}, None, "", "4"),             # begun under limits that are gone
])
def test_which_record_goes_on(page, held, asked, found, ask, older):
    given = [one for number in held for one in RECORDS if one[0] == number]
    got = page.evaluate("""([given, asked]) => {
      const all = given.map(([id, procedure, revision, fields]) => ({
        record: {id, procedure, revision}, fields: new Map(Object.entries(fields).map(
          ([name, value]) => [name, {value}]))}));
      const {found, ask, older} = Bench.record.whichOpen(all, {procedure: 'ours',
        revision: 'new', ...asked});
      return [found && found.record.id, ...[ask, older].map(
        some => some.map(one => one.record.id).join(''))]; }""", [given, asked])
    assert got == [found, ask, older]


def on(page, script: str, fields: dict):
    return page.evaluate("""([script, data, given]) => {
      const fields = new Map(Object.entries(given).map(([name, value]) =>
        [name, {value, at: '2026-11-25T09:00:00.000Z'}]));
      return eval(script)(data, fields); }""", [script, DATA, fields])


def test_what_the_next_record_takes_over(page):
    """The bench, not the meter; the day is today's, but for finished paper."""
    given = {"serial": "7", "state": "as found", "date": "2026-11-24", "place": "Bench 2",
             "owner": "X", "ambient": "22.8", "ambient_end": "23.1", "humidity": "45",
             "done_by": "IM", "standard/petrel/number": "12", "remarks": "r", "verdict": "v"}
    script = "(data, fields) => Bench.record.forTheNext(data, fields, '2026-11-25')"
    wanted = {"date": "2026-11-25", "place": "Bench 2", "ambient": "23.1", "humidity": "45",
              "done_by": "IM", "standard/petrel/number": "12"}
    assert dict(on(page, script, given)) == wanted
    assert dict(on(page, script, given | {"from_paper": "yes"})) == wanted | {
        "date": "2026-11-24"}


def test_what_a_head_still_lacks(page):
    script = "(data, fields) => Bench.record.headLacks(data, fields).map(one => one.field)"
    assert on(page, script, {}) == ["serial", "date", "state", "ambient", "humidity", "done_by"]
    assert on(page, script, {"serial": "7", "date": "x", "ambient": "22"}) == [
        "state", "humidity", "done_by"]


def test_whether_a_record_was_handed_over(page):
    script = "(data, fields) => Bench.record.handedOver(fields)"
    assert on(page, script, {"serial": "7"}) is None
    for at, since in (("2026-11-25T09:00:00.000Z", False), ("2026-11-25T08:59:00.000Z", True)):
        assert on(page, script, {"serial": "7", "handed_over": at}) == {"at": at, "since": since}
