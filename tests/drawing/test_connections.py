"""Drawings of connections, measured: no lead near a label, a symbol, or an end that isn't its own;
no lead across another; each lead from the jack to the terminal that it should."""

import re
from itertools import combinations, pairwise, permutations
from math import dist
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import builder
from builder.drawing.connection_drawings import connection_picture
from builder.drawing.connections import Connection, Device, DrawnCoil, Link, in_words
from builder.drawing.svg import HOP
from builder.pages.page_styles import STYLE_FILES
from tests.drawing.connections_cases import (CASES, FULMAR, GANNET, PARALLEL, USUAL, WHOLE, ends,
                                             two)

# units, of which a millimetre has four: a lead's edge stays clear of letters and circles
MARGIN = 1.2
CSS = "\n".join((Path(builder.__file__).parent / "pages/assets" / name).read_text("utf-8")
                for name in STYLE_FILES)


class Seen:
    """A drawing taken apart."""

    def __init__(self, svg: str):
        root = ElementTree.fromstring(svg)
        self.wide, self.high = map(float, root.get("viewBox").split()[2:])
        self.texts, self.circles, self.leads, self.other, self.rects = [], [], [], [], []
        for one in root:
            kind = one.get("class", "")
            number = {name: float(value) for name,
                      value in one.attrib.items() if re.fullmatch(r"-?[\d.]+", value)}
            if one.tag == "text":
                width = 6.2 * len(one.text)
                x = number["x"] - (width / 2 if one.get("text-anchor") == "middle" else 0)
                self.texts.append((one.text, number["x"], number["y"], kind,
                                   (x, number["y"] - 7.5, x + width, number["y"] + 2.2)))
            elif one.tag == "circle":
                self.circles.append((number["cx"], number["cy"], number["r"], kind))
            elif one.tag == "rect":
                self.rects.append((number["x"], number["y"], number["x"] + number["width"],
                                   number["y"] + number["height"], kind))
            else:
                (self.leads if kind.startswith("lead")
                 else self.other).append((kind, flat(one.get("d"))))

    def label(self, x: float, y: float) -> set[str]:
        """What may be read beside a terminal, or over a jack, in bold; without spaces, since lines
        may break at them."""
        beside = sorted((ty, text) for text, tx, ty, kind,
                        _ in self.texts if abs(tx - x - 8) < .11 and kind == "bold")
        found = {"".join(text for _, text in beside[a:b]) for a in range(len(beside))
                 for b in range(a + 1, len(beside) + 1)
                 if abs((beside[a][0] + beside[b - 1][0]) / 2 - 3 - y) < .6}
        over, found_over = "", set()
        for n in range(4):
            line = [text for text, tx, ty, kind, _ in self.texts
                    if abs(tx - x) < .11 and abs(y - 9.5 - 11 * n - ty) < .2 and kind == "bold"]
            over = "".join(line) + over
            found_over.add(over)
        return {one.replace(" ", "") for one in found | found_over}


def flat(d: str) -> list[tuple[float, float]]:
    """A path's points, its curves in short pieces; arcs by their ends."""
    points = []
    for letter, numbers in re.findall(r"([MLQAlhz])([^MLQAlhz]*)", d):
        n = [float(one) for one in numbers.split()]
        if letter in "ML":
            points.append((n[0], n[1]))
        elif letter == "Q":
            (x, y), (cx, cy), (ex, ey) = points[-1], n[:2], n[2:]
            points += [((1 - t) ** 2 * x + 2 * t * (1 - t) * cx + t * t * ex,
                        (1 - t) ** 2 * y + 2 * t * (1 - t) * cy + t * t * ey)
                       for t in (.25, .5, .75, 1)]
        elif letter == "A":
            points.append((n[5], n[6]))
    return points


def sampled(points, step=1.5):
    for (ax, ay), (bx, by) in pairwise(points):
        pieces = max(1, int(dist((ax, ay), (bx, by)) / step))
        yield from ((ax + (bx - ax) * n / pieces, ay + (by - ay) * n / pieces)
                    for n in range(pieces + 1))


def to_box(point, box) -> float:
    (x, y), (left, top, right, bottom) = point, box
    return dist((x, y), (min(max(x, left), right), min(max(y, top), bottom)))


def apart(a, b, c, d) -> float:
    """How near two pieces of line come to each other."""
    def turn(p, q, r):
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])
    if turn(a, b, c) * turn(a, b, d) < 0 and turn(c, d, a) * turn(c, d, b) < 0:
        return 0.0

    def near(p, q, r):
        long = dist(q, r) ** 2
        t = (max(0, min(1, ((p[0] - q[0]) * (r[0] - q[0]) + (p[1] - q[1]) * (r[1] - q[1])) / long))
             if long else 0)
        return dist(p, (q[0] + t * (r[0] - q[0]), q[1] + t * (r[1] - q[1])))
    return min(near(a, c, d), near(b, c, d), near(c, a, b), near(d, a, b))


def measure(connection: Connection) -> Seen:
    """Draws it and holds every rule against it."""
    svg = connection_picture(connection)
    assert svg, "nothing was drawn"
    assert "\n" not in svg and len(svg.encode()) < 4096
    assert not re.search(r'\sid=|url\(|#|fill=|stroke=|style=|rgb',
                         re.sub(r"<text.*?</text>|aria-label=\"[^\"]*\"", "", svg))
    seen = Seen(svg)
    assert seen.wide == 248 and seen.high <= 128

    for text, *_, (_, top, _, bottom) in seen.texts:  # sideways, a browser measures below
        assert top >= 0 and bottom <= seen.high, text
    for left, top, right, bottom, _ in seen.rects:
        assert left >= .6 and top >= .6 and right <= seen.wide - .6 and bottom <= seen.high - .6
    for a, b in combinations(seen.texts, 2):
        assert not (a[4][0] < b[4][2] and b[4][0] < a[4][2] and a[4][1] < b[4][3] - .1
                    and b[4][1] < a[4][3] - .1), f"{a[0]} lies on {b[0]}"
    for a, b in combinations(seen.circles, 2):
        assert dist(a[:2], b[:2]) > a[2] + b[2] + 1

    leads_keep_clear(seen)
    leads_end_where_they_should(seen, connection)
    return seen


def hops_over(one, other) -> list[tuple[float, float]]:
    """The middles of the hops of one line, through which the other passes upright."""
    return [((a[0] + b[0]) / 2, a[1]) for a, b in pairwise(one)
            if a[1] == b[1] and abs(b[0] - a[0] - 2 * HOP) < .11
            and any(c[0] == d[0] and abs((a[0] + b[0]) / 2 - c[0]) < .11
                    and min(c[1], d[1]) + HOP < a[1] < max(c[1], d[1])
                    for c, d in pairwise(other))]


def crossings(svg: str) -> int:
    """The hops in a drawing."""
    return len(re.findall(rf"A{HOP} {HOP} 0 0 1 ", svg))


def leads_keep_clear(seen: Seen) -> None:
    """Of texts, of what they don't end at, and of one another."""
    for kind, points in seen.leads:
        for point in sampled(points):
            x, y = point
            assert 0 <= x <= seen.wide and 0 <= y <= seen.high
            for text, *_, (left, top, right, bottom) in seen.texts:
                assert (x < left - MARGIN or x > right + MARGIN or y < top - MARGIN
                        or y > bottom + MARGIN), f"{kind} passes {text}"
            for x, y, r, what in seen.circles:
                if dist((x, y), points[0]) > .2 and dist((x, y), points[-1]) > .2:
                    assert dist(point, (x, y)) > r + MARGIN, f"{kind} passes a {what}"
            for left, top, right, bottom, what in seen.rects:
                if what == "probe" and "warm" not in kind:
                    assert to_box(point, (left, top, right, bottom)) > MARGIN
    for (kind, one), (other, two_) in combinations(seen.leads, 2):
        shared = [p for p in (one[0], one[-1]) for q in (two_[0], two_[-1]) if dist(p, q) < .2]
        hops = [middle for x, y in ((one, two_), (two_, one)) for middle in hops_over(x, y)]
        for a, b in pairwise(one):
            for c, d in pairwise(two_):
                if not (any(min(dist(p, a), dist(p, b)) < .2 and min(dist(p, c), dist(p, d)) < .2
                            for p in shared)
                        or any(apart(a, b, p, p) < 5 and apart(c, d, p, p) < 5 for p in hops)):
                    assert apart(a, b, c, d) > 3, f"{kind} meets {other}"


def leads_end_where_they_should(seen: Seen, connection: Connection) -> None:
    """Each at its jack and its terminal, and the plugs there are filled."""
    wanted = [(f"lead {'high' if lead.high else 'low'}", lead.jack, lead.terminal)
              for lead in connection.leads]
    wanted += [(f"lead {'high' if link.high else 'low'}", link.terminal, link.other_terminal)
               for link in connection.links]
    if connection.coil:
        wanted += [("lead high", "", connection.coil.enters),
                   ("lead low", "", connection.coil.returns)]
    assert sum(kind != "lead warm" for kind, _ in seen.leads) == len(wanted)
    drawn = [(kind, points) for kind, points in seen.leads if kind != "lead warm"]
    for kind, a, b in wanted:
        a, b = (short(name) for name in (a, b))
        assert any(kind == drawn_kind
                   and ((not a or a in seen.label(*x)) and (not b or b in seen.label(*y)))
                   for drawn_kind, points in drawn
                   for x,
                   y in ((points[0], points[-1]),
                         (points[-1], points[0]))), f"no {kind} from {a} to {b}"
    filled = {(round(x), round(y)) for x, y, r, kind in seen.circles if kind == "plug" and r == 4}
    assert filled == {(round(x), round(y)) for _, points in drawn for x,
                      y in (points[0], points[-1])} & {
                          (round(x), round(y)) for x, y, *_ in seen.circles}


def short(name: str) -> str:
    return name.replace(" ", "")


@pytest.mark.parametrize("name", CASES)
def test_what_a_shop_meets(name):
    """Each of them is drawn, and keeps the rules."""
    measure(CASES[name])


@pytest.mark.parametrize("name", [
    name for name, one in CASES.items()
    if one.coil and "I HI" in (one.coil.enters, one.coil.returns)])
def test_a_source_keeps_the_order_of_its_terminals(name):
    """Also where the current goes through the coil the wrong way: then the ends cross once."""
    seen = measure(CASES[name])
    across = {text: x for text, x, *_ in seen.texts}
    assert across["I HI"] < across["I LO"]
    assert crossings(connection_picture(CASES[name])) == ("wrong way" in name)


@pytest.mark.parametrize("order", list(permutations(("10 A", "mA µA", "COM", "V Ω"))))
def test_jacks_in_any_order(order):
    """Whichever two jacks are in use, and wherever they stand."""
    gannet = Device("Gannet", "reference meter", ("HI", "LO"))
    for high, low in permutations(order, 2):
        measure(Connection(meter="Dunlin 60", jacks=order, dial="V DC", devices=(FULMAR,),
                           leads=two(high, low)))
        measure(Connection(meter="Dunlin 60", jacks=order, dial="V DC", devices=(FULMAR, gannet),
                           leads=two(high, low, high_at=1, low_at=1), links=PARALLEL))
        measure(Connection(meter="Dunlin 60", jacks=order, dial="mA", devices=(FULMAR, gannet),
                           leads=two(high, low, "LO", "LO", 1, 0),
                           links=(Link(0, "HI", 1, "HI", True),)))
        measure(Connection(meter="Dunlin 60", jacks=order, dial="°C", devices=(FULMAR,),
                           leads=two(high, low),
                           thermometer="Siskin"))
        measure(Connection(meter="Dunlin 60", jacks=order, dial="Ω", leads=ends(high, low),
                           together=True))
        measure(Connection(meter="Dunlin 60", jacks=order, dial="Ω", leads=ends(high, low)))


LABELS = st.text("AVmIMWLOΩµ10 /%°Hz<&", min_size=1,
                 max_size=8).map(lambda text: " ".join(text.split())).filter(bool)
NAMES = st.text("Dunlin Whimbrel 60 Ω-", min_size=1, max_size=40).map(str.strip).filter(bool)


def several(least, most):
    return st.lists(LABELS, min_size=least, max_size=most, unique_by=short).map(tuple)


@st.composite
def connections(draw):
    jacks = draw(several(3, 6))
    high, low = draw(st.permutations(jacks))[:2]
    name, note, dial = draw(NAMES), draw(st.sampled_from(["", "copper leads"])), draw(
        st.none() | NAMES)
    first, second = draw(
        st.tuples(*[st.builds(Device, NAMES, st.just("") | NAMES, several(2, 4))] * 2))
    a, b = draw(st.permutations(first.terminals))[:2]
    c, d = draw(st.permutations(second.terminals))[:2]
    leads = two(high, low, a, b)
    return draw(st.sampled_from([
        Connection(meter=name, jacks=jacks, dial=dial, devices=(first,), leads=leads, note=note),
        Connection(meter=name, jacks=jacks, dial=dial, devices=(first,), leads=leads, note=note,
                   thermometer=draw(NAMES)),
        Connection(meter=name, jacks=jacks, dial=dial, devices=(first, second), leads=leads,
                   links=(Link(0, a, 1, c, True), Link(0, b, 1, d, False))),
        Connection(meter=name, jacks=jacks, dial=dial, devices=(first, second),
                   leads=two(high, low, a, d, 0, 1),
                   links=(Link(1, c, 0, b, True),), note=note),
        Connection(meter=name, jacks=jacks, dial=dial, leads=ends(high, low),
                   together=draw(st.booleans()),
                   note=note),
        Connection(meter=name, jacks=jacks[:draw(st.integers(0, 6))], dial=dial, devices=(first,),
                   coil=DrawnCoil(draw(st.sampled_from([1, 10, 50, 1000])), 0, a, b), note=note),
    ]))


@settings(max_examples=150)
@given(connections())
def test_labels_of_any_length(connection):
    """Up to six jacks and labels of up to eight letters, names of up to forty."""
    measure(connection)


@pytest.mark.parametrize("connection", [
    Connection(meter="Dunlin 60", jacks=USUAL, dial="off"),
    Connection(meter="Dunlin 60", jacks=USUAL, dial="V", devices=(FULMAR,)),
    Connection(meter="Dunlin 60", jacks=USUAL, dial="V", devices=(FULMAR,), leads=two("V", "mV")),
    Connection(meter="Dunlin 60", jacks=USUAL, dial="V", devices=(FULMAR,),
               leads=two("V", "COM", "HI", "GUARD")),
    Connection(meter="Dunlin 60", jacks=USUAL, dial="V", devices=(FULMAR,),
               leads=two("V", "COM", "HI", "HI")),
    Connection(meter="Dunlin 60", jacks=USUAL, dial="V", devices=(FULMAR,), leads=two("V", "V")),
    Connection(meter="Dunlin 60", jacks=("V", "COM", "COM"), dial="V", devices=(FULMAR,),
               leads=two("V", "COM")),
    Connection(meter="Dunlin 60", jacks=USUAL, dial="V", devices=(FULMAR,),
               leads=two("V", "COM", high_at=1)),
    Connection(meter="Dunlin 60", jacks=USUAL, dial="V", devices=(FULMAR, FULMAR),
               leads=two("V", "COM")),
    Connection(meter="Dunlin 60", jacks=USUAL, dial="V", devices=(FULMAR, FULMAR),
               leads=two("V", "COM"), links=PARALLEL[:1]),
    Connection(meter="Dunlin 60", jacks=USUAL, dial="V", devices=(FULMAR, FULMAR),
               leads=two("V", "COM"),
               links=(PARALLEL[0], PARALLEL[0])),
    Connection(meter="Dunlin 60", jacks=USUAL, dial="V", devices=(FULMAR, FULMAR),
               leads=two("V", "COM", high_at=1),
               links=(PARALLEL[0],)),
    Connection(meter="Dunlin 60 C", jacks=(), dial="A", devices=(FULMAR,),
               coil=DrawnCoil(50, 0, "HI", "HI")),
    Connection(meter="Dunlin 60 C", jacks=(), dial="A", devices=(),
               coil=DrawnCoil(50, 0, "HI", "LO")),
], ids=str)
def test_rather_no_drawing_than_a_wrong_one(connection):
    """No leads, an end that doesn't exist or exists twice, a loop that isn't one: nothing is
    drawn."""
    assert connection_picture(connection) == ""


def test_the_terminals_not_in_use_are_hollow():
    """All four stand there, two filled."""
    seen = measure(CASES["four terminals"])
    assert [kind for x, *_, kind in seen.circles if x > 130] == ["plug", "plug", "hole", "hole"]


def column(seen: Seen, after: float = 90) -> list[str]:
    """The labels of the terminals at the right, from above to below."""
    return [text for text, x, y, _, _ in sorted(seen.texts, key=lambda one: one[2])
            if any(abs(x - cx - 8) < .11 and abs(y - 3 - cy) < 1.1 and cx > after
                   for cx, cy, r, _ in seen.circles)]


@pytest.mark.parametrize("first, second", list(permutations(WHOLE.terminals, 2)))
@pytest.mark.parametrize("jacks", [("COM", "V"), ("V", "COM")])
def test_terminals_keep_the_order_of_the_standard_s_file(jacks, first, second):
    """Whichever two are in use and however the jacks stand: leads cross instead, once where the
    orders ask for it and never else."""
    connection = Connection(meter="Dunlin 60", jacks=jacks, dial="V", devices=(WHOLE,),
                            leads=two("V", "COM", first, second))
    assert column(measure(connection)) == list(WHOLE.terminals)
    rightmost, other = (first, second) if jacks[-1] == "V" else (second, first)
    order = WHOLE.terminals.index
    assert crossings(connection_picture(connection)) == (order(rightmost) > order(other))


@pytest.mark.parametrize("jacks", [("COM", "V"), ("V", "COM")])
@pytest.mark.parametrize("into, out", list(permutations(GANNET.terminals, 2)))
def test_terminals_keep_their_order_in_a_loop(jacks, into, out):
    """The source's and the reference meter's alike."""
    connection = Connection(meter="Dunlin 60", jacks=jacks, dial="A",
                            devices=(WHOLE, GANNET), leads=two("V", "COM", out, "I LO", 1, 0),
                            links=(Link(0, "I HI", 1, into, True),))
    shown = column(measure(connection))
    # the source's HI and LO are drawn where there is room for them
    assert shown in ([*WHOLE.terminals, *GANNET.terminals], [*GANNET.terminals, *WHOLE.terminals],
                     ["I HI", "I LO", *GANNET.terminals], [*GANNET.terminals, "I HI", "I LO"])


@pytest.mark.parametrize("jacks", [("COM", "V"), ("V", "COM")])
@pytest.mark.parametrize("at", ["V", "COM"])
def test_the_thermometer_is_drawn_at_its_jack(jacks, at):
    """Its probe stands beside the jack that is named, and its line crosses no lead."""
    connection = Connection(meter="Dunlin 60", jacks=jacks, dial="°C", devices=(FULMAR,),
                            leads=two("V", "COM"), thermometer="Siskin", thermometer_at=at)
    seen = measure(connection)
    (probe,) = [(left + right) / 2 for left, _, right, _, kind in seen.rects if kind == "probe"]
    plugs = sorted(x for x, _, _, kind in seen.circles if kind == "plug" and x < 90)
    assert abs(probe - plugs[jacks.index(at)]) < 9.2
    assert crossings(connection_picture(connection)) == (jacks == ("V", "COM"))


def test_in_words():
    """The text alternative says the same."""
    assert in_words(CASES["current, mA"]) == "Leads: mA to I HI, COM to I LO of Fulmar."
    assert (in_words(
        CASES[
            "voltage compared"]) == "Leads: V to HI, COM to LO of Gannet. From Fulmar: HI to HI, "
            "LO to LO of Gannet.")
    assert (in_words(
        CASES[
            "current compared"]) == "Leads: mA to LO of Gannet, COM to I LO of Fulmar. From "
            "Fulmar: I HI to HI of Gannet.")
    assert in_words(
        CASES["together"]) == "Leads: V and COM, their other ends together, nothing else connected."
    assert (in_words(
        CASES[
            "thermocouple"]) == "Leads: V °C to HI, COM to LO of Fulmar. At the jack V °C: "
            "Siskin thermometer. Copper leads.")
    assert in_words(CASES["clamp"]) == (
        "Jaw: closed around the middle of the coil of 50 turns, current as the arrow shows. "
        "Coil: I HI and I LO of Fulmar. Leads: off the meter.")
    assert in_words(Connection(meter="Dunlin 60", jacks=USUAL)) == "Leads: off the meter."


def test_text_is_escaped():
    """Nothing that a file says becomes markup."""
    evil = '<b>"&'
    svg = connection_picture(Connection(meter=evil, jacks=(evil, "COM"), dial=evil,
                                        devices=(Device(evil, evil, (evil, "LO")),),
                                        leads=two(evil, "COM", evil),
                                        note=evil))
    ElementTree.fromstring(svg)
    assert "<b>" not in svg and "&lt;b&gt;&quot;&amp;" in svg


def test_print_size():
    """62 mm for 248 units: letters of 7 points and lines of 0.3 mm."""
    assert "svg.connection { width: 62mm;" in CSS
    rules = "\n".join(re.findall(r"svg\.connection .*", CSS))
    assert all(float(size) * 62 / 248 / 25.4 * 72 >= 7
               for size in re.findall(r"font: (\d+)px", rules))
    assert all(float(size) * 62 / 248 >= .3
               for size in re.findall(r"stroke-width: ([\d.]+)", rules))


@pytest.mark.browser
def test_letters_as_a_browser_sets_them(browser):
    """In two usual sans-serifs: no text over another, out of its box, or under a lead."""
    page = browser.new_page(viewport={"width": 360, "height": 800})
    for family in ("Liberation Sans", "DejaVu Sans"):
        page.set_content(
            f"<style>{CSS} svg.connection text {{ font-family: '{family}' }}</style><body>"
            + "".join(map(connection_picture, CASES.values())))
        assert page.evaluate("""() => {
          const wrong = [];
          const gap = (p, b) => Math.hypot(Math.max(b.x - p.x, 0, p.x - b.x - b.width),
                                           Math.max(b.y - p.y, 0, p.y - b.y - b.height));
          const meet = (a, b) => a.x < b.x + b.width && b.x < a.x + a.width
                                 && a.y < b.y + b.height - .2 && b.y < a.y + a.height - .2;
          const beyond = (t, b) => t.x < b.x + 1 || t.x + t.width > b.x + b.width - 1;
          for (const svg of document.querySelectorAll('svg.connection')) {
            const view = svg.viewBox.baseVal, texts = [...svg.querySelectorAll('text')].map(t => {
              const b = t.getBBox();
              return {said: t.textContent, x: b.x, width: b.width,
                      y: +t.getAttribute('y') - 7.5, height: 9.7};
            });
            const boxes = [...svg.querySelectorAll('rect.frame')].map(r => r.getBBox());
            texts.forEach((t, n) => {
              if (t.x < 0 || t.x + t.width > view.width) wrong.push(['outside', t.said]);
              const middle = {x: t.x + t.width / 2, y: t.y + 5};
              for (const b of boxes)
                if (gap(middle, b) === 0 && beyond(t, b)) wrong.push(['out of its box', t.said]);
              for (const o of texts.slice(n + 1)) if (meet(t, o)) wrong.push([t.said, o.said]);
            });
            for (const lead of svg.querySelectorAll('.lead'))
              for (let at = lead.getTotalLength(); at >= 0; at -= 2)
                for (const t of texts)
                  if (gap(lead.getPointAtLength(at), t) < 1.2) wrong.push(['lead', t.said]);
          }
          return wrong;
        }""") == []
    page.close()
