"""Rows that end in the open or at a single frequency: what `check` says of them."""

import pytest

from tests.small_shop import codes, function, load, meter, only_problem, plan, range_, row

SPACES = str.maketrans("\u00a0\u202f", "  ")


def ac(*rows, kind="AC voltage"):
    return function(kind, range_("6 V", "1 mV", list(rows), lowest="0.3 V"))


def said(folder, *rows, kind="AC voltage"):
    return [(p.severity, p.code) for p in load(folder, meter(ac(*rows, kind=kind))).problems]


@pytest.mark.parametrize("rows, expected", [
    ([row("1 % + 3 counts", frequency="50/60 Hz")], []),
    ([row("1 % + 3 counts", frequency="50 Hz"),
      row("2 % + 3 counts", frequency="40 Hz to 1 kHz")], []),
    ([row("1 % + 3 counts", frequency="up to 400 Hz")], [("warning", "open-end")]),
    ([row("1 % + 3 counts", frequency="up to 400 Hz", confirmed="page 4")], []),
    ([row("1 % + 3 counts", frequency="above 1 kHz")], [("error", "open-end")]),
    ([row("1 % + 3 counts", frequency="DC, 40 Hz to 400 Hz")], [("error", "frequency")]),
    ([row("1 % + 3 counts", frequency="50 V")], [("error", "unit")]),
    ([row("1 % + 3 counts", frequency="40 Hz to 400 Hz"),
      row("2 % + 3 counts", frequency="300 Hz to 1 kHz")], [("warning", "overlap")]),
    ([row("1 % + 3 counts", frequency="40 Hz to 1 kHz", values="up to 3 V"),
      row("2 % + 3 counts", frequency="40 Hz to 1 kHz", values="above 2 V")],
     [("warning", "overlap")]),
    ([row("1 % + 3 counts", frequency="40 Hz to 1 kHz", values="up to 3 V"),
      row("2 % + 3 counts", frequency="40 Hz to 1 kHz", values="above 3 V")], []),
    ([row("1 % + 3 counts", frequency="40 Hz to 1 kHz", values="above 5 A")], [("error", "unit")]),
])
def test_what_is_said_of_a_row(rows, expected, tmp_path):
    assert said(tmp_path, *rows) == expected


def test_dc_is_a_row_of_an_ac_dc_function(tmp_path):
    assert said(tmp_path, row("1 % + 3 counts", frequency="DC, 40 Hz to 400 Hz"),
                kind="AC+DC voltage") == []


BOTH = [row("1 % + 3 counts", frequency="DC, 50/60 Hz"),
        row("2 % + 3 counts", frequency="100 Hz to 1 kHz")]


def test_each_part_is_tested_or_left_out_by_itself(tmp_path):
    """DC, 50 Hz and 60 Hz are three rows of the completeness table; the plan names them as the
    meter's file does."""
    points = [{"function": "AC+DC voltage", "apply": "3 V", "frequency": ["DC", "50 Hz"]},
              {"function": "AC+DC voltage", "apply": "3 V", "frequency": ["100 Hz", "1 kHz"]}]
    one = meter(ac(*BOTH, kind="AC+DC voltage"))
    problem = only_problem(load(tmp_path / "1", one, plan(*points)))
    assert problem.code == "forgotten" and "60" in problem.sentence
    left = [{"function": "AC+DC voltage", "frequency": "60 Hz", "because": "no such mains here"}]
    shop = load(tmp_path / "2", one, plan(*points, left_out=left))
    (made,) = shop.procedures.values()
    assert [(r.row.partition(":")[0].translate(SPACES), bool(r.tested))
            for r in made.completeness] == [
        ("DC", True), ("50 Hz", True), ("60 Hz", False), ("100 Hz to 1 kHz", True)]
    steady = next(p for p in made.points if p.planned.hertz == 0)
    assert steady.at == "DC" and steady.planned.supply.output.what == "DC voltage"
    assert not steady.planned.is_hazardous
    rows = next(iter(shop.functions.values()))["AC+DC voltage"]
    assert rows.has_dc


def test_recommended_points_find_rows_with_open_ends(tmp_path):
    one = meter(ac(row("1 % + 3 counts", frequency="< 400 Hz", confirmed="so"),
                   row("2 % + 3 counts", frequency="400 Hz to 1 kHz")))
    shop = load(tmp_path, one, plan({"function": "AC voltage", "apply": "recommended"}))
    assert not shop.errors, "\n".join(map(str, shop.errors))
    (made,) = shop.procedures.values()
    # the middle of what has no lowest end, and both ends of the other
    assert sorted({p.planned.hertz for p in made.points}) == [200, 400, 1000]


def test_dc_is_no_frequency_of_an_ac_point(tmp_path):
    one = meter(ac(row("1 % + 3 counts", frequency="40 Hz to 1 kHz")))
    assert "frequency" in codes(load(tmp_path, one, plan(
        {"function": "AC voltage", "apply": "3 V", "frequency": "DC"})))
