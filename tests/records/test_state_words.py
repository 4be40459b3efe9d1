"""Each code of a record has words, and no code is shown as it is spelt in the data by chance."""

from typing import get_args

from builder.formats.outcomes import DONE, INCOMPLETE, Outcome
from builder.records import meter_outcome, state_words


def test_every_outcome_has_words():
    """Those that a record may hold, of a try that says nothing, and of a point that was not done;
    a failure stands out."""
    assert set(state_words.OUTCOMES) == {
        *get_args(Outcome), INCOMPLETE, ""} == {*DONE, INCOMPLETE, ""}
    assert [words for words in state_words.OUTCOMES.values() if words.isupper()] == ["FAIL"]


def test_every_state_has_words():
    """Of functions and of the meter, short and as a sentence."""
    codes = {name: code for name, code in vars(meter_outcome).items()
             if name.isupper() and isinstance(code, str)
             and name not in ("PASS", "CONDITIONAL_PASS", "CONDITIONAL_FAIL", "FAIL", "WRITTEN")}
    of_meters = {code for name, code in codes.items() if name.startswith("METER_")}
    assert set(state_words.METERS) == set(state_words.VERDICTS) == of_meters
    assert set(state_words.FUNCTIONS) == {code for name, code in codes.items()
                                          if not name.startswith("METER_")}
    assert all(sentence.endswith(".") for sentence in state_words.VERDICTS.values())
