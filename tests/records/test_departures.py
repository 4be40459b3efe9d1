"""What a record departs from, by hand: the humidity, the ambient, and which states belong
together."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from builder.records import departures
from builder.shop import loading
from tests.recorded import data_of, folder_with, put, record


def head_of(**more):
    """Just what a comparison asks for."""
    head = {"ambient": {}, "humidity": {}, "state": "as found", "follows": None,
            "procedure": "p", "date": 1} | more.pop("head", {})
    carried = {"holds": "18 to 28 °C", "humidity": "up to 70 %", "ambient_unit": "degC"}
    return SimpleNamespace(head=SimpleNamespace(**head), same_meter=("lapwing-1", "1"),
                           carried=SimpleNamespace(**(carried | more.pop("carried", {}))), **more)


@pytest.mark.parametrize("said, band, inside", [
    ("45 %", "up to 70 %", True), ("45", "up to 70 %", True), ("70", "at most 70 %", True),
    ("70.1 %", "up to 70 %", False), ("40 to 72 %", "up to 70 %", False),
    ("40 to 60", "30 to 70 %", True), ("45", "", None),
    ("damp", "up to 70 %", None), ("45 V", "up to 70 %", None)])
def test_the_humidity_against_the_band(said, band, inside):
    """Both ends count; what can't be compared is neither inside nor outside."""
    (found,) = departures.humidity(head_of(head={"humidity": {"start": said}},
                                           carried={"humidity": band}))
    assert (found.moment, found.said, found.inside) == ("start", said, inside)


@pytest.mark.parametrize("said, unit, holds, inside", [
    ("23 ± 5 degC", "degC", "18 to 28 degC", True), ("23 ± 6 degC", "degC", "18 to 28 degC", False),
    ("82.4 degF", "degC", "18 to 28 degC", True), ("82.5 degF", "degC", "18 to 28 degC", False),
    ("68", "degF", "64 to 82 degF", True), ("20 degC", "degF", "64 to 82 degF", True),
    ("68", "degC", "18 to 28 degC", False)])
def test_the_ambient_in_either_degree(said, unit, holds, inside):
    """28 °C is 82.4 °F; a number alone is in the sheet's own degrees."""
    (found,) = departures.ambient(head_of(head={"ambient": {"": said}},
                                          carried={"holds": holds, "ambient_unit": unit}))
    assert found.inside is inside


@pytest.mark.parametrize("said, is_span", [
    ("22 to 24 degC", True), ("23 ± 1 degC", True), ("23 +/- 1", True), ("23 degC", False),
    ("up to 60 %", False), ("", False), ("warm to hot", False)])
def test_what_says_how_far_a_condition_went(said, is_span):
    assert departures.is_span(said) is is_span


def test_which_states_belong_together():
    """The one that is followed, else that of the same meter, procedure and day; never itself, never
    another meter's."""
    def state(name, said, **more):
        return head_of(id=name, head={"state": said} | more)
    found, left = state("a", "as found"), state("b", "as left")
    later = state("c", "as left", date=2)
    follows = state("d", "as left", date=2, follows="a")
    itself = state("e", "as left", date=3, follows="e")
    stranger = state("f", "as left", date=1)
    stranger.same_meter = ("lapwing-1", "2")
    gone = state("g", "as left", follows="zz")

    def paired(*records):
        one, other = departures.pairs({one.id: one for one in records})
        return ({name: it.id for name, it in one.items()},
                {name: it.id for name, it in other.items()})
    assert paired(found, left) == ({"b": "a"}, {"a": "b"})
    assert paired(found, later) == ({}, {})
    assert paired(found, follows) == ({"d": "a"}, {"a": "d"})
    assert paired(found, itself) == paired(found, stranger) == paired(found, gone) == ({}, {})
    # two states as left: the first one is the answer, both name the state as found
    assert paired(found, left, follows) == ({"b": "a", "d": "a"}, {"a": "b"})


# ---------------------------------------------------------------- what should have stopped the work

AGAIN = {"no": "", "then": ["yes"]}


@pytest.mark.parametrize("checks, noes, holds, here", [
    ({}, [], [], []),
    ({"1.2": AGAIN}, [("1.2", [False, True])], [], []),
    # both holds were passed with it, and with what was left blank
    ({"1.2": "no"}, [("1.2", [False])], [("2", ("1.2",)), ("6", ("1.2",))], []),
    ({"1.1": "-", "1.4": "no"}, [("1.4", [False])], [("2", ("1.1", "1.4")), ("6", ("1.1", "1.4"))],
     []),
    ({"1.3": {"yes": "", "then": ["no"]}}, [("1.3", [True, False])],
     [("2", ("1.3",)), ("6", ("1.3",))], []),
    # what stops a function stops no other
    ({"2.1": "no"}, [], [], []),
    ({"2.1": {"not on this meter": "XY"}}, [], [], ["2.1"])])
def test_what_should_have_stopped_the_work(checks, noes, holds, here, tmp_path):
    """A no at what stops everything, the holds behind which something was read all the same, and
    what was said to be not there."""
    found = read(tmp_path, checks=checks)
    assert [(check.step, [one.good for one in answer.all])
            for check, answer in departures.stopping_noes(found)] == noes
    assert [(group.group, steps) for group, steps in departures.passed_holds(found)] == holds
    assert [check.step for check, _ in departures.not_here(found)] == here


def test_a_hold_is_passed_only_where_something_was_read_behind_it(tmp_path):
    """Work that stopped there departs from nothing."""
    data = data_of(folder_with(tmp_path / "a"))
    nothing = {point["step"]: "-" for point in data["points"]}
    stopped = read(tmp_path / "a", checks={"1.2": "no"}, readings=nothing)
    assert departures.passed_holds(stopped) == () and departures.stopping_noes(stopped)
    low = {step: "-" for step in nothing if step.startswith("6.")}
    (passed,) = departures.passed_holds(read(tmp_path / "a", checks={"1.2": "no"}, readings=low))
    assert passed[0].group == "2"


def read(folder, **more):
    root = folder_with(folder)
    put(root, "a.yaml", record(data_of(root), **more))
    shop = loading.load_shop(root)
    assert not shop.errors, "\n".join(map(str, shop.errors))
    return shop.records["a"]
