"""Problems as text and as JSON."""

import json

import pytest

from builder.files.problems import Place, Problem, as_json, as_text, errors, in_order


def one(line=1, column=1, *, file="a.yaml", code="value", sentence="it is wrong", hint="",
        severity="error", text="", length=1):
    return Problem(Place(file, line, column, length, text), code, sentence, hint, severity)


def test_a_problem_prints_place_line_carets_and_hint():
    """File, line, column, severity and sentence; the line itself; carets under the value; the
    hint."""
    shown = str(one(14, 17, file="procedures/meters/dunlin-60.yaml",
                    sentence="'600 mA' is a current", hint="did you mean '600 mV'?",
                    text="      - {range: 600 mA, resolution: 0.1 mV}", length=6))
    assert shown == (
        "procedures/meters/dunlin-60.yaml:14:17: error: '600 mA' is a current\n"
        "   14 |       - {range: 600 mA, resolution: 0.1 mV}\n"
        "      |                 ^^^^^^\n"
        "   hint: did you mean '600 mV'?")


def test_without_line_or_hint_only_the_sentence_is_printed():
    """Nothing is printed of what isn't there."""
    assert str(one()) == "a.yaml:1:1: error: it is wrong"
    assert str(one(severity="warning",
                   hint="so?")) == "a.yaml:1:1: warning: it is wrong\n   hint: so?"


@pytest.mark.parametrize("column, length, text",
                         [(500, 6, "x" * 1000), (1, 6, "y" * 1000), (996, 5, "z" * 1000),
                          (3, 4000, "ab" + "c" * 300)])
def test_a_very_long_line_is_cut_around_the_place(column, length, text):
    """The carets stay under the value, and the printed line short, however long the file's line
    is."""
    marked = text[:column - 1] + "#" + text[column:]
    _, line, carets = str(one(1, column, text=marked, length=length)).split("\n")
    assert len(line) < 200 and len(carets) < 200
    assert line[carets.index("^")] == "#"


def test_the_carets_stay_under_the_value_behind_odd_characters():
    """A tab or an invisible character before the value takes one place in the line as in the
    count."""
    _, line, carets = str(one(1, 6, text="a:\t\u200b #x", length=2)).split("\n")
    assert line[carets.index("^"):].startswith("#x") and carets.count("^") == 2


def test_problems_are_sorted_by_file_and_line_and_stand_once():
    """By file, line and column, each once, whatever order they were found in."""
    found = [one(9, 2), one(2, 9), one(10, 1), one(2, 3), one(9, 2), one(1, 1, file="b.yaml"),
             one(2, 3, sentence="another")]
    assert [(p.place.file, p.place.line, p.place.column) for p in in_order(found)] == [
        ("a.yaml", 2, 3), ("a.yaml", 2, 3), ("a.yaml", 2, 9), ("a.yaml", 9, 2), ("a.yaml", 10, 1),
        ("b.yaml", 1, 1)]


@pytest.mark.parametrize("severities, last",
                         [(["error"], "1 error"), (["error"] * 2, "2 errors"),
                          (["warning"], "1 warning"),
                          (["error", "warning", "warning"], "1 error, 2 warnings")])
def test_the_text_ends_with_how_many_there_are(severities, last):
    """Errors and warnings are counted apart in the last line."""
    assert as_text(one(n + 1, severity=s) for n, s in enumerate(severities)).split("\n")[-1] == last


def test_no_problems_are_no_text():
    """Nothing wrong, nothing said."""
    assert as_text([]) == "" and json.loads(as_json([])) == []


def test_json_holds_all_of_a_problem():
    """One object a problem, sorted as the text is, for editors and scripts."""
    found = json.loads(
        as_json([one(3, 4, hint="Ω?", length=7, code="unit"), one(1, 1, severity="warning")]))
    assert found[1] == {"file": "a.yaml", "line": 3, "column": 4, "length": 7, "severity": "error",
                        "code": "unit", "problem": "it is wrong", "hint": "Ω?"}
    assert [p["line"] for p in found] == [1, 3]


def test_warnings_are_no_errors():
    """Only errors stop a build."""
    assert [p.place.line for p in errors([one(1, severity="warning"), one(2)])] == [2]
