"""Every problem in one run: mistakes don't hide each other, and each keeps its own place."""

import json

import pytest

from builder import cli
from builder.files.problems import as_json, as_text
from builder.shop import loading
from tests.file_rules.test_file_rules import METER, PLAN, STANDARD, changed
from tests.small_shop import codes, load, write


def at(shop) -> list[tuple[str, str, int]]:
    return [(p.code, p.place.file.split("/")[1], p.place.line) for p in shop.errors]


def test_mistakes_in_three_files_in_one_run(tmp_path):
    """Values, keys, units and words in all three files come out together, sorted by file and
    line."""
    shop = changed(tmp_path, "meter", "range: 600 mV", "range: 600 mA",
                   ("meter", "lowest: 5 % of range", "lowest: 5 % of range\n        colour: red"),
                   ("standard", "within: 0.1 %", "within: 2 counts"),
                   ("standard", "values: 0 V to 20 V", "values: 0 A to 20 A"),
                   ("plan", "- display segments", "- nothing known"),
                   ("plan", "checks:", "ambient: warm\nchecks:"))
    lines = [(p.place.file, p.place.line) for p in shop.errors]
    assert [line for _, line in sorted(lines)] == [16, 24, 9, 11, 13, 17]
    text = as_text(shop.problems)
    assert [text.index(f"{file}:{line}:") for file,
            line in sorted(lines)] == sorted(text.index(f"{file}:{line}:") for file, line in lines)
    assert text.endswith("6 errors")


@pytest.mark.parametrize("old, new, line", [
    ("AC voltage, apply: recommended", "AC voltage, apply: [{}], frequency: [{}]".format(
        ", ".join(f"{n} mV" for n in range(300, 400)),
        ", ".join(f"{n} Hz" for n in range(100, 200))), 8),
    ("  - {function: DC voltage, apply: recommended}\n",
     "  - {function: DC voltage, apply: recommended}\n" * 2001, 2007)])
def test_a_plan_with_absurdly_many_points_is_one_sentence(old, new, line, tmp_path):
    """Told at the entry that is too much, before anything is computed."""
    (one,) = changed(tmp_path, "plan", old, new).problems
    assert (one.code, one.place.line) == ("too-many", line) and "more than 2000" in one.sentence


def test_recommended_points_are_counted_too(tmp_path, monkeypatch):
    """One word may stand for many points."""
    monkeypatch.setattr("builder.procedure.planner.MOST_POINTS", 5)
    (one,) = changed(tmp_path, "plan", "title:", "title:").problems
    assert (one.code, one.place.line, one.place.column) == ("too-many", 7, 35)


def test_many_mistakes_in_one_file_in_one_run(tmp_path):
    """Twenty wrong values in twenty points are twenty problems, not the first few."""
    wrong = "\n".join(f"  - {{function: DC voltage, apply: {n} Vx}}" for n in range(20))
    shop = changed(tmp_path, "plan", "  - {function: DC voltage, apply: recommended}", wrong)
    assert [p.place.line for p in shop.errors if p.code == "value"] == list(range(7, 27))


def test_a_value_left_out_moves_no_other_place(tmp_path):
    """Behind an entry that can't be read, the mistakes of later entries still stand at their own
    lines."""
    shop = changed(tmp_path, "plan", "apply: recommended}\n  - {function: AC voltage, apply",
                   "apply: 3 Vx}\n  - {function: AC volage, apply")
    assert at(shop) == [("value", "plans", 7), ("no-function", "plans", 8)]
    shop = changed(tmp_path / "b", "meter", "range: 600 mV", "range: 600 mX",
                   ("meter", "range: 6 V, resolution: 1 mV, accuracy: 0.4 % + 2 counts",
                    "range: 6 A, resolution: 1 mV, accuracy: 0.4 %"))
    assert at(shop) == [("value", "meters", 16), ("unit", "meters", 17)]


def test_places_in_a_plan_whose_checks_hold_a_mistake(tmp_path):
    """The same for checks and left-out entries."""
    shop = changed(tmp_path, "plan", "  - display segments",
                   "  - {check: ratings, colour: red}\n  - {check: leads, when: never}\n  - "
                   "nothing known")
    assert at(shop) == [("unknown-key", "plans", 10), ("choice", "plans", 11),
                        ("no-check", "plans", 12)]


@pytest.mark.parametrize("old, new, code", [
    ("display: 6000 counts", "display: many", "value"),
    ("maker: Invented Works\n", "", "missing"),
    ("holds: 18 to 28 degC", "holds: 28 to 18 degC", "value"),
    ("between_terminals: 600 V", "between_terminals: 600", "value"),
    ("temperature_coefficient: 0.1 per degC", "temperature_coefficient: 10 %", "value"),
])
def test_a_mistake_at_the_head_hides_none_below(old, new, code, tmp_path):
    """A meter's wrong head and a wrong range in its table are both said in one run."""
    shop = changed(tmp_path, "meter", old, new, ("meter", "range: 600 mV", "range: 600 mA"))
    assert codes(shop) == sorted([code, "unit"]), as_text(shop.problems)


@pytest.mark.parametrize("old, new, code", [
    ("decision_rule: simple acceptance", "decision_rule: luck", "value"),
    ("title: Lapwing 1, yearly\n", "", "missing"),
    ("checks:", "ambient: warm\nchecks:", "value"),
])
def test_a_mistake_at_the_head_of_a_plan_hides_none_below(old, new, code, tmp_path):
    """A plan's wrong head and a function that the meter lacks are both said in one run."""
    shop = changed(tmp_path, "plan", old, new,
                   ("plan", "function: DC voltage", "function: DC volage"))
    assert codes(shop) == sorted([code, "no-function"]), as_text(shop.problems)


@pytest.mark.parametrize("ambient", ["60 to 70 degF", "40 to 50 degC"])
def test_a_wrong_ambient_is_said_with_the_rest(ambient, tmp_path):
    """An ambient in other degrees, or one beyond the band of a meter without a coefficient, and a
    wrong check in one run."""
    shop = changed(tmp_path, "plan", "checks:\n  - display segments",
                   f"ambient: {ambient}\nchecks:\n  - nothing known",
                   ("meter", "  temperature_coefficient: 0.1 per degC\n", ""))
    assert [p.place.line
            for p in shop.errors] == [11, 9] or [p.place.line for p in shop.errors] == [9, 11]


def test_a_refused_point_hides_no_forgotten_function(tmp_path):
    """A point without limits and a function that the plan forgets are both said in one run."""
    shop = changed(tmp_path, "plan",
                   "DC voltage, apply: recommended}\n  - {function: AC voltage, apply: "
                   "recommended}", "DC voltage, apply: [recommended_]}",
                   ("plan", "[recommended_]", "[0.3 V, 3 V, 5.99 V]"))
    assert codes(shop) == ["forgotten", "tolerance-past-range"], as_text(shop.problems)


def test_a_broken_plan_breaks_nothing_of_the_same_name(tmp_path):
    """A meter and a plan may have one name: a mistake in the plan leaves the meter's pages and
    other plans alone."""
    files = {"meters/dunlin.yaml": METER.replace("lapwing-1", "dunlin"),
             "standards/petrel.yaml": STANDARD,
             "plans/dunlin.yaml": PLAN.replace("lapwing-yearly",
                                               "dunlin").replace("lapwing-1", "dunlin").replace(
                                                   "title:", "titel:"),
             "plans/other.yaml": PLAN.replace("lapwing-yearly",
                                              "other").replace("lapwing-1", "dunlin").replace(
                                                  "DC voltage, apply: recommended",
                                                  "DC voltage, apply: [0.3 V, 3 V, 5.99 V]")}
    shop = loading.load_shop(write(tmp_path / "procedures", files))
    assert {(p.code, p.place.file.rsplit("/", 1)[1]) for p in shop.errors} == {
        ("unknown-key", "dunlin.yaml"), ("tolerance-past-range", "other.yaml")}
    assert "dunlin" in shop.functions


def test_a_mistake_in_a_meter_is_not_said_again_of_its_plans(tmp_path):
    """A plan for a meter that can't be read is no mistake of the plan."""
    assert codes(changed(tmp_path, "meter", "name: Lapwing 1", "name: [")) == ["yaml"]
    assert codes(changed(tmp_path / "b", "meter", "range: 600 mV", "range: 600 mA")) == ["unit"]
    assert codes(changed(tmp_path / "c", "standard", "kind: source", "kind: sauce")) == ["choice"]


def test_a_misspelt_key_is_one_problem(tmp_path):
    """That the right key is then missing follows from it, and isn't said again."""
    assert codes(changed(tmp_path, "meter", "maker:", "makker:")) == ["unknown-key"]
    assert codes(changed(tmp_path / "b", "meter", "range: 600 mV, resolution",
                         "range: 600 mV, resolutoin")) == ["unknown-key"]


def test_json_and_exit_codes_of_the_check_command(tmp_path, monkeypatch, capsys):
    """`check` prints text or JSON and exits 1 at errors, 0 at none or only warnings."""
    def run(*arguments):
        code = cli.main(["check", *arguments])
        return code, capsys.readouterr().out
    changed(tmp_path / "bad", "meter", "range: 600 mV", "range: 600 mA")
    changed(tmp_path / "doubt", "meter", "        lowest: 5 % of range\n", "")
    load(tmp_path / "good", METER, PLAN, STANDARD)
    monkeypatch.setattr(cli, "PROCEDURES", tmp_path / "bad" / "procedures")
    code, out = run("--format", "json")
    (one,) = json.loads(out)
    assert code == 1 and (one["line"], one["column"], one["code"],
                          one["severity"]) == (16, 17, "unit", "error")
    assert set(one) == {"file", "line", "column", "length", "severity", "code", "problem", "hint"}
    code, out = run()
    assert code == 1 and out.startswith(
        "procedures/meters/lapwing-1.yaml:16:17: error: ") and out.rstrip().endswith("1 error")
    monkeypatch.setattr(cli, "PROCEDURES", tmp_path / "doubt" / "procedures")
    code, out = run("--format", "text")
    assert code == 0 and "warning" in out
    monkeypatch.setattr(cli, "PROCEDURES", tmp_path / "good" / "procedures")
    assert run("--format", "json") == (0, "[]\n")
    assert run()[0] == 0
    assert cli.main(["check", "--format", "xml"]) == 2


def test_text_and_json_hold_the_same_problems(tmp_path):
    """Neither form leaves a problem out."""
    shop = changed(tmp_path, "meter", "range: 600 mV", "range: 600 mA",
                   ("standard", "kind: source", "kind: sauce"))
    listed = json.loads(as_json(shop.problems))
    text = as_text(shop.problems)
    assert len(listed) == len(shop.problems) and all(
        f"{p['file']}:{p['line']}:{p['column']}: {p['severity']}: {p['problem']}" in text
        for p in listed)
