"""The pictures of the lessons that show how things are joined, written or looked at; nothing in
them is to scale."""

from __future__ import annotations

from builder.drawing.lesson_drawing import Sketch


def two_leads(each: str, both: str, value: str, shown: str) -> str:
    """Two leads in the way of a two-wire reading."""
    d = Sketch(128,
               f"A meter joined by two leads to a resistor of {value}. Leads and contacts are up "
               f"to {both} together, so the meter reads up to {shown}.")
    d.box(4, 22, 78, 74, stroke_width=1.6)
    d.words(43, 54, "meter", bold=True)
    d.words(43, 70, "V and COM")
    for y in (36, 82):
        d.line(82, y, 130, y)
        d.box(130, y - 5, 70, 10)
        d.line(200, y, 262, y)
        d.dot(82, y, False)
        d.dot(262, y, False)
    d.words(165, 24, each)
    d.words(165, 102, each)
    d.line(262, 36, 286, 36)
    d.line(286, 36, 286, 44)
    d.box(279, 44, 14, 30)
    d.line(286, 74, 286, 82)
    d.line(286, 82, 262, 82)
    d.words(272, 63, value, "end", bold=True)
    d.words(170, 122, f"the meter sees leads and resistor: up to {shown}")
    return d.done()


def stray(value: str, between: str) -> str:
    """A small capacitor, and the capacitance of the leads beside it."""
    d = Sketch(126,
               f"A meter joined by two leads to a capacitor of {value}. The leads have up to "
               f"{between} between them, drawn dashed, which the meter reads too.")
    d.box(4, 22, 78, 74, stroke_width=1.6)
    d.words(43, 63, "meter", bold=True)
    for y in (36, 82):
        d.line(82, y, 286, y)
        d.dot(82, y, False)
    for x, dash in ((170, "3 3"), (286, "")):
        d.line(x, 36, x, 55, stroke_dasharray=dash)
        d.line(x - 12, 55, x + 12, 55, stroke_width=2.4)
        d.line(x - 12, 63, x + 12, 63, stroke_width=2.4)
        d.line(x, 63, x, 82, stroke_dasharray=dash)
    d.words(192, 56, "leads, up to", "start")
    d.words(192, 70, between, "start")
    d.words(286, 27, value, bold=True)
    d.words(170, 118, "both are charged together, so both are read")
    return d.done()


def current_path() -> str:
    """Where a current meter belongs, and where it never belongs."""
    d = Sketch(168,
               "Left: the meter stands in the line, so the current that flows anyway flows through "
               "its fuse. Right, crossed out: the current jacks straight "
               "across a voltage; the meter is nearly a short circuit, and the fuse must break "
               "whatever the source can drive.")
    for left, right in ((4, True), (178, False)):
        d.box(left, 34, 38, 64)
        d.words(left + 19, 62, "source")
        d.words(left + 19, 76, "of A" if right else "of V", bold=True)
        d.path(f"M{left + 19} 34V18H{left + 100}V30M{left + 19} 98V114H{left + 100}V102")
        d.box(left + 66, 30, 68, 72, stroke_width=1.6)
        d.words(left + 104, 95, "meter", "start", size=10.5)
        d.path(f"M{left + 100} 30V40M{left + 100} 68V80")
        d.box(left + 94, 40, 12, 28)
        d.words(left + 111, 58, "fuse", "start", size=10.5)
        d.words(left + 72, 134, "right" if right else "never", bold=True)
        d.words(left + 72, 149, "a set current flows" if right else "a voltage drives all")
        d.words(left + 72, 163, "through the meter" if right else "the current it can")
    d.line(182, 12, 318, 120, stroke_width=2)
    d.line(318, 12, 182, 120, stroke_width=2)
    return d.done()


def record_line(step: str, apply: str, limits: str, wrong: str, right: str) -> str:
    """A line of a sheet with a mistake that was put right so that it stays readable."""
    d = Sketch(112,
               f"A line of a sheet: step {step}, {apply}, accept {limits}. The first reading, "
               f"{wrong}, has one line through it and stays readable; beside it stand {right}, "
               "initials and date.")
    columns = ((2, 38, "Step", step), (40, 70, "Apply", apply), (110, 118, "Accept", limits),
               (228, 110, "Reading", ""))
    for x, width, head, cell in columns:
        d.shaded(x, 2, width, 18, 0.1)
        d.words(x + width / 2, 15, head)
        d.box(x, 20, width, 50)
        d.words(x + width / 2, 40, cell, bold=head == "Accept")
    d.words(283, 38, wrong, size=13, font_style="italic")
    d.line(252, 34, 314, 34, stroke_width=1.4)
    d.words(283, 54, right, size=13, font_style="italic")
    d.words(283, 66, "NK, date", size=10.5, font_style="italic")
    d.arrow(214, 92, 250, 42)
    d.words(4, 96, "one line through it, still readable:", "start")
    d.words(4, 109, "the new reading, initials and the date beside it", "start")
    return d.done()


def live_round() -> str:
    """The order of a live point: standby before hands, always."""
    steps = ("standby", "leads in", "hands off", "output on", "read, write", "to zero", "standby",
             "near zero?")
    d = Sketch(150,
               "The round of a live point: standby; leads in; hands off; output on; read and "
               "write; source to zero; standby; meter seen near zero. Only then hands near the "
               "leads again.")
    spots = [(4 + 86 * n, 18) for n in range(4)] + [(262 - 86 * n, 86) for n in range(4)]
    for n, ((x, y), step) in enumerate(zip(spots, steps, strict=True)):
        live = n in (3, 4, 5)
        d.shaded(x, y, 72, 32, 0.16 if live else 0, stroke_width=2.4 if live else 1.2)
        d.words(x + 36, y + 20, step, bold=live)
        if n < 3:
            d.arrow(x + 72, y + 16, x + 85, y + 16)
        elif n == 3:
            d.arrow(x + 36, y + 32, x + 36, 85)
        elif n < 7:
            d.arrow(x, y + 16, x - 13, y + 16)
    d.arrow(40, 86, 40, 51)
    d.words(170, 12, "hands may touch only where the frame is thin")
    d.words(170, 140, "thick frame: the leads are live")
    return d.done()


def inside() -> str:
    """The back of an opened meter, with the places to look at."""
    d = Sketch(212,
               "The back of an opened meter with numbered places: 1 seal and its groove, 2 battery "
               "and its springs, 3 fuses and their clips, "
               "4 jacks and their solder, 5 input protection, 6 the pads of the dial and the slots "
               "in the board.")

    def place(n: int, x: float, y: float) -> None:
        d.circle(x, y, 9, fill="currentColor", fill_opacity=0.14)
        d.words(x, y + 4, str(n), bold=True)

    d.box(70, 4, 200, 204, rx=14, stroke_width=2)
    d.box(78, 12, 184, 188, rx=9, stroke_width=0.8, stroke_dasharray="3 2")
    d.box(96, 24, 96, 40)
    d.words(120, 49, "−", size=14)
    d.words(166, 49, "+", size=14)
    for y in (84, 108):
        d.box(96, y, 60, 12)
        d.line(108, y, 108, y + 12, stroke_width=2.4)
        d.line(144, y, 144, y + 12, stroke_width=2.4)
    d.circle(214, 102, 24)
    d.circle(214, 102, 12, stroke_dasharray="3 3")
    for x in (206, 226):
        d.box(x - 6, 138, 12, 18)
    d.line(170, 134, 170, 160, stroke_width=3)
    for x in (106, 142, 198, 234):
        d.dot(x, 180, False, 9)
        d.dot(x, 180, True, 3)
    place(1, 70, 104)
    place(2, 143, 44)
    place(3, 172, 102)
    place(4, 124, 180)
    place(5, 186, 147)
    place(6, 214, 74)
    return d.done()
