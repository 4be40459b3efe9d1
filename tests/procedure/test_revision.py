"""The revision of a sheet: it changes when and only when a number, the order, a code or what the
shop wrote does, and not with the wording of the tool."""

import re
from dataclasses import replace

import pytest

from builder.procedure import cautions, sentences
from builder.procedure.sentences import sentence
from builder.procedure.revision import revision as revision_of
from builder.procedure.revision import with_revision
from tests.procedure.test_point_uncertainty import DC, source, tried
from tests.small_shop import function, load, meter, plan, range_, row, the_procedure


def test_the_revision_follows_the_uncertainty(tmp_path):
    """Another accuracy of the standard is another sheet, though no limit moves."""
    revisions = {
        the_procedure(tried(tmp_path / str(n), DC, "3 V", by=source({"within": within}))).revision
        for n, within in enumerate(("0.1 %", "0.1 %", "0.11 %"))}
    assert len(revisions) == 2


def revision(folder, meter_more=None, one=DC, **plan_more) -> str:
    return the_procedure(load(folder, meter(one, **(meter_more or {})),
                              plan({"function": "DC voltage", "apply": "3 V"}, **plan_more))
                         ).revision


@pytest.mark.parametrize("more", [
    {"note": "a note"}, {"ambient": "20 to 26 degC"},
    {"decision_rule": "guard band of U"}, {"checks": ["leads"]}, {"meter_more": {"name": "Lap 1"}},
    {"meter_more": {"maker": "Other Works"}}, {"meter_more": {"note": "a note"}},
    {"one": DC | {"dial": "V"}},
    {"one": function("DC voltage", range_("6 V", "1 mV", "0.5 % + 3 counts"))},
])
def test_every_limit_and_every_text_is_in_the_revision(more, tmp_path):
    """Twelve digits; another limit, rule, note, name or step makes another sheet."""
    before, after = revision(tmp_path / "a"), revision(tmp_path / "b", **more)
    assert before != after and re.fullmatch("[0-9a-f]{12}", after)


OWN = {"check": "lamp", "when": "by eye", "do": "look at the lamp", "good": "it is lit",
       "stops": "nothing", "of": "meter"}


@pytest.mark.parametrize("before, after", [
    ({"checks": [OWN]}, {"checks": [OWN | {"good": "it is dark"}]}),
    ({"checks": ["leads"]}, {"checks": ["ratings"]}),
    ({"checks": ["leads"]}, {"checks": [{"check": "leads", "good": "no cut"}]}),
    ({}, {"points": [{"function": "DC voltage", "apply": "3 V"},
                     {"function": "DC voltage", "apply": "1 V", "observe": "a reason"}]}),
])
def test_every_word_of_the_shop_is_in_the_revision(before, after, tmp_path):
    """What it wrote of checks and observations, and which checks it chose."""
    made = []
    for n, more in enumerate((before, after)):
        more = dict(more)
        points = more.pop("points", [{"function": "DC voltage", "apply": "3 V"}])
        made.append(the_procedure(load(tmp_path / str(n), meter(DC), plan(*points, **more))))
    assert made[0].revision != made[1].revision


LIVE = function("DC voltage", range_("600 V", "0.1 V", "0.5 % + 2 counts"))


def live_sheet(folder):
    return the_procedure(load(folder, meter(LIVE), plan({"function": "DC voltage",
                                                         "apply": "540 V"},
                                                        checks=["leads", "ratings"])))


def test_the_words_of_the_tool_are_not_in_the_revision(tmp_path, monkeypatch):
    """Every sentence reworded, warnings too, the sheet reads otherwise and is the same."""
    before = live_sheet(tmp_path / "a")
    steps = before.groups[-1].opening
    for code, template in sentences.SENTENCES.items():
        monkeypatch.setitem(sentences.SENTENCES, code, f"Otherwise {template}")
    for code, (severity, text, rest) in cautions.CAUTIONS.items():
        monkeypatch.setitem(cautions.CAUTIONS, code, (severity, f"or {text}", f"or {rest}"))
    after = live_sheet(tmp_path / "b")
    assert after.revision == before.revision
    assert len(steps) == len(after.groups[-1].opening) and not (
        set(steps) & set(after.groups[-1].opening))
    assert after.data["rule_in_words"].startswith("Otherwise Decision rule")
    assert after.data["groups"][-1]["warnings"] != before.data["groups"][-1]["warnings"]


@pytest.mark.parametrize("change", [
    lambda group: replace(group, cautions=group.cautions[1:]),
    lambda group: replace(group, cautions=(sentence("current-jacks"), *group.cautions[1:])),
    lambda group: replace(group, steps_before=group.steps_before[1:]),
    lambda group: replace(group, steps_before=group.steps_before[::-1]),
    lambda group: replace(group, steps_after=(sentence("jaw-open"), *group.steps_after[1:])),
    lambda group: replace(group, steps_before=(sentence("dial", dial="mV"),
                                               *group.steps_before[1:])),
    lambda group: replace(group, points=(replace(group.points[0], shortfall=sentence(
        "mark-reach", standard="Petrel", because="a reason")),)),
])
def test_every_code_and_its_facts_are_in_the_revision(change, tmp_path):
    """Another caution, another step, another order, another fact in a step or under the table."""
    made = live_sheet(tmp_path)
    other = replace(made, groups=(*made.groups[:-1], change(made.groups[-1])))
    assert revision_of(made, made.sheet_data) == made.revision
    assert revision_of(other, made.sheet_data) != made.revision


@pytest.mark.parametrize("one", [
    function("DC voltage", range_("6.00 V", "0.001 V", "5000 ppm + 2 counts")),
    function("DC voltage", range_("6 V", "1 mV", [row("0.5 % of reading + 2 counts")])),
])
def test_another_spelling_of_the_same_is_the_same_sheet(one, tmp_path):
    """Values decide, not how a file writes them."""
    assert revision(tmp_path / "a") == revision(tmp_path / "b", one=one)


def test_a_sheet_with_its_revision(tmp_path):
    """It stands on the sheet and in its data alike, and is made of the data before it has one."""
    made = the_procedure(tried(tmp_path, DC, "3 V"))
    data = made.sheet_data.model_copy(update={"revision": ""})
    again = with_revision(made, data)
    assert again.revision == made.revision == again.data["revision"] == made.data["revision"]
    other = with_revision(made, data.model_copy(update={"title": "Another"}))
    assert other.revision == made.revision and other.data["title"] == "Another"


def with_standard(folder, **more):
    return the_procedure(tried(folder, DC, "3 V", by=source({"within": "0.1 %"}, **more)))


def test_what_is_renewed_leaves_the_revision(tmp_path):
    """A new certificate with the old values, another title, another agreed interval: the sheet is
    the same, though its data say so."""
    before = with_standard(tmp_path / "a")
    renewed = with_standard(tmp_path / "b", certificate="P-2", due="2031-01-01")
    assert renewed.revision == before.revision and renewed.data != before.data
    revisions = {revision(tmp_path / f"c{n}", **more) for n, more in enumerate((
        {}, {"title": "Another title"}, {"interval_agreed": "12 months"}))}
    assert len(revisions) == 1


def test_an_uncertainty_that_is_printed_alike_is_another(tmp_path):
    """0.1 % and 0.100000001 % of 3 V are one to any reader; the revision is over what is
    computed, not over what is printed."""
    made = [the_procedure(tried(tmp_path / within, DC, "3 V", by=source({"within": f"{within} %"})))
            for within in ("0.1", "0.100000001")]
    points = [one.data["points"][0] for one in made]
    assert points[0]["uncertainty"] == points[1]["uncertainty"]
    assert made[0].revision != made[1].revision


def test_a_field_that_comes_later_leaves_the_revision(tmp_path):
    """What stands at its default is not hashed: data that lack a field and data that have it so
    are of one revision."""
    made = the_procedure(tried(tmp_path, DC, "3 V"))
    bare = made.sheet_data.model_copy(update={
        "points": tuple(one.model_copy(update={"range_forced": False})
                        for one in made.sheet_data.points)})
    other = made.sheet_data.model_copy(update={
        "points": tuple(one.model_copy(update={"range_forced": True})
                        for one in made.sheet_data.points)})
    assert revision_of(made, bare) == made.revision != revision_of(made, other)
