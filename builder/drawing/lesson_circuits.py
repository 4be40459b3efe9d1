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


def loading(source: str, inside: str, share: str) -> str:
    """A meter's own resistance beside what it measures: the two divide the voltage."""
    d = Sketch(140,
               f"A voltage behind {source}, and a meter of {inside} joined to it. The current that "
               f"the meter takes drops a part of the voltage inside the source: {share} are lost "
               "before the meter sees them.")
    d.box(4, 26, 132, 82, stroke_dasharray="4 3")
    d.circle(30, 67, 14)
    d.words(30, 71, "V", bold=True)
    d.path("M30 53V40H64M108 40H214V52M30 81V94H214V82")
    d.box(64, 34, 44, 12)
    d.words(86, 28 - 9, "what is measured")
    d.words(86, 60, source, bold=True)
    d.box(208, 52, 12, 30)
    d.box(186, 26, 150, 82, stroke_width=1.6)
    d.words(260, 19, "meter")
    d.words(228, 71, inside, "start", bold=True)
    for y in (40, 94):
        d.dot(186, y, False)
    d.words(170, 133, f"lost before the meter: {share}")
    return d.done()


def four_wires(value: str, lead: str) -> str:
    """Two leads bring the current, two others feel the voltage at the resistor itself."""
    d = Sketch(164,
               f"A resistor of {value} with four leads of {lead}. The outer two bring the current; "
               "what they drop lies outside of the inner two. The inner two feel the voltage at "
               "the resistor and carry hardly any current, so they drop nothing.")
    d.box(4, 10, 78, 128, stroke_width=1.6)
    for y, name in ((26, "I HI"), (56, "HI"), (92, "LO"), (122, "I LO")):
        d.words(40, y + 4, name)
        d.dot(82, y, False)
        d.line(82, y, 120, y, stroke_width=1.8 if "I" in name[:2] and " " in name else 1.2)
        d.box(120, y - 5, 60, 10)
        d.words(150, y - 9, lead, size=10)
    d.path("M180 26H268V56M180 122H268V92", stroke_width=1.8)
    d.path("M180 56H268M180 92H268")
    d.box(261, 60, 14, 28)
    d.path("M268 56V60M268 88V92")
    d.dot(268, 56)
    d.dot(268, 92)
    d.words(282, 78, value, "start", bold=True)
    d.words(200, 44, "current", "start")
    d.words(200, 74, "voltage", "start")
    d.words(170, 158, "the inner two begin at the resistor itself")
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
