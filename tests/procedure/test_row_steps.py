"""The order of rows, and what stands between them: no key is pressed and no polarity turned under a
hazardous voltage, whatever the plan. Every sheet is played through by a bench of its own, which
knows nothing of how the lines were chosen."""

import random
from dataclasses import replace

import pytest

from builder.procedure import groups
from builder.procedure.row_steps import NO_START
from builder.procedure.sentences import SENTENCES
from tests.small_shop import (coil, function, load, load_points, load_with, meter, plan, range_,
                              reference, row, standard, the_procedure)

VOLTS = function("DC voltage", range_("6 V", "1 mV", "1 %"), range_("60 V", "10 mV", "1 %"),
                 range_("600 V", "0.1 V", "1 %"), range_("1000 V", "1 V", "1 %"))
BAND = [row("1 %", frequency="40 Hz to 1 kHz")]
AC = function("AC voltage", range_("6 V", "1 mV", BAND), range_("60 V", "10 mV", BAND),
              range_("600 V", "0.1 V", BAND), range_("1000 V", "1 V", BAND))
HERTZ = function("frequency", range_("100 Hz", "10 mHz", "1 %"), range_("1 kHz", "0.1 Hz", "1 %"),
                 range_("10 kHz", "1 Hz", "1 %"), display="10000 counts")
SKUA = reference(("DC voltage", {"values": "0 V to 1000 V", "resolution": "1 mV",
                                 "within": "0.01 %"}))
OFF = ("source-standby", "supply-off", "standby")
ON = ("source-on", "supply-on", "source-on-for", "supply-on-for")


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


def codes(steps) -> list[str]:
    return [step.code for step in steps]


def lines(group) -> list[list[str]]:
    return [[plain(one) for one in p.before] for p in group.points]


# ---------------------------------------------------------------- a bench that plays a sheet

class PlayedBench:
    """A meter and a source, as the ticked steps leave them."""

    def __init__(self):
        self.on, self.at_zero, self.hands_off = False, True, False
        self.selected, self.seen = None, True    # the range by hand, or None for automatic
        self.sign = 0

    def tick(self, step) -> None:
        facts = dict(step.facts)
        if step.code in OFF:
            self.on, self.at_zero, self.hands_off = False, True, False
        elif step.code in ON:
            self.on = True
        elif step.code == "source-zero":
            self.at_zero = True
        elif step.code == "hands-off":
            self.hands_off = True
        elif step.code in ("source-turn", "supply-turn"):
            assert self.at_zero
            self.sign = 0
        elif step.code in ("range-select", "range-automatic"):
            assert not self.on and not self.hands_off, "a key under voltage"
            self.selected = facts.get("range")
            self.seen = self.selected is None
        elif step.code == "range-seen":
            assert facts["range"] == self.selected and not self.on
            self.seen = True

    def apply(self, point, manual: bool, live: bool) -> None:
        """A row: in a live group everything must stand already; else the row's own words select
        the range."""
        wanted = point.range if point.forced or manual else None
        if not live:
            self.selected = wanted
            return
        sign = (point.planned.applied > 0) - (point.planned.applied < 0)
        assert self.on and self.hands_off and self.seen
        assert wanted == self.selected, (point.step, wanted, self.selected)
        assert not sign * self.sign < 0, "turned without passing zero"
        self.sign, self.at_zero = sign, False


def play(procedure) -> tuple[int, int]:
    """How many live rows were on a range by hand, and how many lines stood before rows."""
    bench, chosen, between = PlayedBench(), 0, 0
    title = None
    for group in procedure.groups:
        if not group.points:
            continue
        one = group.points[0].planned.function
        if not one.table.autoranging or (title is not None and title[1]):
            bench.selected = None   # the dial leads to another function, or its ranges to none
        title = one.title, not one.table.autoranging
        manual = not one.table.autoranging and len(one.table.ranges) > 1
        bench.sign = 0
        for step in group.steps_before:
            bench.tick(step)
        assert group.points[0].steps_before == ()    # those of the first row open the group
        for point in group.points:
            for step in point.steps_before:
                bench.tick(step)
            bench.apply(point, manual, group.live)
            between += bool(point.steps_before)
            chosen += group.live and bool(point.forced or manual)
        for step in group.steps_after:
            bench.tick(step)
        if group.live:
            rows = [p.planned.volts for p in group.points if p.forced or manual]
            assert rows == sorted(rows), "lower on a range by hand after higher"
    return chosen, between


def random_points(rng, kind: str, ranging: str) -> list[dict]:
    """Observations, which no rule about limits refuses."""
    made = {}
    for _ in range(rng.randint(2, 9)):
        name = rng.choice(("60 V", "600 V", "1000 V"))
        volts = rng.randint(12, int(name[:-2]) * 9 // 10)
        one = {"apply": f"{volts * rng.choice((1, 1, -1))} V"}
        if kind == "frequency":
            name = rng.choice(("1 kHz", "10 kHz"))
            one = {"apply": f"{rng.randint(50, 900)} Hz",
                   "level": f"{rng.choice((3, 50, 200, 900))} V"}
        elif kind == "AC voltage":
            one = {"apply": f"{volts} V", "frequency": f"{rng.choice((50, 400, 1000))} Hz"}
        if ranging == "manual":
            one["range"] = name
        elif rng.random() < 0.4:
            one["force_range"] = name
        made[tuple(one.values())] = {"function": kind, "observe": "x"} | one
    return list(made.values())


@pytest.mark.parametrize("seed", range(2))
def test_no_live_row_follows_another_without_its_lines(seed, tmp_path):
    """Random plans of random functions, automatic and by hand: played row by row, no range is
    selected while the output is on, none is on without having been seen, polarity goes through
    zero, and on ranges by hand the voltage only rises."""
    rng, chosen, between = random.Random(seed), 0, 0
    for n in range(15):
        functions, points = [], []
        for one in rng.sample((VOLTS, AC, HERTZ), 2):
            ranging = rng.choice(("automatic", "manual"))
            functions.append(one | {"ranging": ranging})
            points += random_points(rng, one["function"], ranging)
        left_out = [{"function": f["function"], "because": "x"} for f in functions]
        shop = load(tmp_path / str(n), meter(*functions), plan(*points, left_out=left_out))
        by_hand, lines_ = play(the_procedure(shop))
        chosen, between = chosen + by_hand, between + lines_
    assert chosen > 40 and between > 30, (chosen, between)


# ---------------------------------------------------------------- by hand

def live_groups(folder, one, *points, **more):
    return [g for g in the_procedure(load_points(folder, one, *points, **more)).groups if g.live]


def test_a_range_by_hand_comes_first_and_is_left_in_standby(tmp_path):
    """200 V on the 1000 V range by hand, then what the meter chooses: selected and seen before the
    hands are off, with one line back to automatic."""
    (group,) = live_groups(tmp_path, AC, {"apply": ["100 V", "900 V"], "frequency": "50 Hz"},
                           {"apply": "200 V", "frequency": "1 kHz", "force_range": "1000 V"})
    assert [plain(p.apply) for p in group.points] == ["200 V", "100.0 V", "900 V"]
    assert [plain(one) for one in group.opening[-5:]] == [
        "Range: select 1000 V by hand", "Display: see the 1000 V range, decimals as in 0 V",
        "Source: output isolated from earth, no strap from LO to earth", "Hands: keep off",
        "Source: output on"]
    assert lines(group) == [
        [], ["Source: 0 V, standby", "Range: automatic", "Hands: keep off", "Source: output on"],
        []]


def test_what_ends_higher_comes_last(tmp_path):
    """The rows by hand stand behind the others where theirs is the highest voltage."""
    (group,) = live_groups(tmp_path, AC, {"apply": "100 V", "frequency": "50 Hz"},
                           {"apply": ["500 V", "200 V"], "frequency": "50 Hz",
                            "force_range": "1000 V"})
    assert [plain(p.apply) for p in group.points] == ["100.0 V", "200 V", "500 V"]
    assert lines(group)[1] == [
        "Source: 0 V, standby", "Range: select 1000 V by hand",
        "Display: see the 1000 V range, decimals as in 0 V", "Hands: keep off", "Source: output on"]
    assert not lines(group)[2] and not [one for one in group.opening if one.startswith("Range")]


def test_a_manual_function_rises_over_its_ranges(tmp_path):
    """Each change of the range has its line, and the first range is selected in the opening."""
    (group,) = live_groups(tmp_path, VOLTS | {"ranging": "manual"},
                           {"range": "1000 V", "apply": ["300 V", "900 V"]},
                           {"range": "600 V", "apply": ["200 V", "500 V"]})
    assert [plain(p.apply) for p in group.points] == ["200.0 V", "300 V", "500.0 V", "900 V"]
    assert [codes(p.steps_before)[1:3] for p in group.points] == [
        [], *[["range-select", "range-seen"]] * 3]
    assert "range-select" in codes(group.steps_before)
    assert "range-by-hand" not in codes(group.steps_before)


def test_one_range_alone_needs_no_key(tmp_path):
    """A manual function with a single range has nothing to select."""
    one = function("DC voltage", range_("1000 V", "1 V", "1 %"), ranging="manual")
    (group,) = live_groups(tmp_path, one, {"apply": ["200 V", "900 V"]})
    assert lines(group) == [[], []]
    assert not [code for code in codes(group.steps_before) if code.startswith("range")]


def test_polarity_turns_once_through_zero(tmp_path):
    """All of one polarity, then all of the other, with one line between them."""
    (group,) = live_groups(tmp_path, VOLTS, {"apply": ["100 V", "-100 V", "900 V", "-900 V"]})
    assert [plain(p.apply) for p in group.points] == ["100.0 V", "900 V", "−100.0 V", "−900 V"]
    assert lines(group) == [[], [], ["Source: to 0 V", "Source: turn the polarity"], []]


def test_low_voltages_have_no_lines(tmp_path):
    """Where nothing is hazardous the rows say by hand, last, and no line stands between them."""
    (group,) = the_procedure(load_points(tmp_path, VOLTS, {"apply": ["3 V", "-3 V"]},
                                         {"apply": "20 V", "force_range": "600 V"})).groups
    assert lines(group) == [[], [], []] and group.points[-1].forced
    assert group.steps_before[-2].code == "range-mixed"


def test_a_supply_is_switched_off(tmp_path):
    """Where a reference meter stands beside, it is the supply that is off meanwhile."""
    more = {"compare_on": "a bench supply"}
    (group,) = live_groups(tmp_path, VOLTS, {"apply": "100 V"} | more,
                           {"apply": "-100 V"} | more,
                           {"apply": "400 V", "force_range": "1000 V"} | more, standards=[SKUA])
    off_on = ["supply-off", "hands-off", "supply-on"]
    assert [codes(p.steps_before) for p in group.points] == [
        [], [off_on[0], "supply-turn", *off_on[1:]],
        [off_on[0], "range-select", "range-seen", "supply-turn", *off_on[1:]]]


# ---------------------------------------------------------------- pauses

def timed(name: str, resolution: str, on: str, off: str = "", **more) -> dict:
    return range_(name, resolution, more.pop("accuracy", "1 %"), on_at_most=on,
                  **({"off_at_least": off} if off else {}), **more)


DC_AMPS = function("DC current", range_("6 A", "1 mA", "1 %"),
                   timed("10 A", "10 mA", "30 s", "600 s"), jacks=["A", "COM"])
AC_AMPS = function("AC current", range_("6 A", "1 mA", BAND),
                   timed("10 A", "10 mA", "60 s", "300 s", accuracy=BAND), jacks=["COM", "A"],
                   confirmed="COM stands first here")
LOZ = function("AC voltage", range_("60 V", "10 mV", BAND),
               timed("600 V", "0.1 V", "10 s", "120 s", accuracy=BAND), name="low impedance")
CLAMP = {"function": "AC current", "clamp": "yes", "name": "clamp", "ranges": [
    range_("60 A", "10 mA", BAND), timed("600 A", "0.1 A", "90 s", accuracy=BAND)]}
COIL = coil(on_at_most="60 s", off_at_least="180 s", highest="20 A")


class Clock:
    """Plays a sheet with a watch: a row takes as long as it may, a line no longer than its pause.
    It reads the data of the sheet and the files' own limits, by what carries the current."""

    def __init__(self, coil_limit: tuple | None):
        self.coil_limit, self.now, self.is_on = coil_limit, 0, False
        self.since: dict[tuple, tuple[int, int]] = {}    # when it went on, how long it must rest
        self.rested: dict[tuple, tuple[int, int]] = {}   # when it went off, how long it must rest

    def limits(self, point) -> dict[tuple, tuple[int, int]]:
        given = point.planned.function.model_of[point.planned.range]
        found = {}
        if given.on_at_most:
            found[("input", frozenset(point.planned.function.jacks(point.planned.range)))] = (
                int(given.on_at_most.value),
                int(given.off_at_least.value) if given.off_at_least else 0)
        if point.planned.supply.coil is not None and self.coil_limit:
            found[("coil",)] = self.coil_limit
        return found

    def off(self) -> None:
        self.rested |= {what: (self.now, rest) for what, (_, rest) in self.since.items()}
        self.since, self.is_on = {}, False

    def row(self, point, data) -> None:
        limits = self.limits(point)
        if any(code in OFF for code in data.before_steps):
            self.off()
        if self.is_on:
            assert set(self.since) == set(limits), (point.step, "changes under time")
            self.now += 20
        else:
            self.now += 1 + int(data.pause.number if data.pause else 0)
            for what, (_, rest) in limits.items():
                went_off, needs = self.rested.get(what, (0, 0))
                assert self.now - went_off >= needs, (point.step, "rested too short")
                self.since[what] = self.now, rest
            self.now, self.is_on = self.now + 10, True
        for what, (most, _) in limits.items():
            assert self.now - self.since[what][0] <= most, (point.step, "on too long")


def watch(procedure, coil_limit=None) -> int:
    """The number of pauses."""
    clock, pauses = Clock(coil_limit), 0
    data = {p.step: p for p in procedure.sheet_data.points}
    for group in procedure.groups:
        for point in group.points:
            clock.row(point, data[point.step])
            pauses += data[point.step].pause is not None
            if point is group.points[0] and data[point.step].pause:
                assert "pause" in codes(group.steps_before)
        clock.off()
    return pauses


@pytest.mark.parametrize("seed", range(3))
def test_no_time_limit_is_broken(seed, tmp_path):
    """Random plans of functions that share a shunt, an input with a limit and a coil with another,
    watched row by row."""
    rng, pauses = random.Random(seed), 0
    for n in range(12):
        points, functions = {}, rng.sample((DC_AMPS, AC_AMPS, LOZ, CLAMP), 3)
        for one in functions:
            title = one.get("name", one["function"])
            for _ in range(rng.randint(1, 5)):
                value, unit = rng.randint(4, 54), "V" if one is LOZ else "A"
                if one is CLAMP:
                    value *= rng.choice((1, 10))
                elif one is LOZ:
                    value *= rng.choice((1, 9))
                else:
                    value = rng.randint(1, 9)
                given = {"apply": f"{value} {unit}", "observe": "x"} | (
                    {} if one is DC_AMPS else {"frequency": "50 Hz"}) | (
                    {"force_range": one["ranges"][1]["range"]} if rng.random() < 0.3 else {})
                points[title, *given.values()] = {"function": title} | given
        shop = load_with(tmp_path / str(n), meter(*functions), plan(
            *points.values(), left_out=[{"function": f.get("name", f["function"]), "because": "x"}
                                        for f in functions]), standard(), COIL)
        pauses += watch(the_procedure(shop), (60, 180))
    assert pauses > 12


def the_amps(shop) -> list:
    return [group for group in the_procedure(shop).groups if group.stage == "amps"]


def test_the_pause_is_one_of_the_line_s_steps(tmp_path):
    """Standby, the rest of what was on with a line to write its end on, the output on for its time;
    the range by hand is selected meanwhile."""
    (group,) = the_amps(load_points(tmp_path, DC_AMPS, {"apply": ["8 A", "9 A"]},
                                    {"apply": "2 A", "force_range": "10 A"}))
    assert [(plain(p.apply), p.pause, p.on_at_most) for p in group.points] == [
        ("8.00 A", None, 30), ("9.00 A", None, 30), ("2.00 A", 600, 30)]
    assert plain(group.opening[-1]) == "Source: output on, for at most 30 s"
    assert lines(group) == [[], [], [
        "Source: 0 A, standby", "Jacks A and COM: off for 600 s, until ____",
        "Range: select 10 A by hand", "Display: see the 10 A range, decimals as in 0.00 A",
        "Source: output on, for at most 30 s"]]


def test_a_pause_opens_a_group(tmp_path):
    """Where the shunt was on in the group before, whatever the function; its data say so too."""
    left_out = [{"function": f, "because": "x"} for f in ("DC current", "AC current")]
    procedure = the_procedure(load(tmp_path, meter(DC_AMPS, AC_AMPS), plan(
        {"function": "DC current", "apply": "8 A"},
        {"function": "AC current", "apply": "8 A", "frequency": "50 Hz"}, left_out=left_out)))
    first, second = (group for group in procedure.groups if group.stage == "amps")
    assert not [one for one in first.opening if "off for" in one]
    assert [plain(one) for one in second.opening[-2:]] == [
        "Jacks A and COM: off for 600 s, until ____", "Source: output on, for at most 60 s"]
    assert watch(procedure) == 1
    assert procedure.sheet_data.points[1].pause.text == "600 s"
    assert procedure.sheet_data.points[1].on_at_most.text == "60 s"


def test_the_first_row_by_hand_of_a_limited_range(tmp_path):
    """Its range is selected before the output is on, since the time runs from then."""
    (group,) = the_amps(load_points(tmp_path, DC_AMPS, {"apply": "2 A", "force_range": "10 A"}))
    assert codes(group.steps_before)[-3:] == ["range-select", "range-seen", "source-on-for"]


def test_a_live_input_with_a_limit(tmp_path):
    """Hands are off before the output is on again, and polarity turns in standby there."""
    one = function("DC voltage", timed("600 V", "0.1 V", "60 s", "120 s"))
    (group,) = live_groups(tmp_path, one, {"apply": ["200 V", "-200 V"]})
    assert codes(group.points[1].steps_before) == [
        "source-standby", "pause", "source-turn", "hands-off", "source-on-for"]


def test_the_clock_of_these_tests_notices(tmp_path):
    """A pause too short, a row too many."""
    procedure = the_procedure(load_points(tmp_path, DC_AMPS, {"apply": ["7 A", "8 A", "9 A"]}))
    assert watch(procedure) == 1
    points = procedure.sheet_data.points
    for changed, wrong in (({"pause": None}, "rested"), ({"before_steps": ()}, "on too long")):
        data = procedure.sheet_data.model_copy(update={"points": (
            *points[:2], points[2].model_copy(update=changed), *points[3:])})
        with pytest.raises(AssertionError, match=wrong):
            watch(replace(procedure, sheet_data=data))


# ---------------------------------------------------------------- what else hangs on it

@pytest.mark.parametrize("hand_first, said", [(True, [False, True, False]),
                                              (False, [False, False, False])])
def test_back_to_automatic_is_said_once(hand_first, said, tmp_path):
    """By the first group that needs it after a range by hand, and by no later one."""
    force = {"force_range": "60 V"} if hand_first else {}
    left_out = [{"function": f, "because": "x"} for f in ("DC voltage", "AC voltage")]
    groups = the_procedure(load(tmp_path, meter(VOLTS, AC), plan(
        {"function": "DC voltage", "apply": "3 V"} | force,
        {"function": "AC voltage", "apply": ["3 V", "100 V"], "frequency": "50 Hz"},
        left_out=left_out))).groups
    assert ["range-automatic" in codes(g.steps_before) for g in groups if g.points] == said


def test_the_lines_of_a_row_are_in_its_data(tmp_path):
    """In words and as codes, for phones and records."""
    procedure = the_procedure(load_points(tmp_path, VOLTS, {"apply": ["100 V", "-100 V"]}))
    first, second = procedure.sheet_data.points
    assert (first.before, first.before_steps) == ((), ())
    assert second.before_steps == ("source-zero", "source-turn")
    assert [plain(one) for one in second.before] == ["Source: to 0 V", "Source: turn the polarity"]


def test_a_line_more_is_another_revision(tmp_path, monkeypatch):
    """A step that is asked for between rows is part of what a record refers to; its words are
    not."""
    def revision(folder):
        return the_procedure(load_points(tmp_path / folder, VOLTS,
                                         {"apply": ["100 V", "-100 V"]})).revision
    before = revision("a")
    monkeypatch.setitem(SENTENCES, "source-turn", "Source: other polarity")
    assert revision("b") == before
    monkeypatch.setattr(groups, "row_starts", lambda planned, *_: [NO_START for _ in planned])
    assert revision("c") != before


def test_the_bench_of_these_tests_notices(tmp_path):
    """Without the lines, or with a range selected under voltage, playing fails."""
    procedure = the_procedure(load_points(
        tmp_path, VOLTS, {"apply": ["100 V", "-100 V"]},
        {"apply": "400 V", "force_range": "1000 V"}))
    assert play(procedure) == (1, 2)
    *_, group = procedure.groups
    bench = PlayedBench()
    with pytest.raises(AssertionError):
        for step in group.steps_before:
            bench.tick(step)
        for point in group.points:
            bench.apply(point, False, True)
    with pytest.raises(AssertionError, match="under voltage"):
        bench.tick(group.points[-1].steps_before[1])
