"""The bench on the page: its arithmetic against the builder's, what happens at it, and its tasks in
a browser."""

from __future__ import annotations

import json
import random
from fractions import Fraction

import pytest

from builder.compute.exact.draw import Draw
from builder.numbers.units import decimal_text
from builder.pages import render
from builder.practice import simulated_bench, simulated_data
from builder.practice.fault_finding import KINDS
from builder.practice.simulated_meter import (GOOD, HiddenError, counts, good_errors, is_over,
                                              range_for, shown)
from tests.practice.simulated_cases import values

pytestmark = pytest.mark.browser
CASES = 10_000


@pytest.fixture(scope="module")
def page(browser, demo_shop):
    """An empty page with the bench's script, and the demo's data as `DATA`."""
    made = browser.new_page()
    for name in ("assets/elements.js", "assets/verdict.js", "assets/simulated_bench.js"):
        made.add_script_tag(content=render.served(name))
    made.evaluate("data => { window.DATA = data; }", simulated_data.data(demo_shop))
    yield made
    made.close()


# ---------------------------------------------------------------- arithmetic

def drawn(shop, draw: random.Random):
    """Functions of the shop, each with values, errors and moves: in Python's numbers."""
    for m, bench in enumerate(simulated_bench.meters(shop)):
        for f, one in enumerate(bench.functions):
            for place, applied, _ in values(one.view, draw, 150):
                small = [Fraction(draw.randint(-99_999, 99_999), 10 ** 6) for _ in range(2)]
                error = HiddenError(
                    gain=small[0] * draw.randint(0, 1), bow=small[1] * draw.randint(0, 1),
                    offset=one.ranges[place].step * draw.randint(-40, 40) / 8,
                    stuck=(draw.randint(0, 3), draw.randint(0, 9)) if draw.random() < .2 else None)
                yield m, f, one, place, applied, error, draw.randint(-300, 300)


def test_the_display_is_the_builders(page, demo_shop):
    """Ten thousand values at and beside every edge: counts, overload, the digits, and the range
    that an autoranging meter goes to from each."""
    draw = random.Random(2026)
    cases = draw.sample(list(drawn(demo_shop, draw)), CASES)
    expected, given = [], []
    for m, f, one, place, applied, error, moved in cases:
        minus = one.view.kind.shows_minus
        every = [counts(on=on, applied=applied, error=error, minus=minus, moved=moved)
                 for on in one.ranges]
        reading, on = every[place], one.ranges[place]
        expected.append([str(reading), is_over(on=on, reading=reading),
                         str(shown(reading=reading, error=error)),
                         range_for(ranges=one.ranges, here=place, readings=every)])
        given.append([m, f, place, decimal_text(applied), decimal_text(error.gain),
                      decimal_text(error.offset), decimal_text(error.bow),
                      list(error.stuck) if error.stuck else None, moved])
    found = page.evaluate("""text => {
        const X = Bench.rules.exact, S = Bench.simulated;
        const ranges = DATA.meters.map(m => m.functions.map(f => f.ranges.map(S.rangeOf)));
        const down = X.from(DATA.down);
        return JSON.parse(text).map(([m, f, place, x, gain, offset, bow, stuck, moved]) => {
            const error = {gain: X.from(gain), offset: X.from(offset), bow: X.from(bow), stuck};
            const minus = DATA.meters[m].functions[f].minus;
            const all = ranges[m][f].map(on => S.counts(on, X.from(x), error, minus, moved));
            return [String(all[place]), S.isOver(ranges[m][f][place], all[place]),
                    String(S.shown(all[place], error)), S.rangeFor(ranges[m][f], place, all, down)];
        });
    }""", json.dumps(given))
    assert [(case[2:], one) for case, one, said in zip(given, found, expected, strict=True)
            if one != said] == []


def test_a_seed_hides_the_same_error(page, demo_shop):
    """The same draws, so the same shares of the room of each range."""
    benches = simulated_bench.meters(demo_shop)
    for seed in (1, 7, 999_999):
        for m, bench in enumerate(benches):
            draw = Draw(seed, f"errors {bench.meter.meter}")
            own = [[[decimal_text(error.gain), decimal_text(error.offset)]
                    for error in good_errors(ranges=one.ranges, draw=draw)]
                   for one in bench.functions]
            assert page.evaluate("""([m, seed, good]) => {
                const {toText} = Bench.rules.exact, S = Bench.simulated;
                const draw = new S.Draw(seed, 'errors ' + DATA.meters[m].id);
                return DATA.meters[m].functions.map(f => S.goodErrors(f.ranges.map(S.rangeOf),
                    draw, good).map(e => [toText(e.gain), toText(e.offset)]));
            }""", [m, seed, GOOD]) == own


# Looks at points of a meter with a fault, each set up as it should be; a reading of corrected
# points less that of the leads. Gives which are within.
LOOK = """([m, places, fault, seed]) => {
    const meter = DATA.meters[m], state = Bench.makeBench(DATA, meter.id, seed, {fault});
    const read = {};
    const look = n => {
        const point = meter.points[n];
        if (point.less !== undefined && !read[point.less]) look(point.less);
        const why = Bench.benchSetUp(DATA, meter, state, point);
        state.operate();
        for (let n = 0; n < 3; n++) state.tick();
        const wrong = Bench.benchRow(DATA, meter, state, point);
        const {text} = state.display();
        const power = meter.functions[point.f].ranges[point.r].power;
        read[n] = {text, power, why, wrong, within: Bench.benchWithin(
            meter, point, text, point.less === undefined ? null : read[point.less])};
        if (state.isVoltage() || !state.isBox()) state.set({value: Bench.rules.exact.ZERO});
        state.standby();
        state.rest();
        for (let n = 0; n < 4; n++) state.tick();
    };
    places.forEach(n => read[n] || look(n));
    return {read: places.map(n => read[n]), events: state.events.map(e => e.code + e.what)};
}"""


def test_a_good_meter_is_within_all_limits_of_its_sheet(page):
    """Every point of every meter, set up and read as the page does it, with nothing happening on
    the way."""
    meters = page.evaluate("DATA.meters.map(m => m.points.length)")
    for m, size in enumerate(meters):
        for seed in (1, 2, 3):
            found = page.evaluate(LOOK, [m, list(range(size)), None, seed])
            assert found["events"] == []
            assert [one for one in found["read"]
                    if one["why"] or one["wrong"] or not one["within"]] == []


def test_every_kind_of_fault_shows(page):
    """One of each kind a meter: some point of its function is outside, and none that the fault
    doesn't touch."""
    meters = page.evaluate("DATA.meters.map(m => m.areas)")
    kinds = set()
    for m, areas in enumerate(meters):
        for area in areas:
            for fault in area["faults"]:
                if (m, fault["kind"]) in kinds or fault["kind"] == "none":
                    continue
                kinds.add((m, fault["kind"]))
                found = page.evaluate(LOOK, [m, area["points"], fault, 5])
                assert found["events"] == [], fault
                within = [one["within"] for one in found["read"]]
                assert not all(within), fault
                assert any(within) or fault["kind"] in ("whole", "digit", "fuse"), fault
    assert {kind for _, kind in kinds} == set(KINDS) - {"none"}


# ---------------------------------------------------------------- what happens

def happens(page, script: str, meter: str = "dunlin-60", **options) -> list[str]:
    """The codes of what a script does at a bench: `b` is the bench, `set` its source."""
    return page.evaluate("""([script, meter, options]) => {
        const X = Bench.rules.exact;
        const b = Bench.makeBench(DATA, meter, 1, options);
        const dial = name => b.turn(b.dials.findIndex(one => one.name === name));
        const gives = kind => b.give(b.standardNow().gives.findIndex(one => one.kind === kind));
        const stand = name => b.choose(b.standards.findIndex(one => one.name === name));
        const set = (value, hertz = '50') => b.set({value: X.from(value), hertz: X.from(hertz)});
        const wait = n => { while (n--) b.tick(); };
        stand('Fulmar');
        new Function('b, dial, gives, set, wait, stand', script)(b, dial, gives, set, wait, stand);
        return [...b.events.map(one => one.code), ...(b.ended ? ['ended'] : [])];
    }""", [script, meter, options])


VOLTS = "b.plug('V', 'HI'); b.plug('COM', 'LO'); "
LIVE = "dial('V AC'); gives('AC voltage');" + VOLTS + "set('230'); b.operate(); wait(3); "


@pytest.mark.parametrize("script, codes", [
    (LIVE + "set('0'); b.standby(); wait(2); b.unplug('V'); b.unplug('COM');", []),
    (LIVE + "b.unplug('V');", ["hand-live", "ended"]),
    (LIVE + "b.standby(); b.unplug('V');", ["hand-falling", "ended"]),
    (LIVE + "b.standby(); wait(5); b.unplug('V');", []),
    # never on the right function: it can't show that the voltage is gone
    ("dial('V DC'); gives('AC voltage');" + VOLTS
     + "set('230'); b.operate(); wait(3); b.standby(); wait(9); b.unplug('V');", ["hand-unseen"]),
    ("dial('V DC'); gives('AC voltage');" + VOLTS
     + "set('230'); b.operate(); wait(3); b.standby(); wait(9); b.secondInstrument();"
     "b.unplug('V');", []),
    (LIVE + "b.press('hold'); b.standby(); wait(9); b.unplug('V');", ["hand-unseen"]),
    (LIVE + "dial('V AC LoZ');", ["key-live", "drive"]),
    (LIVE + "b.press('range');", ["key-live"]),
    (LIVE + "dial('Ω');", ["key-live", "ohms", "ended"]),
    (LIVE + "set('601');", ["over", "ended"]),
    (LIVE + "set('540', '1000'); set('600', '20000');", []),
    ("dial('V DC');" + VOLTS + "set('601'); b.operate();", ["over", "ended"]),
    ("dial('V DC');" + VOLTS + "set('5'); b.operate(); b.unplug('V');", ["hand-on"]),
    ("dial('Ω');" + VOLTS + "set('5'); b.operate();", ["ohms-low"]),
    ("dial('mA DC'); b.plug('mA', 'HI'); b.plug('COM', 'LO'); set('5'); b.operate();", ["fuse"]),
    ("dial('V DC'); b.plug('10 A', 'HI'); b.plug('COM', 'LO'); set('230'); b.operate();",
     ["fuse"]),
    ("dial('mA DC'); b.plug('mA', 'HI'); b.plug('COM', 'LO'); set('0.5'); b.operate();", []),
    ("dial('mA DC'); gives('DC current'); b.plug('mA', 'I HI'); b.plug('COM', 'I LO');"
     "set('0.7'); b.operate();", ["fuse-current"]),
    ("dial('mA DC'); gives('DC current'); b.plug('V', 'I HI'); b.plug('COM', 'I LO');"
     "set('0.01'); b.operate();", ["no-way"]),
    ("dial('V AC LoZ'); gives('AC voltage');" + VOLTS + "set('230'); b.operate();", ["drive"]),
    (LIVE + "stand('Gannet R');", ["hand-live", "ended"]),
])
def test_what_goes_wrong_is_told(page, script, codes):
    """Hands, jacks, dial, rating and drive; and nothing where nothing went wrong."""
    assert happens(page, script) == codes


def test_a_standby_that_sticks_is_seen_on_the_display(page):
    """The display goes on showing the value; who looks takes the mains switch, who doesn't has a
    hand on a live lead."""
    assert happens(page, LIVE + "b.standby(); wait(9); b.unplug('V');", sticks=True) == [
        "hand-stuck", "ended"]
    assert happens(page, LIVE + "b.standby(); wait(9);"
                   "if (!(Number(b.display().text) > 200)) throw Error(b.display().text);"
                   "b.mainsOff(); wait(9); b.unplug('V');", sticks=True) == []


AMPS = ("dial('A DC'); gives('DC current'); b.plug('10 A', 'I HI'); b.plug('COM', 'I LO');"
        "b.press('range'); b.press('range'); set('2'); b.operate(); ")


@pytest.mark.parametrize("script, codes", [
    (AMPS + "wait(150);", []),                      # 30 s at most, a third of the pace
    (AMPS + "wait(151); wait(9);", ["too-long"]),
    (AMPS + "wait(9); b.standby(); wait(9); b.operate(); wait(2);", ["no-pause"]),
    (AMPS + "wait(9); set('0'); wait(9); set('1'); wait(2);", ["no-pause"]),
    (AMPS + "wait(9); b.standby(); wait(3000); b.operate(); wait(2);", []),  # 10 min
    (AMPS + "wait(9); b.standby(); b.rest(); b.operate(); wait(2);", []),
    (AMPS + "wait(9); b.rest(); wait(150);", ["too-long"]),     # no pause while it is on
    ("dial('V AC LoZ'); gives('AC voltage');" + VOLTS + "set('120'); b.operate(); wait(51);",
     ["too-long"]),                                 # 10 s at most
])
def test_time_limits_of_the_current_jacks(page, script, codes):
    """The file's times on and off; the pause goes by with time or with a key, and only in
    standby."""
    assert happens(page, script) == codes


@pytest.mark.parametrize("dial, ohms, given, read", [
    ("V DC", "1000000", "5", 5 * 10 / 11), ("V DC", "100000", "5", 5 * 100 / 101),
    ("V DC", "0", "5", 5), ("V DC", "1000000", "-5", -5 * 10 / 11)])
def test_a_voltage_behind_a_resistor_is_shared(page, dial, ohms, given, read):
    """By Rin/(Rs + Rin), with the 10 MΩ of the meter's file; a good meter is off by 0.4 % + 2
    counts at most."""
    text = page.evaluate("""([dial, ohms, given]) => {
        const X = Bench.rules.exact, b = Bench.makeBench(DATA, 'dunlin-60', 1);
        b.choose(b.standards.findIndex(one => one.name === 'Fulmar'));
        b.turn(b.dials.findIndex(one => one.name === dial));
        b.plug('V', 'HI'); b.plug('COM', 'LO'); b.putBehind(X.from(ohms));
        b.set({value: X.from(given)}); b.operate(); b.tick();
        return b.display().text;
    }""", [dial, ohms, given])
    assert abs(float(text) - read) <= 0.004 * abs(read) + 0.002


def test_typed_values_are_exact(page):
    """With units and prefixes; what is no value of the unit is none."""
    typed = {"3": "3", "3 V": "3", "3,5 mV": "0.0035", "−2.5kV": "-2500", ".5 V": "0.5",
             "5 A": None, "": None, "1e3": None, "0.1.2": None, "µV": None, "20 uV": "0.00002"}
    assert page.evaluate("""typed => typed.map(text => {
        const found = Bench.benchValue(text, 'V');
        return found && Bench.rules.exact.toText(found);
    })""", list(typed)) == list(typed.values())


def test_hold_relative_and_range_keys(page):
    """Hold keeps the text whatever is applied; relative takes off what was shown, on the range that
    it was shown on; the range key goes through the ranges, and back by itself."""
    assert page.evaluate("""() => {
        const X = Bench.rules.exact, b = Bench.makeBench(DATA, 'whimbrel-200', 1), said = [];
        const say = () => said.push(b.display().range.replace('\u00a0', ' ') + ' '
            + (b.display().text === 'OL' ? 'OL' : ''));
        b.turn(b.dials.findIndex(one => one.name === 'V DC'));
        b.choose(b.standards.findIndex(one => one.name === 'Fulmar'));
        b.plug('V', 'HI'); b.plug('COM', 'LO');
        b.set({value: X.from('3')}); b.operate(); b.tick(); say();
        b.press('range'); say(); b.press('range'); say();
        b.set({value: X.from('300')}); b.tick(); say();
        b.press('range'); b.press('range'); b.tick(); say(); b.press('auto'); b.tick(); say();
        b.set({value: X.from('3')}); b.tick(); b.press('hold');
        const held = b.display().text;
        b.set({value: X.from('4')}); b.tick();
        return [said, held === b.display().text];
    }""") == [["20 V ", "20 V ", "200 V ", "200 V OL", "200 mV OL", "1000 V "], True]


def test_relative_takes_off_what_was_shown(page):
    """The leads' own ohms, held together; the range stays as it was, and 0 Ω reads nothing."""
    first, then, ranges, after = page.evaluate("""() => {
        const b = Bench.makeBench(DATA, 'whimbrel-200', 4);
        b.turn(b.dials.findIndex(one => one.name === 'Ω'));
        b.choose(b.standards.findIndex(one => one.name === 'Gannet R'));
        b.plug('V', 'together'); b.plug('COM', 'together'); b.press('auto'); b.tick();
        const first = Number(b.display().text), before = b.display().range;
        b.press('relative');
        const then = Number(b.display().text);
        b.unplug('V'); b.unplug('COM'); b.plug('V', 'HI'); b.plug('COM', 'LO');
        b.pick(b.offerNow().values.findIndex(one => one.nominal === '100')); b.tick();
        const on = [before, b.display().range], apart = Number(b.display().text);
        b.pick(b.offerNow().values.findIndex(one => one.nominal === '1000')); b.tick();
        return [first, then, on, [apart, b.display().text]];
    }""")
    assert 0.05 < first < 0.3 and abs(then) <= 0.01
    assert ranges == ["200\u00a0Ω", "200\u00a0Ω"] and abs(after[0] - 100) < 0.3
    assert after[1] == "OL"     # 1 kΩ is past the range that relative holds


# ---------------------------------------------------------------- in a browser

PHONE = {"viewport": {"width": 360, "height": 640}, "is_mobile": True, "has_touch": True}


def opened(tab, served, kind: str, seed: int, meter: str = "dunlin-60", place: int | None = None,
           **context):
    page = tab(**PHONE | context)
    page.wrong = []
    page.on("pageerror", lambda error: page.wrong.append(str(error)))
    more = "" if place is None else f"&place={place}"
    page.goto(f"{served}practice/bench.html#meter={meter}&task={kind}&seed={seed}{more}")
    page.locator(".face .digits").wait_for()
    return page


def ticks(page, count: int = 3) -> None:
    page.evaluate("n => { while (n--) Bench.benchNow.tick(); }", count)


def set_source(page, **typed) -> None:
    for name, text in typed.items():
        field = page.get_by_label(name.capitalize(), exact=True)
        field.fill(text)
        field.press("Enter")


def test_a_fuse_burns_and_says_what_would_have_saved_it(tab, served):
    """On a phone, by taps: the lead in mA, 5 V on; then a new fuse, which needs the leads off."""
    page = opened(tab, served, "free", 2)
    page.get_by_role("button", name="V DC", exact=True).click()
    for key in ("Jack mA, free", "Terminal HI, free", "Jack COM, free", "Terminal LO, free"):
        page.get_by_role("button", name=key).click()
    set_source(page, value="5 V")
    page.get_by_role("button", name="Operate").click()
    alarm = page.get_by_role("alert").inner_text()
    assert "The fuse burned (630 mA, 700 V, 30 kA, fast)." in alarm
    assert "What would have saved it: Follow the leads" in alarm
    assert "Current without blowing fuses" in alarm
    page.get_by_role("button", name="Fit a fuse for mA").click()
    assert "Leads off" in page.locator(".told-now").inner_text()
    for jack in ("mA", "COM"):
        page.get_by_role("button", name=f"Jack {jack}, lead to").click()
    page.get_by_role("button", name="Fit a fuse for mA").click()
    assert page.get_by_role("button", name="Fit a fuse for mA").count() == 0
    assert page.evaluate("document.documentElement.scrollWidth") <= 360 and page.wrong == []


def test_time_on_runs_out_before_ones_eyes(tab, served):
    """Nobody does anything: after 10 s of the low-impedance input the source goes to standby, which
    is said and counted; its pause goes by with a key."""
    page = opened(tab, served, "free", 2)
    page.get_by_role("button", name="V AC LoZ").click()
    page.get_by_role("combobox", name="Gives").select_option(label="AC voltage")
    for key in ("Jack V, free", "Terminal HI, free", "Jack COM, free", "Terminal LO, free"):
        page.get_by_role("button", name=key).click()
    set_source(page, value="120 V")
    page.get_by_role("button", name="Operate").click()
    ticks(page, 12)
    assert "output on, 2 of 10 s" in page.locator(".face").inner_text()
    assert page.get_by_role("alert").inner_text() == ""
    ticks(page, 45)
    assert "may be on for at most 10 s" in page.get_by_role("alert").inner_text()
    pause = page.get_by_role("button", name="Let the pause go by")
    assert not page.evaluate("Bench.benchNow.state.on") and pause.is_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    pause.click()
    assert not pause.is_visible() and page.wrong == []


def test_a_hand_on_a_live_lead_ends_the_run(tab, served):
    """By the keyboard alone, on a desk: the display is read out, then the lead is touched."""
    page = opened(tab, served, "free", 3, viewport={"width": 1280, "height": 800}, is_mobile=False,
                  has_touch=False)
    def press(name: str) -> None:
        page.get_by_role("button", name=name).focus()
        page.keyboard.press("Enter")
    press("V AC LoZ")
    page.get_by_role("button", name="V AC", exact=True).focus()
    page.keyboard.press("Space")
    page.get_by_role("combobox", name="Gives").select_option(label="AC voltage")
    for key in ("Jack V, free", "Terminal HI, free", "Jack COM, free", "Terminal LO, free"):
        press(key)
    set_source(page, value="230 V")
    press("Operate")
    ticks(page, 4)
    said = page.locator(".heard[role=status]").inner_text()
    assert said.startswith("Display: 2") and "V, AC voltage, 600\u00a0V range." in said
    assert page.locator(".face .live").is_visible()
    press("Jack V, lead to HI")
    assert "You had a hand on a lead while 230\u00a0V at 50\u00a0Hz" in page.get_by_role(
        "alert").inner_text()
    assert "The run has ended" in page.locator(".the-end").inner_text()
    assert page.evaluate("Bench.benchNow.state.ended") and page.wrong == []


def test_a_fault_is_found(tab, served):
    """Points set up one after another, each listed once; the answer counts them beside halving."""
    page = opened(tab, served, "fault", 4, place=0)
    hidden = page.evaluate("Bench.benchNow.task.hidden")
    for n in (4, 7):
        page.get_by_role("combobox", name="Point", exact=True).select_option(value=str(n))
        page.get_by_role("button", name="Set it up").click()
        page.get_by_role("button", name="Operate").click()
        ticks(page)
        page.get_by_role("button", name="To zero").click()
        page.get_by_role("button", name="Standby").click()
        ticks(page)
    assert page.locator(".used li").count() == 2
    page.get_by_role("combobox", name="The fault is").select_option(value=hidden["kind"])
    if page.get_by_role("combobox", name="where").is_visible():
        page.get_by_role("combobox", name="where").select_option(label=hidden["said"])
    page.get_by_role("button", name="Check: I am sure").click()
    end = page.locator(".the-end").inner_text()
    assert f"Found. 2 points looked at; halving takes {hidden['halving']}." in end
    assert page.get_by_role("alert").inner_text() == "" and page.wrong == []


def test_every_kind_of_fault_is_named(tab, served):
    """Of each kind one task, by its number: named with its place, it is found; a good meter is
    good."""
    page = opened(tab, served, "fault", 1)
    tasks = page.evaluate("""() => {
        const {data} = Bench.benchNow, found = {};
        for (const meter of data.meters)
            for (let n = 0; n < meter.areas.length; n++)
                for (let seed = 1; seed < 40; seed++) {
                    const {hidden} = Bench.benchTask(data, meter.id, 'fault', seed, n);
                    found[hidden.kind] ||= [meter.id, n, seed, hidden];
                }
        return found;
    }""")
    assert set(tasks) == set(KINDS)
    for meter, place, seed, hidden in tasks.values():
        page.get_by_role("combobox", name="Meter").select_option(value=meter)
        page.get_by_role("combobox", name="Task").select_option(value="fault")
        page.get_by_role("combobox", name="Of").select_option(value=str(place))
        page.get_by_role("textbox", name="Number").fill(str(seed))
        page.get_by_role("button", name="Start").click()
        page.get_by_role("combobox", name="The fault is").select_option(value=hidden["kind"])
        where = page.get_by_role("combobox", name="where")
        if where.is_visible():
            where.select_option(label=hidden["said"])
        page.get_by_role("button", name="Check: I am sure").click()
        end = page.locator(".the-end").inner_text()
        assert end.startswith("Found. 0 points") and "without a mistake" in end, hidden
    assert page.wrong == []


def go_through(page, right: bool = True, most: int = 60) -> list[str]:
    """Does every step of a task as it should be done; returns what was said of each."""
    said = []
    while page.locator(".step .going").count() and len(said) < most:
        said.append(page.locator(".step").inner_text())
        if page.locator(".step .tick").count():
            text = page.locator(".step .tick").inner_text()
            _prepare(page, text)
            page.locator(".step input").click()
            continue
        page.evaluate("""() => {
            const {state, task, meter, data} = Bench.benchNow;
            const n = Number(/Step (\\d+)/.exec(document.querySelector('.step').innerText)[1]) - 1;
            const point = task.steps[n].row, offer = state.offerNow();
            if (point.kind === 'given' && offer.values)
                state.pick(offer.values.findIndex(one => one.nominal === point.sets));
            else if (point.kind === 'given') state.set({value: Bench.rules.exact.from(point.sets),
                ...(point.hertz && {hertz: Bench.rules.exact.from(point.hertz)})});
            const place = state.entryNow().places.indexOf(point.r);
            if (point.forced) while (state.hand !== place) state.press('range');
            state.tick(); state.tick();
            const less = task.steps[n].less;
            window.within = Bench.benchWithin(meter, point, state.display().text,
                less ? window.lead : null);
            if (point.kind !== 'given')
                window.lead = {text: state.display().text,
                               power: meter.functions[point.f].ranges[point.r].power};
        }""")
        page.locator(".step input.typed").fill(page.evaluate("Bench.benchNow.state.display().text"))
        within = page.evaluate("window.within") == right
        page.get_by_role("button", name="Within" if within else "Not within", exact=True).click()
        page.get_by_role("button", name="Check: I am sure").click()
    return said


def _prepare(page, step: str) -> None:
    page.evaluate("""text => {
        const {state, task, meter, data} = Bench.benchNow, zero = Bench.rules.exact.ZERO;
        const n = Number(/Step (\\d+)/.exec(document.querySelector('.step').innerText)[1]) - 1;
        const rows = [...task.steps.slice(n), ...task.steps].filter(step => step.row);
        const point = rows.map(step => step.row).find(one => one.kind === 'given');
        const jacks = meter.functions[point.f].ranges[point.r].jacks;
        const off = () => state.leads.map(one => one.jack).forEach(jack => state.unplug(jack));
        if (/to 0 |0 [VA], standby/.test(text)) state.set({value: zero});
        if (/standby/.test(text)) state.standby();
        if (/dial/.test(text)) {
            Bench.benchSetUp(data, meter, state, point);
            state.set({value: zero});
        }
        if (/far ends/.test(text)) {
            off();
            jacks.forEach(jack => state.plug(jack, /together/.test(text) ? 'together' : 'apart'));
        }
        if (/ to .* of /.test(text)) {
            off();
            jacks.forEach((jack, n) => state.plug(jack, state.offerNow().terminals[n]));
        }
        if (/relative on/.test(text)) { state.tick(); state.press('relative'); }
        if (/hold off/.test(text) && state.relative) state.press('relative');
        if (/Pause/.test(text)) state.rest();
        if (/output on/.test(text)) state.operate();
        if (/near zero/.test(text)) for (let n = 0; n < 5; n++) state.tick();
    }""", step)


@pytest.mark.parametrize("place, seed", [(0, 1), (7, 2)], ids=["leads taken off", "live"])
def test_a_whole_group_is_done(tab, served, place, seed):
    """Each step ticked while it holds, each reading judged; no event."""
    page = opened(tab, served, "group", seed, place=place)
    steps = go_through(page)
    assert "Done, without a mistake." in page.locator(".the-end").inner_text()
    assert page.get_by_role("alert").inner_text() == "" and page.wrong == []
    if place == 7:
        assert any("Hands: keep off" in one for one in steps)
        assert "Meter: seen near zero" in steps[-1]


def test_a_whole_sheet_is_done(tab, served):
    """Its groups one after another, in the sheet's order, each closed before the next begins."""
    page = opened(tab, served, "sheet", 1, meter="turnstone-c")
    groups = page.evaluate("Bench.benchNow.meter.groups.map(one => one.title)")
    steps = go_through(page, most=200)
    assert list(dict.fromkeys(step.splitlines()[0].partition(": ")[2] for step in steps)) == groups
    assert len(groups) > 2 and "Done, without a mistake." in page.locator(".the-end").inner_text()
    assert page.get_by_role("alert").inner_text() == "" and page.wrong == []


def test_what_is_not_so_can_not_be_ticked(tab, served):
    """A tick that doesn't hold, a reading that isn't shown and a wrong verdict are told, and
    counted."""
    page = opened(tab, served, "group", 1, place=4)
    page.evaluate("Bench.benchNow.state.set({value: Bench.rules.exact.from('5')})")
    page.locator(".step input").click()
    assert "it is not set to zero" in page.get_by_role("alert").inner_text()
    assert not page.locator(".step input").is_checked()
    page.get_by_role("button", name="Go on").click()
    go_through(page, right=False)
    assert "mistakes" in page.locator(".the-end").inner_text() and page.wrong == []


def test_a_value_is_read(tab, served):
    """Covered at the source; with its unit, as the display shows it."""
    page = opened(tab, served, "read", 5)
    assert page.locator(".covered").is_visible() and not page.get_by_label(
        "Value", exact=True).count()
    page.evaluate("""() => {
        const {state, task, meter} = Bench.benchNow, point = task.point, value = state.value;
        const on = meter.functions[point.f].ranges[point.r];
        state.turn(state.dials.findIndex(one => one.entries.some(
            at => at.f === point.f && at.places.includes(point.r))));
        state.leads.map(one => one.jack).forEach(jack => state.unplug(jack));
        on.jacks.forEach((jack, n) => state.plug(jack, state.offerNow().terminals[n]));
    }""")
    page.get_by_role("button", name="Operate").click()
    ticks(page)
    typed, check = page.get_by_label("Reading with its unit"), page.get_by_role(
        "button", name="Check: a guess")
    text, unit = page.evaluate("(d => [d.text, d.unit])(Bench.benchNow.state.display())")
    typed.fill(text)
    check.click()
    assert "With its unit" in page.locator(".told-now").inner_text()
    typed.fill(f"{text} {unit}")
    check.click()
    end = page.locator(".the-end")
    assert f"Right: {text.replace('-', '−')} {unit}." in end.inner_text()
    assert "not learned yet" in end.inner_text()
    (kept,) = page.evaluate("Bench.memory.all()")
    assert (kept["kind"], kept["right"], kept["sure"]) == ("bench-read", True, False)
    page.get_by_role("button", name="Number 6").click()     # the next one is begun
    assert page.evaluate("Bench.benchNow.task.seed") == 6 and page.wrong == []


@pytest.mark.parametrize("put_back", [True, False])
def test_what_was_there_before_the_meter(tab, served, put_back):
    """Behind a resistor: the voltage without the meter is right, what the display shows is not."""
    page = opened(tab, served, "share", 2)
    facts = page.evaluate("""() => {
        const {state, task, meter} = Bench.benchNow, point = task.point, X = Bench.rules.exact;
        const one = meter.functions[point.f], on = one.ranges[point.r];
        state.turn(state.dials.findIndex(one => one.entries.some(
            at => at.f === point.f && at.places.includes(point.r))));
        state.leads.map(one => one.jack).forEach(jack => state.unplug(jack));
        on.jacks.forEach((jack, n) => state.plug(jack, state.offerNow().terminals[n]));
        state.operate(); state.tick(); state.tick();
        const {text, unit} = state.display();
        return {read: Number(text), unit, behind: Number(task.behind), inside: Number(one.ohms)};
    }""")
    before = facts["read"] * (1 + facts["behind"] / facts["inside"])
    page.get_by_label("Without the meter").fill(
        f"{before if put_back else facts['read']:.4f} {facts['unit']}")
    page.get_by_role("button", name="Check: I am sure").click()
    assert page.locator(".the-end").inner_text().startswith(
        "Right: it was" if put_back else "Done, with 1 mistake.")
    (kept,) = page.evaluate("Bench.memory.all()")
    assert (kept["kind"], kept["right"], kept["mistake"], kept["sure"]) == (
        "bench-share", put_back, "" if put_back else "bench-lost-share", True)
    if not put_back:
        link = page.get_by_role("alert").get_by_role("link")
        assert link.get_attribute("href").endswith("lessons/loading.html")
    assert page.wrong == []


def test_a_group_with_pauses_is_done(tab, served):
    """The steps of a range that may be on for a short time only have its pause between rows."""
    page = opened(tab, served, "group", 1)
    place = page.evaluate("""() => Bench.benchNow.meter.groups.findIndex(group =>
        group.points.some(n => {
            const point = Bench.benchNow.meter.points[n];
            return Bench.benchNow.meter.functions[point.f].ranges[point.r].off;
        }))""")
    page = opened(tab, served, "group", 3, place=place)
    steps = go_through(page)
    assert any("Pause: " in one and " with the output off" in one for one in steps)
    assert "Done, without a mistake." in page.locator(".the-end").inner_text()
    assert page.get_by_role("alert").inner_text() == "" and page.wrong == []


def test_a_task_is_printed_for_a_class(tab, served):
    """The page on paper: what to choose on it, and no bench."""
    page = opened(tab, served, "group", 7, place=1)
    title = page.evaluate("Bench.benchNow.task.title")
    said, others = page.locator(".task-said"), page.locator(".bench-stage, .bench-ask")
    assert not said.is_visible() and others.first.is_visible()
    page.emulate_media(media="print")
    assert not any(others.nth(n).is_visible() for n in range(others.count()))
    assert said.inner_text() == (
        f"Choose: Dunlin 60, A whole group of the sheet, {title}, number 7.")


def test_it_works_from_a_folder_and_remembers(tab, demo):
    """No server, no request: a task begins, ends, and is kept on the device with its mistake."""
    page = tab(**PHONE)
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(f"{(demo.site / 'practice/bench.html').as_uri()}#meter=turnstone-c&task=fault&seed=1")
    page.locator(".face .digits").wait_for()
    page.get_by_role("combobox", name="The fault is").select_option(
        value=page.evaluate("Bench.benchNow.task.area.faults.find("
                            "one => one.kind !== Bench.benchNow.task.hidden.kind).kind"))
    page.get_by_role("button", name="Check: I am sure").click()
    assert "0 points looked at; halving takes" in page.locator(".the-end").inner_text()
    (kept,) = page.evaluate("Bench.memory.all()")
    assert (kept["kind"], kept["right"], kept["mistake"], kept["seed"]) == (
        "bench-fault", False, "bench-wrong-fault", 1)
    assert all(url.startswith("file:") for url in asked)
