"""The same project by other engines: by ProperDocs, the drop-in fork of MkDocs, with the plugin;
and its export by Zensical, the successor, which knows no plugin. What holds of the site that MkDocs
builds is asked of theirs once more; all of it belongs to the long form."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from decimal import Decimal
from importlib.util import find_spec
from pathlib import Path
from urllib.parse import urljoin

import pytest

from builder.pages import offline
from builder.pages.export import export
from tests.conftest import PAGES, SHEETS, Project, needed
from tests.pages import test_render as test_site
from tests.phone_bench import PHONE, Sheet, validate

pytestmark = pytest.mark.long

# What an engine brings along itself: its own scripts and styles, its search, its map of the site.
ENGINES_OWN = re.compile(r"assets/(javascripts|stylesheets|images)/|search(/|\.js)|sitemap\.xml")
GENERATOR = re.compile(rb'<meta name="generator" content="[^"]*">')


class Built(Project):
    """A site that is there already."""

    def __init__(self, site: Path):
        self.site = site


def by_engine(name: str, folder: Path, *arguments: str) -> None:
    """Runs an engine as a program of its own, strictly, so that a warning is a failure."""
    needed(find_spec(name), f"the package {name}")
    done = subprocess.run([sys.executable, "-m", name, "build", "--strict", *arguments], cwd=folder,
                          stdout=subprocess.PIPE, stderr=subprocess.STDOUT, encoding="utf-8",
                          timeout=240)
    assert done.returncode == 0, done.stdout
    assert not re.search(r"WARN|ERROR|Traceback|deprecat", done.stdout, re.I), done.stdout


def by_the_successor(project: Project, folder: Path) -> Built:
    """As README.md has it: the export, and beside it mkdocs.yml as it stands."""
    assert export(folder / "site_src", project.root, project.procedures)[0]
    shutil.copy(project.root / "mkdocs.yml", folder)
    by_engine("zensical", folder)
    return Built(folder / "site")


@pytest.fixture(scope="module")
def fork(demo, tmp_path_factory) -> Built:
    made = Built(tmp_path_factory.mktemp("fork") / "site")
    by_engine("properdocs", demo.root, "--config-file", "mkdocs.yml", "--site-dir", str(made.site))
    return made


@pytest.fixture(scope="module")
def successor(demo, tmp_path_factory) -> Built:
    return by_the_successor(demo, tmp_path_factory.mktemp("successor"))


# ---------------------------------------------------------------- the same addresses

def test_the_fork_builds_the_same_bytes(demo, fork):
    """Every file is the one that MkDocs makes, but for the engine's name in the head of each page
    and so for the worker, which lists what each file holds; that is right for its own site."""
    here, there = ({name: GENERATOR.sub(b"", content) for name, content in site.files().items()
                    if name != offline.WORKER} for site in (fork, demo))
    assert list(here) == list(there)
    assert [name for name in here if here[name] != there[name]] == []
    assert (fork.site / offline.WORKER).read_text(encoding="utf-8") == offline.worker(fork.site)


def test_the_successor_builds_the_same_addresses(demo, successor):
    """Every page is where MkDocs has it (404 too, which each engine makes by itself), and data,
    styles, scripts, pictures and the calendar are the same bytes; only the copies for places
    without a network and what a phone installs are lacking, which the plugin adds."""
    here, there = ({name: content for name, content in site.files().items()
                    if not ENGINES_OWN.match(name)} for site in (successor, demo))
    assert set(there) - set(here) == {
        offline.WORKER, offline.SCRIPT, offline.MANIFEST, offline.ICON}
    assert set(here) <= set(there)
    assert [name for name in here if not name.endswith(".html") and here[name] != there[name]] == []
    assert {f"{page}.html"
            for page in PAGES} | {"due-dates.ics", "assets/bench.css", "assets/verdict.js",
                                  *(f"data/procedures/{name}.json" for name in SHEETS)} <= set(here)


# ---------------------------------------------------------------- the same pages

@pytest.mark.parametrize("name", SHEETS)
@pytest.mark.parametrize("holds", [
    test_site.test_every_limit_of_the_data_stands_on_its_page,
    test_site.test_a_table_of_allowances_follows_from_the_data,
    test_site.test_every_check_of_the_data_stands_on_its_page,
    test_site.test_every_group_of_points_has_a_drawing,
    test_site.test_the_page_carries_its_own_data,
    test_site.test_a_sheet_is_two_taps_from_the_first_page], ids=lambda test: test.__name__)
@pytest.mark.parametrize("engine", ["fork", "successor"])
def test_what_holds_of_a_sheet_holds_by_any_engine(request, engine, holds, name):
    """Every row with its id and both limits is there, and the rest of the sheet."""
    holds(request.getfixturevalue(engine), name)


@pytest.mark.parametrize("holds",
                         [test_site.test_every_link_leads_somewhere,
                          test_site.test_no_page_names_another_host_for_anything_it_loads],
                         ids=lambda test: test.__name__)
def test_what_holds_of_the_site_holds_by_the_successor(successor, holds):
    """Links lead to files and places that are there; nothing comes from another host."""
    holds(successor)


def test_the_successor_shows_the_same_pages(demo, successor):
    """The same text, the same elements and the same links, so that no Markdown and no HTML is left
    as text that MkDocs reads; and no id stands twice, the engine's own around the page among
    them."""
    pages = sorted(name.removesuffix(".html") for name in demo.files()
                   if name.endswith(".html") and name != "404.html")
    assert set(PAGES) < set(pages)
    for page in pages:
        whole = successor.page(page)
        here, there = whole.one("article"), demo.page(page).one("article")
        assert here.text == there.text, page
        elements, links = ([[element.tag for element in article.all() if element.tag != "a"]
                            for article in (here, there)],
                           [[urljoin(f"{page}.html", link["href"]) for link in article.all("a")
                             if link["href"]] for article in (here, there)])
        assert elements[0] == elements[1], page
        assert links[0] == links[1], page
        assert here.all("h1") and not re.search(r"\|\s*:?--|<(table|div|p|svg|td)\b|\{ ?[.:#]|\]\(",
                                                here.text), page
        ids = [element["id"] for element in whole.all() if element["id"]]
        assert sorted(set(ids)) == sorted(ids), page


@pytest.fixture(scope="module")
def hard_texts(lasting_project, tmp_path_factory) -> Built:
    return by_the_successor(lasting_project().write(**test_site.HARM),
                            tmp_path_factory.mktemp("hard"))


@pytest.mark.parametrize("holds",
                         [test_site.test_texts_with_signs_in_them_show_as_they_were_written,
                          test_site.test_the_foot_of_the_print_shows_signs_as_they_were_written,
                          test_site.test_a_title_with_tags_in_it_makes_no_tags],
                         ids=lambda test: test.__name__)
def test_texts_full_of_signs_pass_through_the_successor(hard_texts, holds):
    """HTML, Markdown, Jinja and quotes in a shop's texts stay text by an engine that reads the
    exported pages alone."""
    holds(hard_texts)


# ---------------------------------------------------------------- at the bench

@pytest.mark.browser
def test_a_sheet_by_the_successor_judges_and_keeps_readings(tab, successor):
    """On a phone: a reading at each limit passes, one beyond fails, as it is typed; both are there
    after a reload, and in a record as the schema has it."""
    sheet = Sheet(tab(**PHONE, accept_downloads=True),
                  (successor.site / f"procedures/{SHEETS[0]}.html").as_uri())
    steps = [step for step, point in sheet.points.items() if point["kind"] == "source"
             and point["function"] == "DC voltage" and not point["hazard"]][:2]
    assert len(steps) == 2
    passing, failing = steps
    accept, high = sheet.points[passing]["accept"], Decimal(
        sheet.points[failing]["accept"]["high"].split(" ")[0])
    beyond = str(high + Decimal(sheet.points[failing]["resolution"].split(" ")[0]))
    for limit in (accept["low"], accept["high"]):
        sheet.type(passing, limit.split(" ")[0])
        assert sheet.outcome(passing) == "pass" and sheet.says(passing).startswith("✓ within ")
    sheet.type(failing, beyond)
    assert sheet.outcome(failing) == "fail" and sheet.says(failing).startswith("✗ not within ")
    sheet.kept()
    sheet.page.reload()
    sheet.ready()
    assert [sheet.outcome(step) for step in steps] == ["pass", "fail"]
    record = sheet.save()
    validate(record)
    readings = {point["step"]: [(one["reading"].split(" ")[0], one["outcome"])
                                for one in point["readings"]] for point in record["points"]}
    assert (readings[passing],
            readings[failing]) == ([(accept["high"].split(" ")[0], "pass")], [(beyond, "fail")])
    assert sheet.page.evaluate("document.documentElement.scrollWidth") <= PHONE["viewport"]["width"]
    assert sheet.wrong == []
