"""What a meter's file says once: an accuracy for a whole function, and a meter that is like another
one. The written-out table is compared with the same table typed in full."""

import pytest

from builder.shop import loading
from builder.shop.one_meter import functions_of, read_functions
from builder.shop.quick_answer import answer
from tests.small_shop import write

HEAD = """
meter: lapwing-1
name: Lapwing 1
maker: Invented Works
display: 6000 counts
specification: {source: "Lapwing 1 data sheet", holds: 18 to 28 degC}
rated: {between_terminals: 600 V}
functions:
"""[1:]
ONCE = HEAD + """
  - function: DC voltage
    jacks: [V, COM]
    accuracy: 0.5 % + 3 counts
    ranges:
      - {range: 600 mV, resolution: 0.1 mV, accuracy: 0.8 % + 5 counts}
      - {range: 6 V, resolution: 1 mV}
      - {range: 60 V, resolution: 10 mV}
  - function: AC voltage
    jacks: [V, COM]
    lowest: 5 % of range
    accuracy:
      - {frequency: 45 Hz to 400 Hz, within: 1 % + 5 counts}
      - {frequency: 400 Hz to 1 kHz, within: 2 % + 5 counts}
    ranges:
      - {range: 6 V, resolution: 1 mV}
      - {range: 60 V, resolution: 10 mV, lowest: 10 % of range}
"""[1:]
IN_FULL = HEAD + """
  - function: DC voltage
    jacks: [V, COM]
    ranges:
      - {range: 600 mV, resolution: 0.1 mV, accuracy: 0.8 % + 5 counts}
      - {range: 6 V, resolution: 1 mV, accuracy: 0.5 % + 3 counts}
      - {range: 60 V, resolution: 10 mV, accuracy: 0.5 % + 3 counts}
  - function: AC voltage
    jacks: [V, COM]
    ranges:
      - range: 6 V
        resolution: 1 mV
        lowest: 5 % of range
        accuracy:
          - {frequency: 45 Hz to 400 Hz, within: 1 % + 5 counts}
          - {frequency: 400 Hz to 1 kHz, within: 2 % + 5 counts}
      - range: 60 V
        resolution: 10 mV
        lowest: 10 % of range
        accuracy:
          - {frequency: 45 Hz to 400 Hz, within: 1 % + 5 counts}
          - {frequency: 400 Hz to 1 kHz, within: 2 % + 5 counts}
"""[1:]
LIKE = """
meter: lapwing-2
name: Lapwing 2
like: lapwing-1
specification: {source: "Lapwing 2 data sheet"}
functions:
  - function: DC voltage
    ranges:
      - {range: 6.0 V, accuracy: 0.3 % + 2 counts}
      - {range: 600 V, resolution: 100 mV}
"""[1:]


def load(folder, **meters):
    files = {f"meters/{name.replace('_', '-')}.yaml": text for name, text in meters.items()}
    return loading.load_shop(write(folder / "procedures", files))


def ranges(shop, meter="lapwing-1"):
    assert not shop.problems, "\n".join(map(str, shop.problems))
    return {f.title: [dict(r) for r in f.ranges] for f in shop.meters[meter].functions}


def told(shop):
    return [(p.place.file.rsplit("/", 1)[-1], p.place.line, p.place.column, p.sentence)
            for p in shop.problems]


def test_an_accuracy_for_a_whole_function_is_that_of_each_range_without_its_own(tmp_path):
    once = ranges(load(tmp_path / "once", lapwing_1=ONCE))
    assert once == ranges(load(tmp_path / "full", lapwing_1=IN_FULL))


@pytest.mark.parametrize("function, value, hertz, low, high", [
    # by hand: 3 V ± (0.015 + 0.003) V; 0.3 V ± (0.0024 + 0.0005) V; 3 V ± (0.06 + 0.005) V
    ("DC voltage", "3 V", None, "2.982 V", "3.018 V"),
    ("DC voltage", "0.3 V", None, "297.1 mV", "302.9 mV"),
    ("AC voltage", "3 V", "1 kHz", "2.935 V", "3.065 V"),
])
def test_limits_by_hand(tmp_path, function, value, hertz, low, high):
    shop = load(tmp_path, lapwing_1=ONCE)
    lines, *_ = answer(functions_of(shop.meters["lapwing-1"]), function, value, hertz)
    assert f"{low} to {high}" in lines[-1].replace("\xa0", " "), lines


def test_a_slip_in_it_is_told_once_where_it_stands(tmp_path):
    shop = load(tmp_path, lapwing_1=ONCE.replace("0.5 % + 3 counts", "0.5 % + 3 V A"))
    assert [(line, column) for _, line, column, _ in told(shop)] == [(10, 15)]


def test_one_that_holds_for_no_range_is_a_problem(tmp_path):
    text = ONCE.replace("1 mV}", "1 mV, accuracy: 1 % + 3 counts}", 1).replace(
        "10 mV}", "10 mV, accuracy: 1 % + 3 counts}", 1)
    (problem,) = told(load(tmp_path, lapwing_1=text))
    assert problem[1:3] == (10, 5) and "each range of 'DC voltage' has its own" in problem[3]


# ---------------------------------------------------------------- like another meter

def test_a_variant_is_the_other_meter_but_for_what_it_says(tmp_path):
    shop = load(tmp_path, lapwing_1=ONCE, lapwing_2=LIKE)
    mine, theirs = ranges(shop, "lapwing-2"), ranges(shop)
    assert mine["AC voltage"] == theirs["AC voltage"]
    assert mine["DC voltage"][0::2][:2] == theirs["DC voltage"][0::2]
    assert [str(r["accuracy"][0].within.text) for r in mine["DC voltage"]] == [
        "0.8 % + 5 counts", "0.3 % + 2 counts", "0.5 % + 3 counts", "0.5 % + 3 counts"]
    meter = shop.meters["lapwing-2"]
    assert (meter.maker, meter.specification.source) == ("Invented Works", "Lapwing 2 data sheet")
    assert str(meter.specification.holds) == "18 to 28 degC"
    lines, *_ = answer(functions_of(meter), "DC voltage", "3 V")
    # 3 V ± (0.009 + 0.002) V, by hand
    assert "2.989 V to 3.011 V" in lines[-1].replace("\xa0", " ")
    alone = read_functions(tmp_path / "procedures", "lapwing-2")
    assert answer(alone, "DC voltage", "3 V")[0] == lines


def test_what_a_variant_says_of_a_whole_function_beats_the_other_meters_ranges(tmp_path):
    more = LIKE.replace("    ranges:", "    accuracy: 0.2 % + 1 counts\n    ranges:")
    shop = load(tmp_path, lapwing_1=ONCE, lapwing_2=more)
    assert [r["accuracy"][0].within.text for r in ranges(shop, "lapwing-2")["DC voltage"]] == [
        "0.2 % + 1 counts", "0.3 % + 2 counts", "0.2 % + 1 counts", "0.2 % + 1 counts"]


def test_a_variant_may_be_without_functions_and_ranges(tmp_path):
    more = LIKE.replace("like: lapwing-1", "like: lapwing-1\nwithout: AC voltage").replace(
        "    ranges:", "    without: [600 mV, 60000 mV]\n    ranges:")
    mine = ranges(load(tmp_path, lapwing_1=ONCE, lapwing_2=more), "lapwing-2")
    assert list(mine) == ["DC voltage"]
    assert [str(r["range"]) for r in mine["DC voltage"]] == ["6 V", "600 V"]


def test_a_slip_in_the_other_file_is_told_there_and_named_here(tmp_path):
    shop = load(tmp_path, lapwing_1=ONCE.replace("0.8 % + 5 counts", "0.8 % + 5 furlongs"),
                lapwing_2=LIKE)
    assert {(file, line, column) for file, line, column, _ in told(shop)} == {
        ("lapwing-1.yaml", 12, 55), ("lapwing-2.yaml", 3, 7)}
    assert shop.broken == {"meters/lapwing-1", "meters/lapwing-2"}


def test_what_only_the_two_together_make_wrong_is_told_at_its_line(tmp_path):
    shop = load(tmp_path, lapwing_1=ONCE,
                lapwing_2=LIKE.replace("like: lapwing-1", "like: lapwing-1\ndisplay: 4000 counts"))
    assert ("lapwing-1.yaml", 12, 37) in {one[:3] for one in told(shop)}
    assert ("lapwing-2.yaml", 3, 7) in {one[:3] for one in told(shop)}
    assert shop.broken == {"meters/lapwing-2"}


def test_a_reason_for_an_odd_number_is_no_reason_for_another_one(tmp_path):
    odd = ONCE.replace("accuracy: 0.8 % + 5 counts",
                       "accuracy: 9 % + 5 counts, confirmed: page 4")
    first = load(tmp_path / "1", lapwing_1=odd)
    assert not first.problems
    worse = LIKE.replace("{range: 6.0 V, accuracy: 0.3 % + 2 counts}",
                         "{range: 600 mV, accuracy: 8 % + 5 counts}")
    assert [one[:2] for one in told(load(tmp_path / "2", lapwing_1=odd, lapwing_2=worse))] == [
        ("lapwing-2.yaml", 8)]


@pytest.mark.parametrize("text, sentence", [
    (LIKE.replace("like: lapwing-1", "like: lapwing-7"), "there is no meter 'lapwing-7'"),
    (LIKE.replace("like: lapwing-1", "like: lapwing-2"), "is like another meter itself"),
    (LIKE.replace("like: lapwing-1", "like: lapwing-1\nwithout: DC curent"),
     "'DC curent' is not there"),
    (LIKE.replace("    ranges:", "    without: 7 V\n    ranges:"), "'7 V' is not there"),
    (LIKE.replace("DC voltage", "DC current") + "    without: 6 V\n    jacks: [mA, COM]\n",
     "has no such function"),
    (ONCE.replace("lapwing-1", "lapwing-2").replace("Lapwing 1", "Lapwing 2").replace(
        "    ranges:", "    without: 6 V\n    ranges:", 1), "leaves out what another meter has"),
])
def test_what_it_can_not_be_like(tmp_path, text, sentence):
    shop = load(tmp_path, lapwing_1=ONCE, lapwing_2=text)
    assert any(sentence in one[3] for one in told(shop)), told(shop)
    assert "meters/lapwing-2" in shop.broken and "meters/lapwing-1" not in shop.broken


def test_two_that_are_like_each_other_are_refused(tmp_path):
    other = LIKE.replace("lapwing-2", "lapwing-3").replace("Lapwing 2", "Lapwing 3").replace(
        "like: lapwing-1", "like: lapwing-2")
    shop = load(tmp_path, lapwing_2=LIKE.replace("like: lapwing-1", "like: lapwing-3"),
                lapwing_3=other)
    assert {one[0] for one in told(shop) if "is like another meter itself" in one[3]} == {
        "lapwing-2.yaml", "lapwing-3.yaml"}


@pytest.mark.parametrize("text", [ONCE, LIKE.replace(
    "like: lapwing-1", "like: lapwing-1\nwithout: [AC voltage]")])
def test_no_slip_of_a_line_is_more_than_a_problem(tmp_path, text):
    """Each line left out, emptied behind its colon, or made a list or a word: problems or none,
    never a traceback."""
    lines = text.splitlines()
    for i, line in enumerate(lines):
        key = line.partition(":")[0]
        for other in ("", f"{key}:", f"{key}: [1, {{a: b}}]", f"{key}: {{a: [b]}}", f"{key}: x"):
            spoilt = "\n".join([*lines[:i], other, *lines[i + 1:]]) + "\n"
            first = (ONCE if text is not ONCE else spoilt)
            load(tmp_path, lapwing_1=first, lapwing_2=spoilt if text is not ONCE else LIKE)
