"""What a meter's input bears: the level of a signal, the rating, and a wave's peak and crest."""

import pytest

from tests.procedure.test_refusals import AC, COUNTER, DC, WAVES
from tests.small_shop import function, load_points, only_problem, range_, the_procedure


@pytest.mark.parametrize("one, point, rated", [
    (COUNTER, {"apply": "1 kHz", "level": "3 V"}, "2 V"),
    (function("duty cycle", range_("100 %", "0.1 %", "0.5 %")),
     {"apply": "50 %", "frequency": "50 Hz", "level": "3 V"}, "2 V"),
])
def test_a_level_beyond_the_input_is_named_in_volts(one, point, rated, tmp_path):
    """It is the signal's level that the input doesn't bear, so the sentence names the level and the
    limit in volts."""
    found = only_problem(load_points(tmp_path, one, point, rated={"between_terminals": rated}))
    sentence = found.sentence.replace("\u00a0", " ")
    assert found.code == "beyond-input"
    assert "3 V" in sentence and "2 V" in sentence, sentence


def test_a_level_beyond_the_volt_hertz_product_is_named_in_volts(tmp_path):
    """The product of the level and the frequency applied counts: 5 V at 5 kHz is 25 000 V·Hz."""
    found = only_problem(load_points(tmp_path, COUNTER, {"apply": "5 kHz", "level": "5 V"}))
    sentence = found.sentence.replace("\u00a0", " ")
    assert found.code == "beyond-volt-hertz"
    assert "5 V" in sentence and "5 kHz" in sentence and "20000 V·Hz" in sentence, sentence
    assert "DC" not in sentence


def test_input_limits_hold_for_observations_too(tmp_path):
    """Beyond what the input bears a point is an error, also where no limit is asked for."""
    found = only_problem(load_points(tmp_path, DC, {"apply": "5 V", "observe": "why not"},
                                     rated={"between_terminals": "2 V"}))
    assert found.code == "beyond-input"


def test_the_rating_holds_where_the_function_says_nothing_or_more(tmp_path):
    """A function's own limit can only lower what the meter is rated for between its terminals."""
    one = function("DC voltage", range_("1000 V", "1 V", "1 %"), input={"highest": "1000 V"})
    assert only_problem(load_points(tmp_path, one, {"apply": "700 V"},
                                    rated={"between_terminals": "600 V"})).code == "beyond-input"
    the_procedure(load_points(tmp_path / "b", one, {"apply": "600 V"},
                              rated={"between_terminals": "600 V", "CAT III": "300 V"}))


def test_a_current_input_has_its_own_limit(tmp_path):
    """The voltage rating says nothing about amperes; the function's own limit does."""
    one = function("DC current", range_("10 A", "10 mA", "1 %", highest_reading="19.99 A"),
                   input={"highest": "10 A"})
    assert only_problem(load_points(tmp_path, one, {"apply": "12 A"})).code == "beyond-input"
    the_procedure(load_points(tmp_path / "b", one, {"apply": "10 A"}))


@pytest.mark.parametrize("peak, code", [("4.243 V", ""), ("4.242 V", "beyond-peak")])
def test_the_peak_of_a_sine(peak, code, tmp_path):
    """That of 3 V is 3·√2 V = 4.2426 V."""
    shop = load_points(tmp_path, AC | {"input": {"peak": peak}},
                       {"apply": "3 V", "frequency": "50 Hz"})
    assert [problem.code for problem in shop.errors] == ([code] if code else [])


@pytest.mark.parametrize("given, code", [
    ({"input": {"peak": "3.465 V"}}, ""), ({"input": {"peak": "3.464 V"}}, "beyond-peak"),
    ({"crest_factor": "1.733"}, ""), ({"crest_factor": "1.732"}, "beyond-crest")])
def test_the_peak_and_the_crest_factor_of_a_triangle(given, code, tmp_path):
    """The crest factor of a triangle is √3 = 1.73205, so 2 V has a peak of 3.4641 V."""
    shop = load_points(tmp_path, AC | given,
                       {"apply": "2 V", "frequency": "50 Hz", "wave": "triangle"},
                       standard_file=WAVES)
    assert [problem.code for problem in shop.errors] == ([code] if code else [])
