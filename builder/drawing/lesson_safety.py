"""The lessons' pictures that are looked at before hands move: the round of a live point, the
measurement categories, what to do with a point that failed. Nothing in them is to scale."""

from __future__ import annotations

from builder.drawing.lesson_drawing import Sketch

MOVE, NOT_YET, LIVE = "hands may move leads", "hands off, not yet", "hands off, live"

# The round of a live point: each step, and what hands may do while it is the last one done.
ROUND = (("standby", MOVE), ("leads in", MOVE), ("hands off", NOT_YET), ("output on", LIVE),
         ("read, write", LIVE), ("to zero", LIVE), ("standby", NOT_YET), ("near zero?", NOT_YET))


def steps_of(state: str) -> tuple[int, ...]:
    """The numbers of the steps in a state, from 1."""
    return tuple(n for n, (_, of) in enumerate(ROUND, 1) if of == state)


def live_round() -> str:
    """The order of a live point, with three states: hands may move leads before it and once the
    meter read near zero, never between."""
    d = Sketch(206,
               "The round of a live point: "
               + "; ".join(f"{n} {step}: {state}" for n, (step, state) in enumerate(ROUND, 1))
               + ". Hands may move leads again only when the meter was seen near zero.")

    def frame(x: float, y: float, wide: float, high: float, state: str) -> None:
        d.shaded(x, y, wide, high, 0.18 if state == LIVE else 0,
                 stroke_width=3 if state == LIVE else 1.2)
        if state == NOT_YET:
            d.hatched(x, y, wide, 7)
            d.hatched(x, y + high - 7, wide, 7)

    spots = [(4 + 86 * n, 6) for n in range(4)] + [(262 - 86 * n, 82) for n in range(4)]
    for n, ((x, y), (step, state)) in enumerate(zip(spots, ROUND, strict=True)):
        frame(x, y, 72, 42, state)
        d.words(x + 36, y + 25, f"{n + 1} {step}", bold=state == LIVE, size=10.5)
        if n < 3:
            d.arrow(x + 72, y + 21, x + 85, y + 21)
        elif n == 3:
            d.arrow(x + 36, y + 42, x + 36, 81)
        elif n < 7:
            d.arrow(x, y + 21, x - 13, y + 21)
    d.arrow(40, 82, 40, 49)
    d.words(46, 69, "yes: near zero", "start", size=10.5)
    for n, state in enumerate((MOVE, NOT_YET, LIVE)):
        y = 138 + 23 * n
        frame(4, y, 34, 18, state)
        steps = ", ".join(map(str, steps_of(state)))
        d.words(46, y + 13, f"{state}: {steps}", "start", bold=state == LIVE)
    return d.done()


def categories() -> str:
    """Which part of an installation each measurement category is about."""
    d = Sketch(172,
               "From the supply to what is plugged in: category IV, where the supply enters and "
               "before the main fuses; category III, the fixed wiring and its distribution board; "
               "category II, socket outlets and what is plugged into them. Surges from the supply "
               "meet less in their way towards category IV.")
    columns = ((4, "IV", ("supply enters,", "before the", "main fuses")),
               (120, "III", ("distribution", "board, fixed", "wiring")),
               (236, "II", ("sockets, and", "what is plugged", "into them")))
    for n, (x, name, lines) in enumerate(columns):
        d.shaded(x, 22, 100, 96, 0.18 - 0.07 * n, stroke_width=2.4 - 0.6 * n)
        d.words(x + 50, 46, name, bold=True, size=18)
        for row, line in enumerate(lines):
            d.words(x + 50, 70 + 15 * row, line)
        if n < 2:
            d.arrow(x + 100, 70, x + 115, 70)
    d.words(4, 13, "supply", "start")
    d.words(336, 13, "appliance", "end")
    d.arrow(300, 134, 40, 134)
    d.words(170, 150, "this way surges are higher, and more current")
    d.words(170, 165, "stands behind them")
    return d.done()


def failed_point() -> str:
    """From a reading outside its limits to what is written: questions to the bench first."""
    d = Sketch(304,
               "A reading is outside its limits. Write it down; source to zero and standby. Is the "
               "cause at the bench: range, lead, zero, misread? Yes: write the cause, put it "
               "right, read again; the new reading counts. No: read once more, keep both. Inside "
               "as well as outside: without a cause the worse reading counts. Outside again: try "
               "another standard or a meter known to be good. That one is out too: the bench is "
               "suspect, stop. That one is good: the point has failed; tell the supervisor on "
               "the same day, go on where it is safe.")

    def step(y: float, *lines: str, x: float = 4, wide: float = 178, bold: bool = False) -> None:
        d.box(x, y, wide, 14 * len(lines) + 12, rx=0 if bold else 9,
              stroke_width=2.2 if bold else 1.2)
        for n, line in enumerate(lines):
            d.words(x + wide / 2, y + 17 + 14 * n, line, bold=bold)

    def side(y: float, answer: str, *lines: str, bold: bool = False) -> None:
        d.arrow(182, y + 20, 225, y + 20)
        d.words(203, y + 15, answer)
        step(y, *lines, x=226, wide=110, bold=bold)

    step(4, "outside: write the reading;", "0 V, standby")
    step(62, "cause at the bench?", "range, lead, zero, misread")
    side(54, "yes", "write the cause;", "mend it, read", "again: that counts")
    step(124, "read once more;", "both readings stay")
    side(124, "inside", "no cause known:", "the worse counts")
    step(182, "other standard, or a meter", "known to be good: also out?")
    side(182, "yes", "stop: the bench", "is suspect", bold=True)
    step(244, "the point has failed", "tell it today; on where safe", bold=True)
    for y, end, answer in ((44, 62, ""), (102, 124, "no"), (164, 182, "outside"), (222, 244, "no")):
        d.arrow(93, y, 93, end)
        d.words(100, y + 13, answer, "start")
    return d.done()
