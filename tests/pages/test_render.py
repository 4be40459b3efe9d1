"""The built site: what stands on its pages, what it fetches, what a mistake does to it, and that
nothing but its input changes it."""

from __future__ import annotations

import contextlib
import json
import re
import shutil
from decimal import Decimal
from pathlib import Path
from urllib.parse import unquote, urldefrag, urljoin, urlsplit

import pytest
from mkdocs.exceptions import Abort

from builder.pages import raw_blocks, render, sheet_pages
from tests import small_shop as shop
from tests.conftest import (ADDRESS, METERS, PAGES, ROOT, SHEETS, Element, Project,
                            build_strictly, parse)

VOLTS = shop.function("DC voltage", shop.range_("6 V", "1 mV", "0.4 % + 2 counts"), dial="V DC")
SMALL = {"meter": shop.meter(VOLTS), "standard": shop.standard(),
         "plan": shop.plan({"function": "DC voltage", "apply": ["3 V", "-3 V"]})}
SMALL_FILES = SMALL["meter"], SMALL["plan"], SMALL["standard"]
FAULT = {"plan": shop.plan({"function": "DC voltage", "apply": ["3 A"]})}
IN_FAULT = "'3 A' is a current, a point of DC voltage needs volts"


def data(project: Project, kind: str, name: str) -> dict:
    return json.loads((project.site / f"data/{kind}/{name}.json").read_text(encoding="utf-8"))


def number(quantity: str) -> str:
    return quantity.split(" ")[0].replace("-", "−")


def unit(quantity: str) -> str:
    """A unit as a page shows it."""
    shown = quantity.split(" ")[1].replace("Ohm", "Ω").replace("degC", "°C").replace("degF", "°F")
    return "µ" + shown[1:] if shown.startswith("u") else shown


# ----------------------------------------------------- a strict build, and what stands on its pages

def test_a_strict_build_has_no_warning(demo, demo_at_address):
    """The demo builds strictly and says nothing worse than a notice."""
    for project in (demo, demo_at_address):
        assert "Documentation built" in project.said
        assert not re.search(r"WARN|ERROR|Traceback|deprecat", project.said, re.I)


def test_every_page_is_there(demo):
    """The site has a page for every meter, standard, plan, list and page written by hand."""
    for page in PAGES:
        assert demo.page(page).one("article").all("h1"), page
    assert set(demo.files()) >= {f"data/procedures/{name}.json" for name in SHEETS} | {
        f"data/meters/{name}.json" for name in METERS}


def readings_of(point: dict) -> list[str]:
    """What stands in the cells to write in: the unit, or nothing where the leads are still to be
    taken off; of a reference that is read twice both times, each with the unit."""
    looked_for = {"bandwidth": "0 Hz", "sensitivity": point["level"]}
    shown = unit(looked_for.get(point["find"]) or f"0 {point['unit']}")
    if point["kind"] == "reference":
        twice = f"before, {shown}after, {shown}" if point["reference"]["twice"] else shown
        return [shown, twice, shown]
    return (["", shown]
            if point["zero"] and point["correction"] == "subtract" else [shown])


def certified(point: dict) -> str:
    """The number on the certificate, from the standard's file; limits may stand around a little
    more, where what leads add is left in the reading."""
    def known(text: str) -> tuple[Decimal, str]:
        size, name = text.split()
        return Decimal(size), name.lower().replace("µ", "u")
    (standard,) = point["standards"]
    lines = (ROOT / f"procedures/standards/{standard}.yaml").read_text(encoding="utf-8")
    values = {known(nominal): known(value) for nominal, value in re.findall(
        r"nominal: ([^,]+), certified: ([^,]+),", lines)}
    (size, name), (expected, same) = values[known(point["apply"])], known(point["expected"])
    more = expected - size
    assert same == name and 0 <= more <= size / 1000
    return str(size)


def beside(point: dict, side: dict[str, list[str]]) -> list[str]:
    """What stands beside the applied value."""
    if point["kind"] == "zero":
        return []
    if point["kind"] == "artifact":
        return [certified(point)]
    if point["kind"] == "thermocouple":  # as the side table has it for a junction at 23 °C
        return [f"{side[point['step']][1]} mV"]
    setting = point["source_setting"]
    return [text for text in (point["frequency"], point["level"],
                              setting and f"{number(setting)} {unit(setting)}") if text]


def side_table(table: Element) -> dict[str, list[str]]:
    """Of each step, what stands in the row: in the column of its own apply and in that of 23 °C."""
    heads = [cell.text for cell in table.one("thead").all("th")]
    rows = [[cell.text for cell in row.all("td")] for row in table.one("tbody").all("tr")]
    return {row[0]: [row[1], row[heads.index("23 °C")]] for row in rows}


@pytest.mark.parametrize("name", SHEETS)
def test_every_limit_of_the_data_stands_on_its_page(demo, name):
    """Each point's values, frequency, range and both limits are in its row of the page, in the
    row's own cells; a certified value, a source's own setting and the leads alone too."""
    page, found = demo.page(f"procedures/{name}"), data(demo, "procedures", name)
    rows = {row["id"]: row for table in page.all("table.points")
            for row in table.one("tbody").all("tr") if "between" not in row.classes}
    side = {step: cells for table in page.all("table.by-junction") for step,
            cells in side_table(table).items()}
    assert list(rows) == [point["id"] for point in found["points"]]
    for point in found["points"]:
        row, kind = rows[point["id"]], point["kind"]
        applied = f"{number(point['apply'])} {unit(point['apply'])}"
        assert row.one("td.step").text.split()[0] == point["step"]
        assert row.one("td.apply").text in {"zero": ("leads together", "leads apart"),
                                            "reference": (f"about {applied}",)}.get(
                                                kind, (applied,))
        assert beside(point, side) == [text for text in row.one("td.at").text.split(", ") if text]
        assert " ".join((row.one("td.at")["data-head"] or "").split()) == {
            "artifact": "Certified", "coil": "Source", "thermocouple": "at 23 °C"}.get(kind, "")
        assert row.one("td.range").text.startswith(
            f"{number(point['range'])} {unit(point['range'])}")
        assert row.one("td.range").text.endswith("by hand") == point["range_forced"]
        written = readings_of(point)
        assert [cell.text for cell in row.all("td.reading")] == written
        if point["accept"]:
            low, high = point["accept"]["low"], point["accept"]["high"]
            assert row.one("td.from").text.split()[0] == number(low)
            assert row.one("td.to").text.split()[:2] == [number(high), unit(high)]
        else:
            assert row.all("td.from") == [] and (
                kind == "reference"
                or row.one("td.observe").text.removeprefix("Write down only: ") == " ".join(
                    point["observe"].split()))
        if point["accept"] and kind != "zero" and len(written) == 1:
            exact, tolerance = point["tolerance"].split(" ")[0], row.one("td.pm").text
            assert Decimal(0) <= Decimal(exact) - Decimal(tolerance) < Decimal(
                10) ** -(point["decimals"] + 1)
        elif kind == "reference":
            assert row.one("td.pm").text == "table" and Decimal(point["slope"])
        assert bool(row.all("b.live")) == (point["hazard"] is not None)
        assert (kind == "observation") == (row.one("td.within").text == "")


@pytest.mark.parametrize("name", SHEETS)
def test_a_table_of_allowances_follows_from_the_data(demo, name):
    """For each reference reading what the meter may differ: slope · reading + offset − guard band,
    cut off to the finest digit; the readings go from 80 % to 120 % of the value."""
    page, found = demo.page(f"procedures/{name}"), data(demo, "procedures", name)
    wanted, seen = {point["step"]: point for point in found["points"]
                    if point["kind"] == "reference"}, set()
    for table in page.all("table.aside"):
        if "by-junction" in table.classes:
            continue
        rows = [[cell.text for cell in row.all("td")] for row in table.one("tbody").all("tr")]
        for at, allowed in zip(rows[::2], rows[1::2], strict=True):
            point = wanted[at[0]]
            seen.add(at[0])
            assert (at[1], allowed[:2]) == (f"reference from, {unit(point['apply'])}",
                                            ["", "difference at most, ±"])
            terms = {key: Decimal(text.split(" ")[0])
                     for key in ("slope", "offset", "guard_band", "apply") if (text := point[key])}
            step = Decimal(point["reference"]["step"].split(" ")[0])
            for reading, difference in zip(at[2:], allowed[2:], strict=True):
                assert Decimal(difference) == (
                    terms["slope"] * Decimal(
                        reading) + terms["offset"] - terms["guard_band"]) // step * step, (
                            at[0], reading)
            ends = [Decimal(at[2]) / terms["apply"], Decimal(at[-1]) / terms["apply"]]
            assert [round(end, 3)
                    for end in ends] == [Decimal("0.8"), Decimal("1.2")] and len(at) == 11
    assert seen == set(wanted)


@pytest.mark.parametrize("name", SHEETS)
def test_every_number_of_a_side_table_has_its_head(demo, name):
    """Where the heads above the columns are gone, as on a phone, each number still names its
    junction's temperature or its reference reading."""
    for table in demo.page(f"procedures/{name}").all("table.aside"):
        rows = table.one("tbody").all("tr")
        heads = [cell.text for cell in table.one("thead").all("th")] if table.all("thead") else None
        assert (heads is not None) == ("by-junction" in table.classes)
        for above, row in zip([None, *rows], rows, strict=False):
            cells = row.all("td")
            of = heads or (None if "heads" in row.classes
                           else [cell.text for cell in above.all("td")])
            assert [" ".join((cell["data-head"] or "").split()) for cell in cells[2:]] == (
                [" ".join(head.split()) for head in of[2:]] if of else [""] * len(cells[2:]))
            assert bool(cells[0].text) == ("heads" in row.classes
                                           or (heads is not None and row is not rows[-1]))


@pytest.mark.parametrize("name", SHEETS)
def test_every_group_of_points_has_a_drawing(demo, name):
    """Each group of points, on two jacks or on a coil, shows what is connected to what, and says it
    in words; groups of checks have none."""
    page, points = demo.page(f"procedures/{name}"), {}
    for point in data(demo, "procedures", name)["points"]:
        points.setdefault(point["group"], []).append(point)
    for group in page.all("div.group"):
        drawings = group.all("svg.connection")
        steps = [cell.text.split(".")[0] for cell in group.all("td.step")]
        if not group.all("table.points"):
            assert drawings == []
            continue
        (drawing,) = drawings
        assert drawing["role"] == "img" and drawing.parent.classes[:2] == ["before", "drawn"]
        said = drawing["aria-label"]
        for point in points[steps[0]]:
            assert (said.startswith("Jaw: ") if point["kind"] == "coil"
                    else all(re.search(rf"\b{re.escape(jack)}\b", said) for jack in point["jacks"]))


@pytest.mark.parametrize("name", SHEETS)
def test_every_check_of_the_data_stands_on_its_page(demo, name):
    """Each check without numbers stands on the page with what to do, what is good, what often goes
    wrong and what to write down."""
    rows = [row for table in demo.page(f"procedures/{name}").all("table.checks")
            for row in table.one("tbody").all("tr")]
    checks = data(demo, "procedures", name)["checks"]
    assert [(row.one("td.step").text, row.one("td.good").one("span").text)
            for row in rows] == [(check["step"], check["good"]) for check in checks]
    assert [[small.text for small in row.one("td.good").all("small")] for row in rows] == [
        [f"Often wrong: {check['mistake']}"] if check["mistake"] else [] for check in checks]
    assert [[blank.text.replace("Ω", "Ohm") for blank in row.all("td.write")] for row in rows] == [
        [" ".join(filter(None, (check["write"], check["unit"])))] if check["write"] else []
        for check in checks]
    assert all(check["do"] in row.one("td.do").text
               for row, check in zip(rows, checks, strict=True))


@pytest.mark.parametrize("name", SHEETS)
def test_a_page_reads_well_without_its_style(demo, name):
    """The name of a check and what to do stand apart in the page's own text."""
    rows = [row for table in demo.page(f"procedures/{name}").all("table.checks")
            for row in table.one("tbody").all("tr")]
    for row in rows:
        title = row.one("td.do").one("b").text
        assert re.match(re.escape(title) + r"\W", row.one("td.do").text), row.one("td.do").text


@pytest.mark.parametrize("name", SHEETS)
def test_the_page_carries_its_own_data(demo, name):
    """The JSON in the page equals the data file."""
    assert json.loads(demo.page(f"procedures/{name}").by_id("procedure-data").raw) == data(
        demo, "procedures", name)


@pytest.mark.parametrize("page", PAGES)
def test_names_of_places_are_unique(demo, page):
    """No id stands twice on a page, so that every address leads to one place."""
    ids = [element["id"] for element in demo.page(page).all() if element["id"]]
    assert sorted(set(ids)) == sorted(ids)


def test_every_link_leads_somewhere(demo):
    """Each link inside the site leads to a file that exists and, with '#', to a place in it."""
    places = {page: {element["id"] for element in demo.page(page).all()} for page in PAGES}
    files = set(demo.files())
    for page in PAGES:
        for link in demo.page(page).all("a"):
            address, place = urldefrag(urljoin(f"{page}.html", link["href"] or ""))
            if urlsplit(address).scheme or not link["href"]:
                continue
            assert unquote(address) in files, (page, link["href"])
            # "limits.html#meter=…" is a question to that page's script
            if place and not place.startswith("__") and "=" not in place:
                assert unquote(place) in places[unquote(address).removesuffix(".html")], (
                    page, link["href"])


@pytest.mark.parametrize("name", SHEETS)
def test_a_sheet_is_two_taps_from_the_first_page(demo, name):
    """A door of the first page leads to a page with a link to the sheet, for each sheet."""
    doors = demo.page("index").one("nav.doors").all("a")
    first = {urljoin("index.html", link["href"]) for link in doors}
    second = {urljoin(page, link["href"]) for page in first
              for link in demo.page(page.removesuffix(".html")).one("article").all("a")}
    assert f"procedures/{name}.html" in second


@pytest.mark.browser
def test_two_taps_lead_to_a_sheet(tab, demo):
    """On a phone, without scripts, from a folder: two taps, and a sheet with its limits is on the
    screen."""
    phone = tab(viewport={"width": 360, "height": 740}, is_mobile=True, has_touch=True,
                java_script_enabled=False)
    phone.goto((demo.site / "index.html").as_uri())
    phone.locator(".doors a").first.tap()
    phone.locator(f"article a[href$='procedures/{SHEETS[0]}.html']").first.tap()
    phone.wait_for_url((demo.site / f"procedures/{SHEETS[0]}.html").as_uri())
    assert phone.locator("table.points td.from").first.is_visible()


@pytest.mark.parametrize("page", PAGES)
def test_generated_pages_stay_out_of_the_menu(demo, page):
    """The menu of every page holds the pages of mkdocs.yml and no sheet, meter or standard."""
    menu = {urljoin(f"{page}.html", link["href"])
            for nav in demo.page(page).all("nav.md-nav--primary")
            for link in nav.all("a.md-nav__link")}
    menu = {urldefrag(address)[0] for address in menu}
    assert {"index.html", "by-meter.html", "by-function.html", "using.html",
            "safety.html"} <= menu | {f"{page}.html"}
    assert [address for address in menu - {f"{page}.html"}
            if "/" in address] in ([], ["lessons/index.html"])


def test_the_search_finds_sheets_but_not_their_rows(demo):
    """The search finds sheets, and leaves the bodies of their tables out."""
    index = json.loads((demo.site / "search/search_index.json").read_text(encoding="utf-8"))
    texts = {doc["location"]: doc["text"] for doc in index["docs"]}
    for name in SHEETS:
        assert f"procedures/{name}.html" in texts
        first = next(point for point in data(demo, "procedures", name)["points"] if point["accept"])
        assert not any(number(first["accept"]["low"]) in text for place,
                       text in texts.items() if place.startswith(f"procedures/{name}"))


# ---------------------------------------------------------------- nothing is fetched from elsewhere

def test_no_page_names_another_host_for_anything_it_loads(demo):
    """Scripts, styles, pictures, fonts and frames all come from the site itself."""
    for page in [*PAGES, "404"]:
        for element in demo.page(page).all():
            for name in ("src", "srcset", "data", "poster", "action"):
                assert not re.match(r"(https?:)?//",
                                    element[name] or ""), (page, element.tag, element[name])
            if element.tag == "link":
                assert not re.match(r"(https?:)?//", element["href"] or ""), (page, element["href"])
            assert element.tag not in ("iframe", "object", "embed", "base"), page
            assert "@import" not in element.raw or element.tag != "style"
    for name, content in demo.files().items():
        if name.endswith(".css"):
            assert not re.search(rb"(url\(\s*['\"]?|@import\s+['\"]?)(https?:)?//", content), name


@pytest.mark.browser
@pytest.mark.parametrize("how", ["a folder", "a server"])
def test_no_request_leaves_the_site(tab, demo, served, how):
    """Opening a page of every kind, searching and turning to dark asks no other host for anything,
    and no script fails."""
    home = served if how == "a server" else demo.site.as_uri() + "/"
    page = tab()    # with the worker: tests/pages/test_offline.py
    asked, failed = [], []
    page.context.route(re.compile(r"^(https?|wss?)://(?!127\.0\.0\.1)"),
                       lambda route: route.abort())
    page.context.on("request", lambda request: asked.append(request.url))
    page.on("pageerror", lambda error: failed.append(str(error)))
    kinds = {name.split("/")[0]: name for name in PAGES}.values()
    for name in kinds:
        page.goto(f"{home}{name}.html")
    page.locator("label[for=__palette_1]").click()
    if how == "a server":
        page.locator(".md-search__input").press_sequentially("voltage")
        page.locator(".md-search-result__link").first.wait_for(state="attached")
    assert len(asked) > len(kinds)
    assert [address for address in asked if not address.startswith((home, "data:", "blob:"))] == []
    assert failed == []


@pytest.mark.browser
def test_a_sheet_turns_dark_without_the_script_of_the_theme(tab, demo):
    """By its own few lines, as the device is set until somebody chooses; the choice is that of
    every page of the site."""
    scheme = "document.body.getAttribute('data-md-color-scheme')"
    page = tab(color_scheme="light")
    address = f"{demo.site.as_uri()}/procedures/dunlin-60-yearly.html"
    page.goto(address)
    assert page.locator("script[src*='bundle.']").count() == 0
    assert page.evaluate(scheme) == "default"
    page.emulate_media(color_scheme="dark")
    page.wait_for_function(f"{scheme} === 'slate'")
    page.emulate_media(color_scheme="light")
    page.wait_for_function(f"{scheme} === 'default'")
    page.locator("label[for=__palette_1]").click()
    assert page.evaluate(scheme) == "slate"
    page.goto(f"{demo.site.as_uri()}/using.html")
    assert page.evaluate(scheme) == "slate"
    page.locator("label[for=__palette_0]").click()
    page.goto(address)
    assert page.evaluate(scheme) == "default"


@pytest.mark.browser
def test_the_search_button_works_or_is_not_there(tab, demo):
    """On a phone, from a folder, the head has no button that does nothing but stop the page from
    scrolling."""
    phone = tab(viewport={"width": 360, "height": 740}, is_mobile=True, has_touch=True)
    phone.goto((demo.site / f"procedures/{SHEETS[0]}.html").as_uri())
    button = phone.locator("label.md-header__button[for=__search]")
    assert not button.is_visible() or phone.locator(".md-search").get_attribute("hidden") is None


# ---------------------------------------------------------------- the adapter changes nothing

HARD = (
    r"""<b>&amp;"it's" {{ 7*7 }} {% raw %} </script><script>window.harm=1</script> *a* _b_ __c__ """
    r"""`d` [e](f) ![g](h) # + 1. | ~~i~~ ^j^ :k: $l$ \m </style> <!--block 0--> </table> """
    r"""{: .n } &lt; --> ]]> %}""")
HARM = {"meter": shop.meter(
    shop.function("DC voltage",
                  shop.range_("6 V", "1 mV", "0.4 % + 2 counts", dial=HARD, jacks=[HARD, "COM"]),
                  name=HARD, keys=HARD, ranging="manual"),
    name=HARD, maker=HARD, note=HARD,
    specification={"source": HARD, "holds": "18 to 28 degC", "interval": HARD}),
        "standard": shop.standard(name=HARD, description=HARD, maker=HARD, note=HARD,
                                  certificate=HARD, interval=HARD),
        "plan": shop.plan({"function": HARD, "range": "6 V", "apply": "3 V"},
                          {"function": HARD, "range": "6 V", "apply": "1 V", "observe": HARD},
                          title=HARD, note=HARD,
                          checks=[{"check": HARD, "when": "by eye", "do": HARD, "good": HARD,
                                   "mistake": HARD, "write": HARD[:40], "stops": "nothing",
                                   "of": "meter"}])}


@pytest.mark.parametrize("files",
                         [pytest.param(None, id="demo"), pytest.param(HARM, id="hard texts")])
def test_the_placeholders_change_no_byte(project, monkeypatch, demo_at_address, files):
    """A build that lets Markdown parse every raw block gives the same site as one that keeps them
    from it; only the search, which reads no raw block, finds less."""
    made = project(address=ADDRESS, learn=files is None)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", demo_at_address.variables["SOURCE_DATE_EPOCH"])
    if files is None:
        shutil.copytree(ROOT / "procedures", made.procedures)
        quick = demo_at_address.files()
    else:
        # A placeholder's own text in a title is the business of the test about tags in titles.
        made.write(**json.loads(json.dumps(files).replace("<!--block 0-->", "<!--a-->")))
        quick = made.build().files()
    monkeypatch.setattr(raw_blocks, "BLOCK", re.compile(r"(?!)"))
    slow = made.build().files()
    assert set(quick) == set(slow)
    # The worker lists the search's hash.
    assert [name for name in quick if quick[name] != slow[name]
            and name not in ("search/search_index.json", "sw.js")] == []
    assert not any(b"<!--block" in content for name,
                   content in quick.items() if name.endswith(".html"))


def test_a_page_written_by_hand_takes_the_place_of_a_generated_one(project):
    """It is built as its author wrote it."""
    made = project().write(**SMALL)
    (made.root / "site_src/by-meter.md").write_text("# My own list\n\nHello.\n", encoding="utf-8")
    page = made.build().page("by-meter")
    assert page.one("h1").text.startswith("My own list")


def test_markdown_inside_html_works_on_a_page_that_replaces_a_generated_one(project):
    """A page written by hand under a generated page's name may use md_in_html like any other."""
    made = project().write(**SMALL)
    (made.root / "site_src/by-meter.md").write_text(
        "# My own list\n\n<div markdown>\n**Bold**\n</div>\n", encoding="utf-8")
    assert [strong.text
            for strong in made.build().page("by-meter").one("article").all("strong")] == ["Bold"]


# ---------------------------------------------------------------- texts with signs in them

def texts_of(page: Element) -> str:
    return page.one("article").text


def shown(text: str) -> str:
    return " ".join(text.split())


@pytest.fixture(scope="module")
def hard(lasting_project) -> Project:
    """A site of texts full of signs."""
    return lasting_project(address=ADDRESS).write(**HARM).build()


def test_texts_with_signs_in_them_show_as_they_were_written(hard):
    """HTML, Markdown, Jinja and quotes in a shop's texts appear as text on every page that shows
    them."""
    made, page = hard, hard.page("procedures/lapwing-yearly")
    text, wanted = texts_of(page), shown(HARD)
    assert page.one("article").one("h1").text.startswith(wanted)
    for place in (f"{wanted}, {wanted}. {wanted}", f"Write down only: {wanted}",
                  f"Certificate, here {wanted}", f"{wanted}, {wanted}, no.", f"Meter: {wanted}",
                  f"Meter: dial to {wanted}"):
        assert place in text, place
    assert f"Accuracy from {wanted}, for an interval of {wanted}" in texts_of(
        made.page("evidence/lapwing-yearly"))
    check = page.one("table.checks")
    assert check.one("td.good").one("span").text == wanted and check.one("td.good").one(
        "small").text == f"Often wrong: {wanted}"
    assert check.one("td.write").text == shown(HARD[:40])
    assert texts_of(made.page("meters/lapwing-1")).count(wanted) >= 6
    assert texts_of(made.page("standards/petrel")).count(wanted) >= 6
    for name in ("by-meter", "by-function"):
        assert wanted in texts_of(made.page(name)), name
    assert json.loads(page.by_id("procedure-data").raw) == data(
        made, "procedures", "lapwing-yearly")
    assert data(made, "procedures", "lapwing-yearly")["checks"][0]["good"] == wanted
    for name in ("procedures/lapwing-yearly", "meters/lapwing-1", "standards/petrel", "by-meter",
                 "by-function"):
        article = made.page(name).one("article")
        assert all(script["type"] == "application/json" if script.raw
                   else re.fullmatch(r"(\.\./)?assets/[a-z]+\.js", script["src"])
                   for script in article.all("script")), name
        assert [element.tag for element in article.all()
                if element.tag in ("em", "strong", "code", "img", "ol", "del", "sup")] == [], name


def test_the_foot_of_the_print_shows_signs_as_they_were_written(hard):
    """A title can't end the style that carries it to the foot of each page; quotes in it become
    blanks."""
    (style,) = [style
                for style in hard.page("procedures/lapwing-yearly").one("article").all("style")
                if "@page" in style.raw]
    written = re.search(r'@bottom-left\{content:"((?:[^"\\]|\\.)*)"', style.raw)[1]
    shows = re.sub(r"\\([0-9a-f]{1,6}) ?|\\(.)",
                   lambda sign: chr(int(sign[1], 16)) if sign[1] else sign[2], written)
    assert shows.split(" · DRAFT, revision ")[0].split() == re.sub(r'[\\"]', " ", HARD).split()
    assert style.raw.endswith("counter(pages);text-align:right;font:8pt sans-serif}}")


def test_a_title_with_tags_in_it_makes_no_tags(hard):
    """A title with HTML in it shows as that text in the browser's tab and in the site's head
    too."""
    for name, title in (("procedures/lapwing-yearly", HARD), ("meters/lapwing-1", HARD),
                        ("standards/petrel", HARD)):
        text = (hard.site / f"{name}.html").read_text(encoding="utf-8")
        assert "<script>window.harm=1</script>" not in text, name
        assert shown(hard.page(name).one("head").one("title").text).startswith(shown(title)), name


@pytest.mark.browser
def test_texts_with_signs_in_them_do_no_harm(hard, tab):
    """No script that stands in a shop's text is run by any page."""
    page = tab()
    for name in ("by-meter", "by-function", "standards/petrel", "meters/lapwing-1",
                 "procedures/lapwing-yearly"):
        page.goto((hard.site / f"{name}.html").as_uri())
        assert page.evaluate("window.harm") is None, name


@pytest.mark.parametrize("starts", [
    pytest.param(["- a", "* a", "+ a", "> a", "# a", "=== a", "--- a", "---", "===", "***", ": a",
                  "``` a", "~~~ a", "    a", "<a", "&lt;", "| a", "[a]: b",
                  "*[a]: b", "!a", "!!! a", "???", "{: .a}", "1.a", "a  b"], id="signs"),
    pytest.param(["1. a", "2026. a"], id="numbers")])
def test_a_text_that_starts_like_markdown_stays_a_text(project, starts):
    """A maker, a description or a note that starts like a list, a quote, a heading or a rule is a
    paragraph."""
    files = {}
    for n, start in enumerate(starts):
        files[f"meters/m{n}.yaml"] = shop.meter(
            VOLTS, meter=f"m{n}", name=f"Lapwing {n}", maker=start, note=start)
        files[f"standards/s{n}.yaml"] = shop.standard(
            standard=f"s{n}", description=start, note=start, maker=start)
    made = project().write(**files).build()
    for n, start in enumerate(starts):
        for name, title in ((f"meters/m{n}", f"Lapwing {n}"), (f"standards/s{n}", "Petrel")):
            article = made.page(name).one("article")
            assert any(paragraph.text.lower().startswith(shown(start).lower())
                       for paragraph in article.all("p")), (name, start)
            assert [element.tag for element in article.all()
                    if element.tag in ("ol", "blockquote", "hr", "dl", "em")] == [], (name, start)
            assert {code.text
                    for code in article.all("code")} <= {"procedures/plans/"}, (name, start)
            assert [heading.text.strip("¶ ")
                    for heading in article.all("h1")] == [title], (name, start)


# ---------------------------------------------------------------- the code to scan

@pytest.mark.parametrize("address",
                         ["https://sheets.example", "https://sheets.example/",
                          "https://sheets.example/kittiwake/", "https://sheets.example/kittiwake"])
def test_a_sheet_carries_a_code_and_its_address(tmp_path, address):
    """With a site address each sheet has a code to scan and the page's own address as text."""
    page = parse(render.render(shop.load(tmp_path, *SMALL_FILES),
                               address).pages["procedures/lapwing-yearly.md"])
    scan = page.one("div.scan")
    assert scan.text == f"{address.rstrip('/')}/procedures/lapwing-yearly.html"
    (code,) = scan.all("svg")
    assert code.all("path")


def test_the_code_holds_the_address_of_the_page(demo_at_address):
    """Each sheet's code is its own: the code of its address, and of no other."""
    codes = {name: demo_at_address.page(f"procedures/{name}").one("div.scan") for name in SHEETS}
    paths = {name: code.one("svg").all("path")[-1]["d"] for name, code in codes.items()}
    assert len(set(paths.values())) == len(SHEETS)
    for name in SHEETS:
        made = parse(str(sheet_pages.code_to_scan(f"{ADDRESS}procedures/{name}.html")))
        assert made.all("path")[-1]["d"] == paths[name]


def test_without_an_address_there_is_no_code_but_a_notice(demo):
    """Without a site address sheets have no code; the build says so as a notice."""
    assert demo.page(f"procedures/{SHEETS[0]}").all("div.scan") == []
    (line,) = [line for line in demo.said.splitlines() if "site_url" in line]
    assert line.startswith("INFO")
    assert "no code to scan" in line


def test_serving_keeps_the_address_of_the_file(project):
    """While serving, the codes still lead to the published site, not to this machine."""
    made = project(address=ADDRESS).write(**SMALL).build(serving=True)
    assert made.page("procedures/lapwing-yearly").one(
        "div.scan").text == f"{ADDRESS}procedures/lapwing-yearly.html"


# ---------------------------------------------------------------- files with mistakes

OTHER = {"meters/whinchat-2.yaml": shop.meter(VOLTS, meter="whinchat-2", name="Whinchat 2"),
         "plans/whinchat-yearly.yaml": SMALL["plan"] | {
             "plan": "whinchat-yearly", "title": "Whinchat 2, yearly", "meter": "whinchat-2"}}


@pytest.mark.parametrize("serving", [True, False], ids=["serving", "building"])
def test_a_mistake_takes_out_only_what_depends_on_it(serving, project):
    """A page in its place says why, lists name it, a page has all problems, and every other page is
    as it was; mending brings all back. A build ends with exit code 1."""
    def build():
        with contextlib.nullcontext() if serving else pytest.raises(Abort) as ended:
            made.build(serving=serving)
        return ended

    made = project().write(**SMALL, **OTHER)
    good = made.build(serving=serving).files()
    assert "problems.html" not in good
    made.write(**FAULT)
    ended = build()
    if not serving:
        assert ended.value.code == 1 and f"error: {IN_FAULT}" in str(ended.value)
    bad = made.files()
    gone = {"procedures/lapwing-yearly.html", "evidence/lapwing-yearly.html"}
    for name in gone:
        page = made.page(name.removesuffix(".html"))
        assert page.one("article").one("h1").text.startswith("Missing: ")
        assert IN_FAULT in page.one("pre.problems").text
    assert set(good) - set(bad) == {"data/procedures/lapwing-yearly.json"}
    assert set(bad) - set(good) == {"problems.html"}
    lists = {"by-meter", "by-function", "in-progress", "meters/lapwing-1", "standards/petrel",
             "index", "using", "safety", "limits", "reports", "shop", "practice"}
    apart = {*gone, *(f"{name}.html" for name in lists), "data/site.json", "sw.js"}
    same = [name for name in good if name.startswith(("procedures/", "evidence/", "meters/whin",
                                                      "data/", "lessons/"))
            and name not in apart | {"data/procedures/lapwing-yearly.json"}]
    assert "procedures/whinchat-yearly.html" in same
    assert [name for name in same if good[name] != bad[name]] == []
    for name in ("by-meter", "by-function", "in-progress"):
        (missing,) = made.page(name).one("article").all("a.missing")
        assert urljoin(f"{name}.html", missing["href"]) == "procedures/lapwing-yearly.html"
        assert IN_FAULT in missing.text and missing.text.startswith("Missing: ")
    for name in ("by-meter", "index", "using", "safety", "reports"):
        (line,) = made.page(name).all("p.fault")
        assert line.one("a")["href"] == "problems.html"
    assert made.page("problems").all("p.fault") == []
    assert f"error: {IN_FAULT}" in made.page("problems").one("pre.problems").text

    made.write(plan=SMALL["plan"]).build(serving=serving)
    assert {name for name in good if good[name] != made.files()[name]} <= {"sw.js"}
    assert set(made.files()) == set(good)


@pytest.mark.parametrize("kind, name, spoilt, missing", [
    ("meters", "lapwing-1", "meter: [", ["meters/lapwing-1", "procedures/lapwing-yearly"]),
    ("meters", "lapwing-1", {**SMALL["meter"], "maker": ""},
     ["meters/lapwing-1", "procedures/lapwing-yearly"]),
    ("standards", "petrel", "standard: [", ["procedures/lapwing-yearly",
                                            "procedures/whinchat-yearly", "standards/petrel"]),
    ("plans", "lapwing-yearly", "plan: [", ["procedures/lapwing-yearly"]),
])
def test_what_waits_for_a_faulty_file_is_missing_with_it(kind, name, spoilt, missing, project):
    """As the data of the site have it, each on a page of its own and in the list of meters."""
    made = project().write(**SMALL, **OTHER, **{f"{kind}/{name}.yaml": spoilt})
    with pytest.raises(Abort):
        made.build()
    site = json.loads((made.site / "data/site.json").read_text(encoding="utf-8"))
    assert site["missing"] == missing and site["errors"] >= 1
    named = {link["href"].removesuffix(".html") for link in made.page("by-meter").all("a.missing")}
    assert named == set(missing)
    for one in missing:
        assert made.page(one).one("article").one("h1").text.startswith("Missing: ")
    assert set(site["meters"]) == {"lapwing-1", "whinchat-2"}
    assert set(site["procedures"]) == {"lapwing-yearly", "whinchat-yearly"}
    waits = made.page("procedures/lapwing-yearly").one("article").all("a.missing")
    assert [link["href"] for link in waits] == ([f"../{kind}/{name}.html"] if kind != "plans"
                                                else [])


def test_lines_at_fault_are_shown_while_serving_and_not_published(project):
    """A faulty line may be anybody's: a customer's name, or of a file that a link leads to."""
    made = project().write(**SMALL, **{"meters/secret.yaml": "root:x:0:0\n"}).build(serving=True)
    assert "root:x:0:0" in made.page("problems").text
    assert "root:x:0:0" in made.page("meters/secret").text
    with pytest.raises(Abort):
        made.build()
    assert not [name for name, content in made.files().items() if b"root:x:0:0" in content]
    assert "procedures/meters/secret.yaml:" in made.page("problems").text


def test_while_serving_no_broken_file_ends_the_server(project):
    """Half a file, as an editor may save it, is a problem on a page; the rest stays."""
    made = project().write(**SMALL).build(serving=True)
    halves = ["meter: [", "", "\t", "meter: lapwing-1\n", b"\xff\xfe\x00", "a: &b c", "- 1", "null",
              "meter: {}", "functions: {a: 1}", "plan: 1\npoints:\n"]
    made.write(**{f"{kind}/half-{n}.yaml": half for kind in ("meters", "standards", "plans") for n,
                  half in enumerate(halves)}).build(serving=True)
    problems = made.page("problems").one("pre.problems").text
    for kind in ("meters", "standards", "plans"):
        for n in range(len(halves)):
            assert f"procedures/{kind}/half-{n}.yaml:" in problems
    assert (made.site / "procedures/lapwing-yearly.html").exists()


def test_the_problems_page_shows_the_lines_as_they_stand(project):
    """HTML and braces in the line at fault are text."""
    line = (
        "- {function: 'DC voltage <script>window.harm=1</script> {{ 7*7 }} *a* </pre>', apply: 3 "
        "V}")
    plan = (
        "plan: lapwing-yearly\ntitle: T\nmeter: lapwing-1\nstandards: petrel\ndecision_rule: "
        "simple acceptance\npoints:\n" + line + "\n")
    made = project().write(**SMALL | {"plan": plan}).build(serving=True)
    assert line in made.page("problems").one("pre.problems").text
    assert made.page("problems").one("article").all("script") == []


def test_a_build_with_a_mistake_says_so(project):
    """It ends with exit code 1 and the problem's own text, no traceback, whether it is strict or
    not."""
    made = project().write(**SMALL).write(**FAULT)
    for strictly in ([], ["--strict"]):
        done = made.run(*strictly)
        assert done.returncode == 1
        assert "procedures/plans/lapwing-yearly.yaml:" in done.stdout
        assert done.stdout.count(f"error: {IN_FAULT}") == 1
        assert "1 error" in done.stdout
        assert "Traceback" not in done.stdout
        assert (made.site / "sw.js").exists()


def test_warnings_of_files_do_not_end_a_strict_build(project, caplog):
    """A hint about a file is printed; the build goes on."""
    with caplog.at_level("INFO", "mkdocs"):
        made = project().write(**SMALL, **{"meters/notes.txt": "mine"}).build()
    assert "only files named" in caplog.text
    assert (made.site / "procedures/lapwing-yearly.html").exists()


def test_without_any_meter_the_lists_say_what_to_do(project):
    """An empty procedures folder builds, and its lists say where to write the first file."""
    made = project()
    made.procedures.mkdir()
    made.build()
    assert "No meters yet" in made.page("by-meter").one("article").text
    assert "No standards yet" in made.page("by-meter").one("article").text
    assert "No sheets yet" in made.page("by-function").one("article").text


def test_a_meter_without_a_plan_has_its_page(project):
    """It is listed with its accuracy table, and says that it has no plan yet."""
    made = project().write(meter=SMALL["meter"], standard=SMALL["standard"]).build()
    assert "No plan for this meter yet" in made.page("meters/lapwing-1").one("article").text
    assert "No plan for this meter yet" in made.page("by-meter").one("article").text
    assert "No procedure uses it yet" in made.page("standards/petrel").one("article").text


def test_without_a_folder_to_read_the_last_site_stays(project):
    """A missing folder of procedures, or one of records that is on a disk not at hand: a site
    without its reports would be worse than the last one."""
    with pytest.raises(Abort, match="there is no such folder") as stopped:
        project().build()
    assert stopped.value.code == 1
    made = project().write(**SMALL).build()
    before = made.files()
    (made.procedures / "records").symlink_to("/not mounted")
    made.write(plan=SMALL["plan"] | {"title": "Another title"})
    with pytest.raises(Abort, match="procedures/records:1:1: error: this link leads to no folder"):
        made.build()
    assert made.files() == before


# ---------------------------------------------------------------- the same input, the same bytes

def test_the_same_input_gives_the_same_bytes(demo_at_address, tmp_path):
    """Another time zone, hash seed, locale and folder change no byte of the site."""
    other = tmp_path / "ein anderer Ordner"
    shutil.copytree(demo_at_address.root, other, ignore=shutil.ignore_patterns("site"))
    again = Project.__new__(Project)
    again.root, again.site = other, other / "site"
    build_strictly(again,
                   **demo_at_address.variables
                   | {"TZ": "America/Adak", "PYTHONHASHSEED": "2", "LC_ALL": "C.UTF-8",
                      "PYTHONUTF8": "1"})
    one, two = demo_at_address.files(), again.files()
    assert set(one) == set(two)
    assert [name for name in one if one[name] != two[name]] == []


def test_the_day_of_the_build_changes_nothing(project, monkeypatch):
    """No clock stands in the output: a build on another day gives the same bytes."""
    made = project(address=ADDRESS).write(**SMALL)
    sites = []
    for day in ("1760000000", "1770000000"):
        monkeypatch.setenv("SOURCE_DATE_EPOCH", day)
        sites.append(made.build().files())
    assert [name for name in sites[0] if sites[0][name] != sites[1][name]] == []


SECOND = {"meters/whinchat-2.yaml": shop.meter(VOLTS, meter="whinchat-2", name="Whinchat 2"),
          "plans/whinchat-yearly.yaml": shop.plan(
              {"function": "DC voltage", "apply": "1 V"}, plan="whinchat-yearly",
              meter="whinchat-2", title="Whinchat 2")}


def test_the_order_of_files_in_a_folder_changes_nothing(tmp_path, monkeypatch):
    """However a disk lists its folders, the pages are the same."""
    one = render.render(shop.load(tmp_path, *SMALL_FILES, others=SECOND))
    listed, globbed = Path.iterdir, Path.glob
    monkeypatch.setattr(Path, "iterdir", lambda self: iter(sorted(listed(self), reverse=True)))
    monkeypatch.setattr(Path, "glob", lambda self, *a,
                        **k: iter(sorted(globbed(self, *a, **k), reverse=True)))
    assert render.render(shop.load(tmp_path, *SMALL_FILES, others=SECOND)) == one


def test_the_revision_changes_with_a_limit_and_with_nothing_else(tmp_path):
    """Another accuracy gives another revision; comments, order of keys and other meters don't."""
    def revision(meter=SMALL["meter"], plan=SMALL["plan"], **more) -> str:
        return shop.load(tmp_path, meter, plan, **more).procedures["lapwing-yearly"].revision

    first = revision()
    assert revision(plan="# a comment\n"
                    + json.dumps(dict(reversed(SMALL["plan"].items())))) == first
    assert revision(
        meter=shop.meter(shop.function("DC voltage", shop.range_("6 V", "1 mV", "0.3 % + 2 counts"),
                                       dial="V DC"))) != first
    assert revision(plan=SMALL["plan"] | {"note": "Another note."}) != first
    assert revision(others=SECOND) == first
