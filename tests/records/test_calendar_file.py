"""Calendar files, read again by the package icalendar, and by the grammar of RFC 5545 with hostile
texts."""

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from icalendar import Calendar

from builder.records.calendar_file import Due, calendar, escaped, folded, uid

STAMPED = date(2026, 11, 25)
DUE = Due("whimbrel-200/0017", date(2027, 2, 28), "Verification due: Whimbrel 200, no. 0017",
          "Last verified 2026-02-28; interval 12 months.")
OTHER = Due("dunlin-60/3", date(2026, 12, 31), "Verification due: Dunlin 60, no. 3")

SIGNS = "\r\n\t ,;:\\\"'\x00\x07\x0b\x0c\x7f\x85\u2028\u2029\u200d\ufeff\ud800😀🧪é"
hostile = st.text(st.one_of(st.characters(), st.sampled_from(SIGNS)), max_size=300)


def read(octets: bytes):
    """The events as icalendar reads them; one that doesn't hold is refused."""
    made = Calendar.from_ical(octets)
    assert not made.errors and all(not event.errors for event in made.walk())
    return made


def test_an_event():
    """All day, ends on the day after, takes no time of anybody's."""
    event, = read(calendar(name="Due", stamped=STAMPED, entries=[DUE])).walk("VEVENT")
    assert (event.decoded("DTSTART"),
            event.decoded("DTEND")) == (date(2027, 2, 28), date(2027, 3, 1))
    assert event.decoded("DTSTAMP") == datetime(2026, 11, 25, tzinfo=UTC)
    assert (event["SUMMARY"], event["DESCRIPTION"], event["TRANSP"],
            event["UID"]) == (DUE.summary, DUE.description, "TRANSPARENT", uid(DUE.key))


def test_the_file():
    """Version, maker and name; no alarm; the events in the order of their days."""
    made = read(calendar(name="Meters, all", stamped=STAMPED, entries=[DUE, OTHER]))
    # icalendar reads a NAME as it stands
    assert (made["VERSION"], made["PRODID"], made["CALSCALE"],
            made["NAME"]) == ("2.0", "-//verification-procedures//due dates//EN", "GREGORIAN",
                              "Meters\\, all")
    assert not made.walk("VALARM") and [event.decoded("DTSTART")
                                        for event in made.walk("VEVENT")] == [OTHER.day, DUE.day]
    assert "DESCRIPTION" not in made.walk("VEVENT")[0]


def test_octet_by_octet():
    """The whole file of one entry, as it is written."""
    assert calendar(name="Due", stamped=STAMPED,
                    entries=[Due("a", date(2026, 12, 31), "Due; 1, 2", "one\ntwo")]) == "\r\n".join(
                        [
                            "BEGIN:VCALENDAR", "VERSION:2.0",
                            "PRODID:-//verification-procedures//due dates//EN",
                            "CALSCALE:GREGORIAN", "NAME:Due", "X-WR-CALNAME:Due",
                            "BEGIN:VEVENT", f"UID:{uid('a')}", "DTSTAMP:20261125T000000Z",
                            "DTSTART;VALUE=DATE:20261231", "DTEND;VALUE=DATE:20270101",
                            "SUMMARY:Due\\; 1\\, 2", "DESCRIPTION:one\\ntwo", "TRANSP:TRANSPARENT",
                            "END:VEVENT", "END:VCALENDAR", ""]).encode()


def test_same_input_same_bytes():
    assert calendar(name="Due", stamped=STAMPED,
                    entries=[DUE, OTHER]) == calendar(
                        name="Due", stamped=STAMPED, entries=[OTHER, DUE])


def test_an_event_keeps_its_name():
    """From one due date to the next the UID stays; of another key it is another. Its value is
    fixed, since calendars remember it."""
    assert uid(DUE.key) == "be8359483b15a2dda9a55ef4b5e3d0ca@verification-procedures" != uid(
        OTHER.key)
    later = Due(DUE.key, date(2028, 2, 28), "Verification due")
    events = [read(calendar(name="Due", stamped=STAMPED, entries=[one])).walk("VEVENT")[0]
              for one in (DUE, later)]
    assert events[0]["UID"] == events[1]["UID"]


@pytest.mark.parametrize("entries",
                         [[], [DUE, DUE], [DUE, Due(DUE.key, date(2030, 1, 1), "again")]])
def test_no_calendar(entries):
    """None without an entry, and none with two events of one name."""
    with pytest.raises(ValueError):
        calendar(name="Due", stamped=STAMPED, entries=entries)


def unfolded(octets: bytes) -> list[str]:
    assert octets.endswith(b"\r\n") and octets.replace(b"\r\n", b"").find(b"\r") == octets.replace(
        b"\r\n", b"").find(b"\n") == -1
    return octets.decode().replace("\r\n ", "").split("\r\n")[:-1]


@given(hostile)
@example("é" * 200)
@example("😀" * 100)
@example("x" * 75)
@example("x" * 76)
@example(" " * 200)
def test_folding(text):
    """At most 75 octets a line, every line whole characters, and unfolded what it was."""
    line = "SUMMARY:" + escaped(text)
    octets = folded(line)
    for part in octets.split(b"\r\n")[:-1]:
        assert len(part) <= 75
        part.decode()
    assert unfolded(octets) == [line]


@pytest.mark.parametrize("length, lines", [(74, 1), (75, 1), (76, 2), (75 + 74, 2), (75 + 75, 3)])
def test_folding_at_its_edge(length, lines):
    assert folded("x" * length).count(b"\r\n") == lines


@pytest.mark.parametrize("text, expected", [
    ("a,b;c\\d", "a\\,b\\;c\\\\d"), ("a\nb\r\nc\rd", "a\\nb\\nc\\nd"),
    ("a\u2028b\x85c", "a\\nb\\nc"), ("a\x00b\x1bc\td", "a b c\td"),
    ("\\n", "\\\\n"), ("a:b\"c\"", "a:b\"c\""), ("\ud800", "\ufffd"),
    ("END:VEVENT\r\nBEGIN:VALARM", "END:VEVENT\\nBEGIN:VALARM"),
])
def test_escaping(text, expected):
    assert escaped(text) == expected


def plain(text: str) -> str:
    """What is left of a text in a calendar: line breaks are one, other control characters are
    spaces."""
    for one in ("\r\n", "\r", "\x0b", "\x0c", "\x85", "\u2028", "\u2029"):
        text = text.replace(one, "\n")
    return "".join(" " if c != "\n" and c != "\t" and (c < " " or "\x7f" <= c <= "\x9f")
                   else "\ufffd" if "\ud800" <= c <= "\udfff" else c for c in text)


@given(hostile, hostile, hostile, hostile, st.dates(date(1, 1, 1), date(9999, 12, 30)), st.dates())
def test_hostile_texts_come_back(name, key, summary, description, day, stamped):
    """Whatever the texts hold, it is one event with these texts and no other line; read by
    icalendar and by the grammar."""
    octets = calendar(name=name, stamped=stamped, entries=[Due(key, day, summary, description)])
    made = read(octets)
    event, = made.walk("VEVENT")
    assert len(made.subcomponents) == 1
    assert (str(event["SUMMARY"]), str(event.get("DESCRIPTION", "")),
            str(made["NAME"])) == (plain(summary), plain(description), escaped(name))
    assert (event.decoded("DTSTART"), event.decoded("DTEND")) == (day, day + timedelta(days=1))
    names = [line.partition(":")[0] for line in unfolded(octets)]
    assert names == ["BEGIN", "VERSION", "PRODID", "CALSCALE", "NAME", "X-WR-CALNAME", "BEGIN",
                     "UID", "DTSTAMP", "DTSTART;VALUE=DATE",
                     "DTEND;VALUE=DATE", "SUMMARY", *(["DESCRIPTION"] if description else []),
                     "TRANSP", "END", "END"]
