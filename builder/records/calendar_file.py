"""Due dates as an iCalendar file (RFC 5545): all-day events for the calendar program at hand. Never
asks the clock."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

_MOST = 75  # octets a line, without its end (RFC 5545, 3.1)
_BREAKS = re.compile("\r\n|[\r\n\x0b\x0c\x85\u2028\u2029]")
# of the control characters only the tab is text (RFC 5545, 3.3.11)
_CONTROLS = re.compile("[\x00-\x08\x0e-\x1f\x7f\x80-\x9f]")
_HALVES = re.compile("[\ud800-\udfff]")  # of a surrogate pair: no character, shown as unreadable


@dataclass(frozen=True, slots=True)
class Due:
    """What is due on a day. `key` says what it is about (a serial number, say) and stays the same
    from one due date to the next, so that a calendar moves its event rather than adding one."""

    key: str
    day: date
    summary: str
    description: str = ""


def calendar(*, name: str, stamped: date, entries: Sequence[Due]) -> bytes:
    """The file, ready to be written: UTF-8, lines ended by CRLF. Same input, same bytes; the order
    of the entries doesn't matter. `stamped` is the day on which the due dates were known: of two
    files that of the later day counts."""
    if not entries:
        raise ValueError("a calendar needs an entry (RFC 5545, 3.6)")
    if len({one.key for one in entries}) < len(entries):
        raise ValueError("two entries with one key")
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//verification-procedures//due dates//EN",
             "CALSCALE:GREGORIAN",
             f"NAME:{escaped(name)}", f"X-WR-CALNAME:{escaped(name)}"]
    for due in sorted(entries, key=lambda one: (one.day, one.key)):
        lines += ["BEGIN:VEVENT", f"UID:{uid(due.key)}", f"DTSTAMP:{_digits(stamped)}T000000Z",
                  f"DTSTART;VALUE=DATE:{_digits(due.day)}",
                  f"DTEND;VALUE=DATE:{_digits(due.day + timedelta(days=1))}",
                  f"SUMMARY:{escaped(due.summary)}",
                  *([f"DESCRIPTION:{escaped(due.description)}"] if due.description else []),
                  "TRANSP:TRANSPARENT", "END:VEVENT"]
    return b"".join(folded(line) for line in [*lines, "END:VCALENDAR"])


def uid(key: str) -> str:
    """A name for the event that depends on its key alone (RFC 5545, 3.8.4.7)."""
    return hashlib.sha256(b"due date\0" + key.encode("utf-8", "surrogatepass")).hexdigest()[
        :32] + "@verification-procedures"


def escaped(text: str) -> str:
    """TEXT: backslash, semicolon and comma after a backslash, a new line as \\n (RFC 5545, 3.3.11).
    Control characters, which are no text, become spaces."""
    text = text.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,")
    return _CONTROLS.sub(" ", _HALVES.sub("\ufffd", _BREAKS.sub("\\\\n", text)))


def folded(line: str) -> bytes:
    """A content line of at most 75 octets, going on after CRLF and a space (RFC 5545, 3.1), with no
    character torn apart."""
    done, part = [], b""
    for character in line:
        octets = character.encode()
        if len(part) + len(octets) > _MOST:
            done.append(part)
            part = b" "
        part += octets
    return b"\r\n".join([*done, part]) + b"\r\n"


def _digits(day: date) -> str:
    return day.isoformat().replace("-", "")
