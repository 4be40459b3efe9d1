"""Results from before: each at its meter, as it was written, and what can't be placed is told."""

from __future__ import annotations

import pytest

from builder.pages import render
from builder.shop import contents, loading
from tests.recorded import data_of, folder_with, put, record

HEAD = "serial;date;point;reading;error;low;high;outcome;meter\n"


@pytest.fixture(scope="module")
def root(tmp_path_factory):
    """A meter with a record and one in the register; each test writes the table."""
    made = folder_with(tmp_path_factory.mktemp("past"))
    put(made, "2026-03-12-a.yaml", record(data_of(made)))
    (made / "register.yaml").write_text(
        "meters:\n  - {serial: '0147', meter: lapwing-1}\n  - {serial: N-1, meter: lapwing-1}\n",
        encoding="utf-8")
    (made / "past").mkdir()
    return made


def load(root, text: str):
    (root / "past/before.csv").write_text(HEAD + text, encoding="utf-8")
    return loading.load_shop(root)


def test_they_are_shown_as_others_judged_them(root):
    """In the history of a meter with records and on a page of one without; nothing is judged."""
    shop = load(root, "0147;2019-05-14;3 V;3,002 V;;2,986 V;3,014 V;pass;\n"
                "0147;2020-05-14;3 V;;0,07 %;;;pass;\nN-1;14.05.2018;3 V;OL;;;;fail;lapwing-1\n")
    assert not shop.problems, "\n".join(map(str, shop.problems))
    own = shop.past["lapwing-1", "0147"]
    assert [(one.date.year, one.reading, one.error, one.low) for one in own] == [
        (2020, None, "0.07 %", None), (2019, "3.002 V", None, "2.986 V")]
    assert ("procedures/past/before.csv: read with ';' between the cells and ',' as the decimal "
            "sign.") in contents.summary(shop)
    pages = render.render(shop).pages
    for page, said in (("history/lapwing-1-0147.md", "3.002 V"),
                       ("history/lapwing-1-n-1.md", "OL")):
        assert "Earlier results, judged by others" in pages[page] and said in pages[page]
    assert 'href="history/lapwing-1-n-1.html"' in pages["shop.md"]
    assert "no report yet" in pages["history/lapwing-1-n-1.md"]


@pytest.mark.parametrize("row, severity, says", [
    ("0147;2019-05-14;3 V;;;;;pass;", "error", "neither a reading nor an error"),
    ("0147;14.5.19;3 V;3 V;;;;;", "error", "'14.5.19' is not a date"),
    ("0147;2019-05-14;3 V;about 3;;;;;", "error", "about 3"),
    ("0147;2019-05-14;3 V;3E+00;;;;;", "error", "cell D2"),
    ("0147;2019-05-14;;3 V;;;;;", "error", "'point' is missing"),
    ("0148;2019-05-14;3 V;3 V;;;;;", "error", "no meter here has the serial number 0148"),
    ("0148;2019-05-14;3 V;3 V;;;;;lapwing-1", "warning", "the shop has no lapwing-1"),
    ("0147;2019-05-14;3 V;3 V;;;;;;;x", "error", "more cells than the head")])
def test_what_a_row_may_not_hold(row, severity, says, root):
    """At its line; the rows beside it stand."""
    shop = load(root, row + "\n0147;2019-05-15;3 V;3.001 V;;;;;\n")
    (problem,) = shop.problems
    assert (problem.place.file, problem.place.line) == ("procedures/past/before.csv", 2)
    assert problem.severity == severity and says in problem.sentence and problem.hint
    assert "3.001 V" in [one.reading for one in shop.past["lapwing-1", "0147"]]
