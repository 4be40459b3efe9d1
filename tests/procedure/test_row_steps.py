"""The order of rows, and what stands between them: no key is pressed and no polarity turned under a
hazardous voltage, whatever the plan. Every sheet is played through by a bench of its own, which
knows nothing of how the lines were chosen."""

import random

import pytest

from builder.procedure import groups
from builder.procedure.row_steps import RowStart
from builder.procedure.sentences import SENTENCES
from tests.small_shop import (function, load, load_points, meter, plan, range_, reference, row,
                              the_procedure)

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
ON = ("source-on", "supply-on")


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
        "Source: output isolated from earth, no strap from LO to earth", "Hands: off",
        "Source: output on"]
    assert lines(group) == [
        [], ["Source: 0 V, standby", "Range: automatic", "Hands: off", "Source: output on"], []]


def test_what_ends_higher_comes_last(tmp_path):
    """The rows by hand stand behind the others where theirs is the highest voltage."""
    (group,) = live_groups(tmp_path, AC, {"apply": "100 V", "frequency": "50 Hz"},
                           {"apply": ["500 V", "200 V"], "frequency": "50 Hz",
                            "force_range": "1000 V"})
    assert [plain(p.apply) for p in group.points] == ["100.0 V", "200 V", "500 V"]
    assert lines(group)[1] == [
        "Source: 0 V, standby", "Range: select 1000 V by hand",
        "Display: see the 1000 V range, decimals as in 0 V", "Hands: off", "Source: output on"]
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
    monkeypatch.setattr(groups, "row_starts", lambda planned, live: [RowStart() for _ in planned])
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
