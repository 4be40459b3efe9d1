"""What a tag asks for: whose numbers, what of it, and which number to show. `Wrong` says what isn't
there."""

from __future__ import annotations

from dataclasses import dataclass, field

from builder.file_rules.saying import nearest
from builder.files.problems import Wrong


@dataclass(frozen=True)
class AskedValue:
    """What stands in a tag: the items in their order, and those with a name, such as 'show:
    TUR'."""

    items: tuple[str, ...]
    named: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class GeneralExample:
    """Numbers by their names, and the lines of their working, a title first."""

    shows: dict[str, str]
    lines: tuple[str, ...] = ()

    def worked(self) -> list[str]:
        if not self.lines:
            raise Wrong("this example has no worked lines", "ask for one number with 'show: …'")
        return list(self.lines)


class NothingOfThatName(Wrong):
    """Neither a meter nor a plan: the whole lesson may be about something that isn't there."""


def items_of(asked: AskedValue, what: str, least: int, most: int | None = None) -> tuple[str, ...]:
    """The items, if there are as many as `what` needs. Wrong otherwise."""
    if not least <= len(asked.items) <= (most or least):
        raise Wrong("too few or too many items stand here", f"needed: {what}")
    return asked.items


def refuse_unknown(asked: AskedValue, names: tuple[str, ...]) -> None:
    """Wrong if something is named that isn't in `names`."""
    for name in asked.named:
        if name not in names:
            raise Wrong(f"'{name}:' isn't known here", "one of: " + ", ".join(names))


def number_of(shows: dict, what: str):
    """What `shows` has under a name. Wrong if there is none of that name."""
    if what not in shows:
        raise Wrong(f"'{what}' can't be shown here",
                    nearest(what, shows) or "one of: " + ", ".join(shows))
    return shows[what]


def there(thing, sentence: str):
    """A thing that need not be there. Wrong, with the sentence, if it isn't."""
    if thing is None or thing == "":
        raise Wrong(sentence, "show something else")
    return thing
