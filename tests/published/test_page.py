"""Every value of `builder.published`, and its page: each comes out as published or says why not;
nothing that the tests name as a source is missing there; and what is wrong is shown as wrong."""

from __future__ import annotations

import ast
import re
import time
import tomllib

import pytest

from builder import published
from builder.compute.exact import thermocouple
from builder.pages import render
from builder.published import base, budgets, risks, tables, thermometers
from builder.published.base import AGREES, DIFFERS, OTHERWISE, SURE
from tests.conftest import ROOT, parse

VALUES = [pytest.param(source, value, id=f"{source.name}, {value.clause} {value.what}")
          for source in published.SOURCES for value in source.values]


def page_text(html: str) -> str:
    """With plain spaces, as `Element.text` has no others."""
    return parse(html).text


def made() -> str:
    return page_text(render.published_page())


# ---------------------------------------------------------------- the values

@pytest.mark.parametrize("source, value", VALUES)
def test_value(source, value):
    """It comes out to the last figure that is given; or as something else that is right, too, and
    then says why; and it has a word for how sure it is."""
    found = value.result()
    assert found.outcome == (OTHERWISE if value.because else AGREES), found.built
    assert value.sure in SURE


def test_few_are_not_as_printed():
    """Only these may come out otherwise; each has a reason."""
    assert {(source.name, value.what) for source,
            value in (p.values for p in VALUES) if value.because} == {
                ("EA-4/02 M, worked examples", "coverage factor k"),
                ("ILAC-G8:09/2019", "specific risk without a guard band"),
                ("NIST/SEMATECH e-Handbook, 6.3.2.2, individuals chart", "its limits"),
                *(("NIST StRD, linear regression, “Norris”", what)
                  for what in ("intercept", "standard deviation of the intercept",
                               "standard deviation of the slope", "residual standard deviation"))}


def test_figures_are_those_of_the_source():
    """What is built has as many decimals as what it should be, number by number, unless it is
    another number in words."""
    for _, found in published.results():
        for one in found:
            if not re.search("under|to", one.value.should_be):
                decimals = [
                    [len(number.partition(".")[2]) for number in re.findall(r"\d+\.?\d*", text)]
                    for text in (one.value.should_be, one.built)]
                assert decimals[0] == decimals[1], one


# ---------------------------------------------------------------- what is wrong is shown as wrong

@pytest.fixture
def anew():
    """What was computed before a test isn't taken again, in it and after it."""
    published.results.cache_clear()
    yield
    published.results.cache_clear()


WRONG = [
    (thermometers, "emf", lambda **given: thermocouple.emf(**given) * 2,
     ["type K, junction at 0 °C", "type N at 100 °C"]),
    (budgets, "combine", lambda *, components,
     probability=0.95: base_combine(components=components,
                                    probability=min(0.999, probability + 0.01)),
     ["S9: coverage factor k", "S10: k of two rectangles"]),
    (risks, "multiplier", lambda *, tur: 0.5, ["M for TUR 1.5, 2, 3, 4"]),
    (tables, "fitted", lambda *,
     points: true_fit(points=[*points[:-1], type(points[0])(points[-1].x, points[-1].y + 1e-6)]),
     ["residual standard deviation"]),
    (tables, "HAZARDOUS_DC", 50, ["threshold of hazard, AC and DC"]),
]
base_combine, true_fit = budgets.combine, tables.fitted


@pytest.mark.parametrize("module, name, other, shown", WRONG, ids=[name for _, name, _, _ in WRONG])
def test_a_wrong_function_shows(anew, monkeypatch, module, name, other, shown):
    """With another function in its place, its values say in bold that they don't agree, also those
    that come out otherwise than printed, and the head of the page counts them."""
    assert "does not agree" not in made() and "none disagrees" in made()
    published.results.cache_clear()
    monkeypatch.setattr(module, name, other)
    page = parse(render.published_page())
    rows = [row.text for row in page.all("tr") if row.all("b")]
    assert rows and all("does not agree" in row for row in rows)
    for what in shown:
        assert [row for row in rows if row.startswith(what)], rows
    assert f"{len(rows)} do not agree" in page.one("div.verdict-box").text


# ---------------------------------------------------------------- the page has every source

NAMES = re.compile(
    r"EA-4/02 M|JCGM \d+|GUM|ILAC-G\d+|(?:ISO/)?IEC \d{5}(?:-\d+)?|EN \d+-\d+:\d+/A\d+|ANSI/NCSL "
    r"Z[\d.]+\d|NIST Monograph \d+|NIST StRD|HSE GS\d+|SplitMix64|RFC \d+|WCAG [\d.]+\d")
CLAUSE = re.compile(r"(?:table )?(?:[A-Z]\.\d+(?:\.\d+)*|\d\.\d+\.\d+(?:\.\d+)?|S\d+)\b")
IN_PROSE = re.compile(r"JCGM 106:2012, (\d\.\d)")


def docstrings():
    """(file and name, text) of every docstring of the tests."""
    for path in sorted((ROOT / "tests").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node,
                          (ast.Module, ast.FunctionDef, ast.ClassDef)) and (
                                  text := ast.get_docstring(node)):
                yield f"{path.relative_to(ROOT)}, {getattr(node, 'name', 'its head')}", " ".join(
                    text.split())


def test_every_source_and_clause_that_a_test_names_is_on_the_page():
    """All docstrings of all tests."""
    page, seen = made(), set()
    for where, text in docstrings():
        for name in NAMES.findall(text):
            assert name in page, (where, name)
            seen.add(name)
        if where.startswith("tests/published") and NAMES.search(text):
            for clause in [*CLAUSE.findall(text), *IN_PROSE.findall(text)]:
                assert re.search(rf"(?<![\w.]){re.escape(clause)}(?![\w.]*\w)",
                                 page), (where, clause)
    assert {"EA-4/02 M", "GUM", "JCGM 106", "NIST Monograph 175", "ISO/IEC 17025"} <= seen


def test_a_test_that_was_not_computed_names_its_source():
    """In tests/published a value that is read, second hand or from memory comes with a publication
    that the page has."""
    for where, text in docstrings():
        if where.startswith("tests/published") and not where.startswith(
                "tests/published/test_page") and not where.endswith("its head"):
            if re.search(r"\b(read|second hand|from memory)\)|\((read|second hand|from memory)\b",
                         text):
                assert NAMES.search(text) or "IEC 60228" in text, where


def test_every_program_that_tests_compare_with_is_on_the_page():
    """Every package that only tests need is named there, or is here as a tool."""
    tools = {"hatchling", "hypothesis", "mypy", "playwright", "pypdf", "pytest", "pytest-xdist",
             "ruff", "selenium"}
    wanted = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"][
        "optional-dependencies"]["test"]
    packages = {re.match(r"[\w-]+", one)[0].lower() for one in wanted} - tools
    assert {package.removesuffix("-playwright-python")
            for package in packages} == {name.lower() for name, _ in published.PROGRAMS}


# The words of `published.PROGRAMS`, and what a test asserts.
CLOSE = [
    ("GTC", "uncertainties of random budgets, to 12 figures", "compute/statistics/test_budget.py",
     "test_combined_as_gtc_does", "GTC.uncertainty(total), rel=1e-12"),
    ("GTC", "degrees of freedom, to 9", "compute/statistics/test_budget.py",
     "test_combined_as_gtc_does", "rel=1e-9"),
    ("SciPy", "t, to 8 figures", "compute/statistics/test_student.py",
     "test_student_as_scipy_has_it", "rel=1e-8"),
    ("SciPy", "normal, trapezoidal and triangular distributions, to 12 decimals or more",
     "compute/statistics/test_budget.py", "", "stats.norm.cdf(x / 0.8), abs=1e-14"),
    ("SciPy", "trapezoidal", "compute/statistics/test_budget.py", "",
     "stats.trapezoid.cdf(x, 1 / 3, 2 / 3, -3, 6), abs=1e-12"),
    ("SciPy", "triangular", "compute/statistics/test_budget.py", "",
     "stats.triang.cdf(x, 0.5, -3, 6), abs=1e-12"),
    ("SciPy", "bivariate normal distribution, to a millionth", "compute/statistics/test_risk.py",
     "agree", "abs=1e-6"),
    ("SciPy", "lines through errors over time, to a millionth of the largest error",
     "compute/statistics/test_trend.py", "test_line_as_scipy_has_it",
     "other.intercept_stderr, rel=1e-6, abs=1e-6 * scale"),
    ("SciPy", "prediction intervals, to 6 figures", "compute/statistics/test_trend.py",
     "test_prediction_interval", "expected, rel=1e-6"),
    ("thermocouple-its90", "every whole degree of every type, to a billionth of a millivolt",
     "published/test_thermocouple.py", "test_every_whole_degree", "reference.emf(celsius)) < 1e-9"),
    ("thermocouple-its90", "12 026 values of NIST’s printed tables, each to its last figure",
     "published/test_thermocouple.py", "test_every_printed_value", "F(ours) == F(value)"),
    ("icalendar", "whatever the texts in them hold", "records/test_calendar_file.py", "",
     "icalendar and by the grammar"),
    ("jsonschema", "files, records and data", "formats/test_schemas.py", "", "jsonschema.validate"),
    ("ProperDocs", "the same bytes, but for the engine’s name", "pages/test_engines.py",
     "test_the_fork_builds_the_same_bytes", "if here[name] != there[name]] == []"),
    ("Zensical", "the same addresses", "pages/test_engines.py",
     "test_the_successor_builds_the_same_addresses",
     "set(there) - set(here) == { offline.WORKER, offline.SCRIPT, offline.MANIFEST, offline.ICON}"),
    ("jsonschema", "records", "formats/test_record_head.py", "", "jsonschema.validate"),
    ("jsonschema", "data", "procedure/test_data_of_sheet.py", "", "jsonschema.validate"),
    ("axe", "WCAG 2.2 AA", "pages/test_access.py", "", '"wcag22aa"'),
]


@pytest.mark.parametrize("program, words, file, function, asserted", CLOSE)
def test_how_closely_is_what_the_tests_assert(program, words, file, function, asserted):
    """The page says of a program what stands in the test."""
    source = (ROOT / "tests" / file).read_text(encoding="utf-8")
    if function:
        (node,) = [one for one in ast.walk(ast.parse(source)) if isinstance(one, ast.FunctionDef)
                   and one.name == function]
        source = ast.get_source_segment(source, node)
    source = " ".join(source.split())
    assert words in dict(published.PROGRAMS)[program] and asserted in source
    assert words in made()


# ---------------------------------------------------------------- the page

def test_every_value_is_a_row(demo):
    """What is checked, what it should be, what is built, the outcome and how sure it is stand in
    one row of the site's page, under their source."""
    page = demo.page("published")
    assert [head.text for head in page.one("div.report").all("h2")][:len(published.SOURCES)] == [
        source.name for source in published.SOURCES]
    for (_, found), table in zip(published.results(), page.all("table"), strict=True):
        rows = [[cell.text for cell in row.all("td")] for row in table.one("tbody").all("tr")]
        for one in found:
            value = one.value
            what = f"{value.clause}: {value.what}" if value.clause else value.what
            assert [what, value.should_be, one.built, one.outcome,
                    value.sure] in [[" ".join(cell.split()) for cell in row] for row in rows]
            assert not one.reason or ["", f"Not as printed: {one.reason}."] in rows


def test_the_head_counts(demo):
    """How many agree, how many are otherwise with a reason, how many don't."""
    found = [one.outcome for _, some in published.results() for one in some]
    said = demo.page("published").one("div.verdict-box").text
    assert (f"{found.count(AGREES)} of {len(VALUES)} agree" in said
            and f"{found.count(OTHERWISE)} are not as printed" in said and "none disagrees" in said)
    assert found.count(DIFFERS) == 0


def test_the_page_is_linked(demo):
    """From every evidence page, and from how a sheet is used."""
    for name in [f"evidence/{path.stem}" for path in (ROOT / "procedures/plans").glob("*.yaml")]:
        assert [a for a in demo.page(name).one("article").all("a")
                if a["href"] == "../published.html"], name
    assert [a for a in demo.page("using").one("article").all("a") if a["href"] == "published.html"]


def test_computed_once(anew, monkeypatch):
    """In one process nothing is computed twice, and the first time costs under 0.3 s."""
    start = time.process_time()
    first = published.results()
    assert time.process_time() - start < 0.3
    monkeypatch.setattr(base.Value, "result", lambda value: pytest.fail("computed again"))
    assert published.results() is first and render.published_page() == render.published_page()
