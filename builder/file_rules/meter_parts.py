"""What a meter's file says of its beeper, its relative key and its fuses."""

from __future__ import annotations

from builder.file_rules.saying import Say, dimension
from builder.formats.functions import KINDS
from builder.formats.meter import FunctionEntry, Meter


def threshold(say: Say, path: tuple, function: FunctionEntry) -> None:
    """Of the beeper; and whether a key for relative readings is there where their ranges are."""
    below, above = function.beeps_below, function.silent_above
    sound = all([dimension(say, (*path, key), given, "[resistance]", f"'{key}'",
                           "such as '30 ohm'")
                 for key, given in (("beeps_below", below), ("silent_above", above))])
    if above is not None and below is None:
        say((*path, "silent_above"), "key", "'silent_above' stands beside 'beeps_below'",
            "add 'beeps_below', such as '30 ohm'")
    elif sound and above is not None and above.value < below.value:
        say((*path, "silent_above"), "order",
            f"the beeper is silent above {above}, and sounds below {below}",
            "'silent_above' is not less than 'beeps_below'")
    if function.relative_ranging == "free" and function.relative is None:
        say((*path, "relative_ranging"), "key",
            "'relative_ranging' stands beside 'relative'", "add 'relative', such as 'press REL'")


def fuses(say: Say, meter: Meter) -> None:
    """Each at a jack of the meter that a current goes through."""
    jacks = {jack for f in meter.functions if f.kind.dimension == "[current]"
             for given in (f.jacks, *(on.jacks for on in f.ranges)) for jack in given or ()}
    for i, fuse in enumerate(meter.fuses):
        for j, jack in enumerate(fuse.jacks):
            if jack not in jacks:
                say(("fuses", i, "jacks", j), "jacks", f"no current goes through a jack '{jack}'",
                    "the jacks of its currents: " + (", ".join(sorted(jacks)) or "none"))


def others(say: Say, meter: Meter) -> None:
    """What has no function here, each once, and nothing that has one."""
    taken: set[str] = set()
    titles = {function.title.casefold() for function in meter.functions}
    for i, other in enumerate(meter.other_functions):
        path, name = ("other_functions", i, "name"), other.name.casefold()
        if name in {kind.casefold() for kind in KINDS}:
            say(path, "function", f"'{other.name}' is a function here",
                "write its table under 'functions'; a plan may leave it out with a reason")
        elif name in titles or name in taken:
            say(path, "twice", f"'{other.name}' stands twice", "keep one of them")
        taken.add(name)


def conditions(say: Say, path: tuple, meter: Meter, function: FunctionEntry) -> None:
    """What a function's accuracy holds for, where that isn't what the meter's does."""
    if dimension(say, (*path, "holds"), function.holds, "[temperature]", "'holds'",
                 "such as '18 to 28 degC'") and function.holds and (
            function.holds.low.unit != meter.specification.holds.low.unit):
        say((*path, "holds"), "unit", "the function and the meter are in different degrees",
            "write both in degC or both in degF")
    dimension(say, (*path, "humidity"), function.humidity, "[ratio]", "'humidity'",
              "such as '0 to 50 %'")
