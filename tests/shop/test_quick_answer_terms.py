"""What data sheets say beside a plain sum of terms: limits against those worked out by hand."""

import pytest

from builder.files.problems import Wrong
from builder.numbers import exact_text, units
from builder.shop import quick_answer
from tests.small_shop import load
from tests.term_cases import CASES, FUNCTIONS, METER


@pytest.fixture(scope="module")
def functions(tmp_path_factory):
    shop = load(tmp_path_factory.mktemp("terms"), METER)
    assert not shop.errors, "\n".join(map(str, shop.errors))
    return shop.functions["lapwing-1"]


def plain(text: str) -> str:
    return text.replace("\u00a0", " ").replace("−", "-")


@pytest.mark.parametrize("case", CASES, ids=[
    " ".join(filter(None, (c.function, c.value, c.hertz, c.ambient))) for c in CASES])
def test_limits_by_hand(case, functions):
    """Range, tolerance, additions and temperature are those of the data sheet."""
    asked = (functions, case.function, case.value, case.hertz or None, None, case.ambient or None)
    if case.refused:
        with pytest.raises(Wrong):
            quick_answer.answer(*asked)
        return
    _, view, judged = quick_answer.answer(*asked)
    on, unit = judged.range, view.names[judged.range].unit
    places = exact_text.decimals(on.resolution, unit)
    found = [exact_text.plain_quantity(n * on.resolution, unit, places)
             for n in (judged.accepted.low, judged.accepted.high)]
    assert found == [case.low, case.high]
    if case.exact:
        assert (judged.low, judged.high) == tuple(
            units.quantity(text.replace("Ohm", "ohm")).value for text in case.exact)


@pytest.mark.parametrize("function, value, hertz, ambient, lines", [
    ("Low pass", "3 V", "300 Hz", None, [
        "3.000 V at 300 Hz on the 6 V range, 200 to 440 Hz: +(1 % + 2 counts) -(6 % + 5 counts)",
        "Tolerance up: 1 % × 3.000 V + 2 × 0.001 V = 0.03 V + 0.002 V = 0.032 V",
        "Tolerance down: 6 % × 3.000 V + 5 × 0.001 V = 0.18 V + 0.005 V = 0.185 V",
        "Tolerance limits: 2.815 V and 3.032 V"]),
    ("DC voltage", "0.2 V", None, None, [
        "0.200 V on the 6 V range, ±(0.4 % + 2 counts), plus 10 counts below 0.3 V",
        "Tolerance: 0.4 % × 0.200 V + 2 × 0.001 V + 10 × 0.001 V = 0.0008 V + 0.002 V + 0.01 V = "
        "0.0128 V", "Tolerance limits: 0.1872 V and 0.2128 V"]),
    ("AC voltage", "3 V", "11 kHz", None, [
        "3.000 V at 11 kHz on the 6 V range, 40 Hz to 20 kHz: ±(1 % + 3 counts), plus 0.2 % per "
        "kHz above 1 kHz, plus 2 % for crest factors of 2 to 3, plus 1 % above 75 % relative "
        "humidity",
        "Tolerance: 1 % × 3.000 V + 3 × 0.001 V + 0.2 % × 3.000 V per kHz × (11 kHz - 1 kHz) = "
        "0.03 V + 0.003 V + 0.06 V = 0.093 V"]),
    ("DC current", "30 mA", None, "33 degC", [
        "30.00 mA on the 60 mA range, ±(0.8 % + 3 counts)",
        "Tolerance: 0.8 % × 30.00 mA + 3 × 0.01 mA + 5 × 0.01 % × 30.00 mA + 5 × 0.5 × 0.01 mA = "
        "0.24 mA + 0.03 mA + 0.015 mA + 0.025 mA = 0.31 mA"]),
])
def test_the_worked_lines(function, value, hertz, ambient, lines, functions):
    """Every term stands in its own numbers, down and up apart where they differ."""
    found, _, _ = quick_answer.answer(functions, function, value, hertz, None, ambient)
    assert [plain(line) for line in found[1:1 + len(lines)]] == lines


def test_each_table_has_a_case():
    """None is there for nothing."""
    assert {case.function for case in CASES} == {
        one.get("name", one["function"]) for one in FUNCTIONS}
