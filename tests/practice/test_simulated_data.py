"""What the bench on the page is made from; what its script does with it is in
tests/pages/test_simulated_bench_js.py."""

from __future__ import annotations

import json
import re
from fractions import Fraction

import pytest

from builder.pages import page_text
from builder.pages.render import exercise_pages
from builder.practice import practice_pages, simulated_data
from builder.practice.bench_words import EVENTS, REMEMBERED, SLIPS, TASKS
from builder.shop import loading
from tests import small_shop as shop


@pytest.fixture(scope="module")
def data(demo_shop):
    return simulated_data.data(demo_shop)


def test_every_number_is_an_exact_text(data):
    """No float anywhere in what the script takes."""
    def numbers(one):
        if isinstance(one, dict):
            one = list(one.values())
        if isinstance(one, (list, tuple)):
            for part in one:
                yield from numbers(part)
        elif not isinstance(one, str):
            yield one
    assert {type(one) for one in numbers(data)} <= {int, bool, type(None)}
    json.dumps(data)


def test_points_have_the_limits_of_the_sheet(data, demo_shop):
    """Each by its name and its accepted counts; what the bench can't apply isn't there."""
    for meter in data["meters"]:
        (procedure,) = [one for one in demo_shop.procedures.values()
                        if one.meter.meter == meter["id"]]
        limits = {(one.function, one.accept.low_counts, one.accept.high_counts)
                  for one in procedure.sheet_data.points if one.accept is not None}
        assert meter["points"]
        for point in meter["points"]:
            function = meter["functions"][point["f"]]
            assert (function["name"], point["low"], point["high"]) in limits
            on = function["ranges"][point["r"]]
            if point["kind"] == "given" and "less" not in point:
                x, step = Fraction(point["x"]), Fraction(on["step"])
                assert point["low"] * step <= x <= point["high"] * step
            assert "clamp" not in json.dumps(point)


def test_groups_are_whole(data, demo_shop):
    """A group is there only with all of its points, and with those that are taken off."""
    for meter in data["meters"]:
        (procedure,) = [one for one in demo_shop.procedures.values()
                        if one.meter.meter == meter["id"]]
        sizes = {group.title: len(group.points) for group in procedure.groups}
        for group in meter["groups"]:
            points = [meter["points"][n] for n in group["points"]]
            assert sizes[group["title"]] == sum(one["kind"] == "given" for one in points)
            for one in points:
                assert "less" not in one or one["less"] in group["points"]
            assert group.get("live", False) == any(one.get("live") for one in points)


def test_a_shop_without_plan_or_source_has_a_bench_too(tmp_path):
    """Points of its own by the tolerance, from a source of the bench's own; a meter with nothing to
    apply has none, and then there is no page."""
    def pages(*functions, address=""):
        folder = tmp_path / str(len(functions))
        shop.write(folder, {"meters/lapwing-1.yaml": shop.meter(*functions)} if functions
                   else {"plans/.keep": ""})
        return exercise_pages(loading.load_shop(folder), address)[0]
    made = pages(shop.function("DC voltage", shop.range_("6 V", "1 mV", "0.4 % + 2 counts")))
    held = json.loads(made["practice/bench.md"].partition('id="bench-data">')[2].partition(
        "</script>")[0])
    (meter,) = held["meters"]
    assert [point["said"].replace("\u00a0", " ") for point in meter["points"]] == [
        "0.000 V", "1.800 V", "5.400 V"]
    assert [one["name"] for one in held["standards"]] == ["The bench’s own source"]
    coded = pages(shop.function("DC voltage", shop.range_("6 V", "1 mV", "0.4 % + 2 counts")),
                  address="https://sheets.example/")["practice/bench.md"]
    assert "https://sheets.example/practice/bench.html" in coded and "bench-code" in coded
    assert "bench-code" not in made["practice/bench.md"]    # no address, no code to scan
    assert "practice/bench.md" in made["practice.md"]
    empty = pages()
    assert "practice/bench.md" not in empty and "practice/bench.md" not in empty["practice.md"]


def test_every_event_has_its_words():
    """What the scripts tell of has a name, what happened and what would have saved it, and nothing
    is told of that can't happen; the paragraphs to read are of events that there are."""
    scripts = "".join(path.read_text(encoding="utf-8")
                      for path in (page_text.HERE / "assets").glob("simulated_*.js"))
    assert {code for code in EVENTS if f"'{code}'" in scripts} == set(EVENTS)
    assert set(re.findall(r"happen\(\s*'([\w-]+)'", scripts)) <= set(EVENTS)
    assert [code for code, _, _ in practice_pages.to_read()] == list(EVENTS)
    for _, name, happened, saved in EVENTS.values():
        assert name[0].islower() and happened.endswith(".") and saved.endswith(".")
        assert "n’t" not in happened + saved     # no contractions where it is about safety


def test_what_a_device_remembers_has_names():
    """Of each task that is counted, and of each mistake."""
    assert set(REMEMBERED) == {f"bench-{code}" for code in TASKS} - {"bench-free"}
    assert set(SLIPS) == {f"bench-{code}" for code in EVENTS}
