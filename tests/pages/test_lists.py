"""What is missing is named at its place in every list, with the reason, and nothing is claimed on
pages that count without it."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import pytest

from builder import cli
from builder.formats import report_data as codes
from builder.pages import lists, render, report_lists
from builder.shop import loading
from builder.shop.missing import missing
from tests import small_shop
from tests.conftest import Element, parse
from tests.recorded import data_of, folder_with, phone, put, record, step

SERIAL = "0147"
GOOD = "2025-03-12-good"
WORKSHOP = "name: Invented Bench Works\naddress: [1 Quay, Nowhere]\nas_of: 2026-04-01\n"


@pytest.fixture
def folder(tmp_path):
    """A shop with a good record of a meter."""
    made = folder_with(tmp_path, {"interval_agreed": "24 months"})
    (made / "workshop.yaml").write_text(WORKSHOP, encoding="utf-8")
    put(made, f"{GOOD}.yaml", record(data_of(made), date="2025-03-12", issued="2025-03-13"))
    return made


def pages(folder) -> dict[str, Element]:
    site = render.render(loading.load_shop(folder))
    return {name.removesuffix(".md"): parse(text) for name, text in site.pages.items()}


def test_without_faults_nothing_is_missing(folder):
    """No page of problems, no mark anywhere."""
    made = pages(folder)
    assert missing(loading.load_shop(folder)) == [] and "problems" not in made
    assert not [name for name, page in made.items() if page.all("p.missing")]
    assert not [name for name, page in made.items() if "Missing: " in page.text]
    assert "Nothing to pull from service." in made["shop"].text


def spoilt_paper(data: dict) -> dict:
    return record(data, date="2026-03-12", state="as lost")


def spoilt_phone(data: dict) -> dict:
    made = phone(data)
    made["serial"], made["state"] = SERIAL, "as lost"
    return made


@pytest.mark.parametrize("name, make", [("2026-03-12-bad.yaml", spoilt_paper),
                                        ("2026-03-12-bad.json", spoilt_phone)])
def test_a_record_that_cannot_be_read_stands_with_its_meter(name, make, folder):
    """In the list of reports, in the meter's history, on the shop's page in its row and beside what
    is to be pulled from service; its own page has the reason."""
    put(folder, name, make(data_of(folder)))
    made = pages(folder)
    assert "Missing: " in made["reports/2026-03-12-bad"].text
    assert f"procedures/records/{name}:" in made["reports/2026-03-12-bad"].text
    text = made["reports"].text
    assert f"Missing: 2026-03-12, as lost, serial no. {SERIAL}." in text
    assert f"procedures/records/{name}, line " in text
    (history,) = [page for page in made if page.startswith("history/")]
    assert "Missing, and not counted here: 2026-03-12" in made[history].text
    shop = made["shop"]
    assert "Nothing to pull from service." not in shop.text
    assert "Nothing to pull from service among the records that can be read." in shop.text
    assert "Records that can’t be read, and count for nothing on this page: 1" in shop.text
    (row,) = [row for row in shop.all("tr") if (row["data-name"] or "").endswith(f" {SERIAL}")]
    assert "missing: 2026-03-12" in row.text


@pytest.mark.parametrize("content", ["{", "serial: [", "\x00", ""])
def test_a_record_of_which_nothing_can_be_read_stands_by_itself(content, folder):
    """Under its file's name, before the others."""
    put(folder, "2026-03-12-bad.yaml", content)
    made = pages(folder)
    text = made["reports"].text
    assert text.index("Missing: procedures/records/2026-03-12-bad.yaml") < text.index(SERIAL)
    assert "count for nothing on this page: 1" in made["shop"].text
    assert "Missing: " in made["reports/2026-03-12-bad"].text


def test_a_shop_whose_only_record_is_faulty_does_not_look_new(folder):
    """It isn't said that no record is there."""
    (folder / f"records/{GOOD}.yaml").write_text("serial: [", encoding="utf-8")
    made = pages(folder)
    for name in ("reports", "shop"):
        assert "No record has been put" not in made[name].text
        assert f"procedures/records/{GOOD}.yaml" in made[name].text


def test_the_day_of_a_workshop_that_cannot_be_read_is_not_given_up_in_silence(folder):
    """Nothing is overdue without it, which is said with the reason."""
    (folder / "workshop.yaml").write_text(WORKSHOP.replace("address", "adress"), encoding="utf-8")
    text = pages(folder)["shop"].text
    assert "The workshop’s own file holds mistakes: procedures/workshop.yaml, line " in text
    assert "Overdue is not judged" in text and "No day is given" not in text


def test_a_standard_that_cannot_be_read_has_no_due_date(folder):
    """Not even one that stands in for it: its row says why."""
    standard = small_shop.standard()
    (folder / "standards/petrel.yaml").unlink()
    small_shop.write(folder, {"standards/petrel.yaml": standard | {"due": "soon"}})
    made = pages(folder)
    (row,) = [row for row in made["shop"].all("tr") if "Petrel" in row.text]
    assert row.one("td.state").text == "✗ missing" and "'soon' is not a date" in row.text
    assert "2199" not in made["shop"].text and row["data-due"] is None
    assert "'soon' is not a date" in made["by-meter"].text


def test_an_interval_that_cannot_be_read_is_that_of_the_record(folder):
    """A plan with a mistake doesn't take the due dates of its meters away."""
    def due() -> list[str]:
        return [row["data-due"] for row in pages(folder)["shop"].all("tr") if row["data-name"]]

    before = due()
    assert "2027-03-12" in before
    (plan,) = (folder / "plans").iterdir()
    plan.write_text(plan.read_text(encoding="utf-8").replace("24 months", "24 moons"),
                    encoding="utf-8")
    assert any("24 moons" in one.sentence for one in loading.load_shop(folder).errors)
    assert due() == before


def test_names_that_can_be_no_address_lead_to_the_problems(folder):
    """Also names from another system, and none of them ends the build."""
    for n, name in enumerate([b"caf\xe9.yaml", b"R&D 60.yaml", b"a\nb.yaml", b"README.yaml"]):
        for kind in (b"meters/", b"records/"):
            with open(bytes(folder) + b"/" + kind + name, "w", encoding="utf-8") as file:
                file.write(f"meter: x{n}\n")
    made = pages(folder)
    for name in ("by-meter", "reports"):
        assert made[name].text.count("](problems.md){ .tap .missing }") == 4
        assert made[name].text.count("{ .tap .missing }") == 4
    assert r"procedures/meters/caf\xe9.yaml:" in made["problems"].text


@pytest.mark.parametrize("spoil, says", [
    (lambda path: path.write_text("plan: [", encoding="utf-8"), "line 1: not readable as YAML"),
    (lambda path: path.unlink(), "There is no file procedures/plans/lapwing-yearly.yaml any more."),
    (lambda path: (path.parents[1] / "standards/petrel.yaml").write_text("x: ["),
     "It waits for standards/petrel.yaml")])
def test_an_approved_sheet_stands_whatever_becomes_of_its_plan(spoil, says, folder, monkeypatch):
    """Its page is as it was, and lists lead to it and say what is wrong."""
    monkeypatch.setattr(cli, "PROCEDURES", folder)
    assert cli.main(["approve", "lapwing-yearly", "--by", "I. Marlow"]) == 0
    before = pages(folder)["procedures/lapwing-yearly"].by_id("procedure-data").raw
    (plan,) = (folder / "plans").iterdir()
    spoil(plan)
    made = pages(folder)
    assert made["procedures/lapwing-yearly"].by_id("procedure-data").raw == before
    (line,) = [line for line in made["by-meter"].text.split("- [") if "as it was approved" in line]
    assert says in line and "](procedures/lapwing-yearly.md)" in line
    site = render.render(loading.load_shop(folder)).files["data/site.json"]
    assert json.loads(site)["procedures"] == ["lapwing-yearly"]
    assert "procedures/lapwing-yearly" not in json.loads(site)["missing"]


# ---------------------------------------------------------------- the demo's lists

def test_how_far_each_sheet_reaches(demo):
    """The table of sheets and functions against the data of the sheets: the farthest value with
    limits, a link to the first group that has points of the function, and whether one of them is
    live."""
    table = demo.page("by-function").one("table.reach")
    names = [cell.text for cell in table.one("thead").all("th")][1:]
    assert names[:4] == ["DC voltage", "AC voltage", "DC current", "AC current"]
    units = {"p": -12, "n": -9, "µ": -6, "u": -6, "m": -3, "k": 3, "M": 6}

    def size(text: str) -> float:
        number, unit = text.replace("−", "-").split()
        return abs(float(number)) * 10.0 ** units.get(unit[:-1].removesuffix("H")[:1], 0)

    seen = 0
    rows = table.one("tbody").all("tr")
    sheets = [row.one("th").one("a")["href"] for row in rows]
    assert sheets == [f"procedures/{name}-yearly.html"
                      for name in ("dunlin-60", "turnstone-c", "whimbrel-200")]
    for row, address in zip(rows, sheets, strict=True):
        sheet = address.removeprefix("procedures/").removesuffix(".html")
        data = json.loads((demo.site / f"data/procedures/{sheet}.json").read_text("utf-8"))
        live = {group["group"] for group in data["groups"] if group["hazard"]}
        for name, cell in zip(names, row.all("td"), strict=True):
            own = [one for one in data["points"] if name.lower() in one["function"].lower()]
            if not own:
                assert cell.text == ""
                continue
            farthest = max((one for one in own if one["accept"] or one["kind"] == "reference"),
                           key=lambda one: size(one["apply"]))
            assert size(cell.one("a").text) == pytest.approx(size(farthest["apply"]))
            groups = {one["group"] for one in own}
            assert cell.one("a")["href"] == f"{address}#group-{min(map(int, groups))}"
            assert bool(cell.all("small.live")) == bool(groups & live), (sheet, name)
            seen += 1
    assert seen > 12


@pytest.mark.browser
def test_a_thousand_sheets_by_function(tab, demo, demo_shop, tmp_path):
    """Less than a kilobyte each, and a phone finds one of them by its name and a function."""
    many = {f"{one.id}-{n}": replace(one, id=f"{one.id}-{n}", title=f"{one.title} of berth {n:03}")
            for n in range(334) for one in demo_shop.procedures.values()}
    text = lists.by_function(SimpleNamespace(procedures=many), [])
    assert len(text.encode()) < 1000 * len(many)
    table = text[text.index("<table"):text.index("</table>")]
    page_of_demo = (demo.site / "by-function.html").read_text("utf-8")
    before, _, rest = page_of_demo.partition("<table")
    (tmp_path / "assets").symlink_to(demo.site / "assets")
    (tmp_path / "many.html").write_text(
        before + table + "</table>" + rest.partition("</table>")[2], "utf-8")
    page = tab(viewport={"width": 360, "height": 740})
    page.goto((tmp_path / "many.html").as_uri())
    rows = page.locator("table.list tbody tr:visible")
    page.get_by_label("Find a sheet").fill("berth 077")
    assert page.get_by_role("status").inner_text() == f"3 of {len(many)}"
    page.get_by_label("Function").select_option("Temperature")
    assert rows.count() == 1 and "Whimbrel" in rows.inner_text()
    assert page.evaluate("document.documentElement.scrollWidth") == 360


@pytest.mark.browser
def test_a_list_is_searched_and_filtered(tab, demo):
    """By words in any order, capitals or not, and by state; what was asked for is in the address,
    so that a way back finds the list as it was left. The line that counts is read aloud."""
    page = tab(viewport={"width": 360, "height": 740})
    address = (demo.site / "reports.html").as_uri()
    page.goto(address)
    rows = page.locator("table.list tbody tr:visible")
    total = rows.count()
    assert total > 20
    page.get_by_label("Find a report").fill("0147 dunlin")
    found = rows.count()
    assert 3 < found < total and all("0147" in text for text in rows.all_inner_texts())
    page.get_by_label("Statement").select_option("limited")
    assert page.get_by_role("status").inner_text() == f"{rows.count()} of {total}"
    assert 0 < rows.count() < found and "#find=0147+dunlin&state=limited" in page.url
    shown = rows.all_inner_texts()
    rows.first.get_by_role("link").first.click()
    page.go_back()
    assert rows.all_inner_texts() == shown
    page.get_by_label("Find a report").fill("<b>\"&nothing")
    assert rows.count() == 0 and page.get_by_role("status").inner_text() == f"0 of {total}"


@pytest.mark.browser
def test_without_a_script_a_list_is_whole(tab, demo):
    page = tab(java_script_enabled=False)
    for name in ("reports", "shop", "by-meter", "by-function"):
        page.goto((demo.site / f"{name}.html").as_uri())
        rows = page.locator("table.list tbody tr")
        assert rows.count() == page.locator("table.list tbody tr:visible").count() > 2
        assert page.locator(".find").count() == 0


# ---------------------------------------------------------------- many

@pytest.fixture
def many(tmp_path_factory, monkeypatch):
    """The folder of a shop with 48 meters and 60 reports, where a page takes 20 lines."""
    monkeypatch.setattr(report_lists, "MOST", 20)
    monkeypatch.setattr(report_lists, "LATEST", 8)
    made = folder_with(tmp_path_factory.mktemp("many"), {"interval_agreed": "12 months"})
    serials = [f"{n:04}" for n in range(48)]
    owners = ["deck", "Ängine & Co", "<b>bench</b>"]
    small_shop.write(made, {"workshop.yaml": WORKSHOP, "register.yaml": {"meters": [
        {"serial": one, "meter": "lapwing-1", "place": f"berth {n % 5}", "owner": owners[n % 3]}
        for n, one in enumerate(serials)]}})
    data = data_of(made)
    for n in range(60):
        day = f"{2026 - n // 24}-0{1 + n % 3}-{10 + n % 19}"
        readings = {step(data, "3.000 V"): "3.9"} if n % 7 == 0 else {}
        put(made, f"{day}-{n}.yaml", record(data, readings, serial=serials[n % 40], date=day,
                                            issued=None, reviewed_by=None))
    return made


def test_many_reports_are_listed_by_year_and_by_meter(many):
    """Each stands on one page of its year and one of its meter, in order, none of more lines than
    agreed; the first page has the latest, and counts."""
    made = pages(many)
    reports = {name.removeprefix("reports/") for name in made if name.startswith("reports/")}
    assert len(reports) == 60

    def lines(name: str) -> list[str]:
        return [cell.one("a")["href"].rpartition("/")[2].removesuffix(".html")
                for cell in made[name].one("table.list").all("td.name")]

    for kind in ("year", "meter"):
        own = {name: lines(name) for name in made if name.startswith(f"reports-by/{kind}-")}
        assert sorted(one for name in own for one in own[name]) == sorted(reports)
        assert all(len(one) <= 20 for one in own.values()) and len(own) > 2
        for name, one in own.items():
            if kind == "year":
                year = name.removeprefix("reports-by/year-")[:4]
                assert {day[:4] for day in one} == {year}
                assert [day[:10] for day in one] == sorted((day[:10] for day in one), reverse=True)
    assert lines("reports-by/year-2026--2")[-1][:10] >= lines("reports-by/year-2026")[0][:10]
    serials = [row.all("td")[3].text for name in ("", "--2", "--3")
               for row in made[f"reports-by/meter-lapwing-1{name}"].one("tbody").all("tr")]
    assert serials == sorted(serials)
    first = made["reports"]
    assert lines("reports") == sorted(reports, key=lambda one: (one[:10], one), reverse=True)[:8]
    assert "The latest 8 of 60 reports" in first.text
    linked = [link["href"] for table in first.all("table.of-lists") for link in table.all("a")]
    assert sorted(linked) == sorted(f"{name}.html" for name in made
                                    if name.startswith("reports-by/"))
    counted = [[cell.text for cell in table.all("td.n")] for table in first.all("table.of-lists")]
    assert counted == [["24", "24", "12"], ["60"]]


def test_no_page_of_a_list_takes_the_place_of_another(monkeypatch):
    """A meter that was renamed since its first reports has one list, and that of a meter called as
    a second page would be is another one: each report stands on exactly one of them."""
    monkeypatch.setattr(report_lists, "MOST", 2)
    listed = [(SimpleNamespace(page=f"r{n}", number=f"r{n}", date="2026-01-02", meter=meter,
                               meter_file=file, serial=f"{n:02}", state="as found", mark="",
                               statement=codes.PASSES, headline=""), "")
              for n, (meter, file) in enumerate([
                  ("Dunlin 60 A", "dunlin"), ("Dunlin 60", "dunlin"), ("Dunlin 60", "dunlin"),
                  ("Dunlin 60 A", "dunlin"), ("Dunlin two", "dunlin-2")])]
    own = list(report_lists._by_meter(listed))
    assert len({one.name for one in own}) == len(own) == 3
    assert sorted(line[0].page for one in own for line in one.lines) == [
        "r0", "r1", "r2", "r3", "r4"]
    assert [(one.of, len(one.lines)) for one in own] == [
        ("Dunlin 60 A", 2), ("Dunlin 60 A", 2), ("Dunlin two", 1)]
    made, _ = report_lists.pages(listed, [])
    assert all(f"{one.name}" in made for one in own)


def test_few_reports_stand_on_one_page(folder):
    made = pages(folder)
    assert not [name for name in made if name.startswith("reports-by/")]
    assert not made["reports"].all("table.of-lists")
    assert report_lists.SCRIPT not in render.render(loading.load_shop(folder)).files


def test_the_head_of_the_shops_page_names_the_first_ones(many):
    """Six of what is to be pulled; the others, and the many that have no report, are counted, and
    all stand in the list, what is due first before the others."""
    shop = pages(many)["shop"]
    head = shop.one("div.first-of-all").text
    meters = shop.all("table.list")[0].one("tbody")
    states = [row.one("td.state").text for row in meters.all("tr")]
    pulled = sum("overdue" in one or "out of service" in one for one in states)
    assert pulled > 6 and f"Pull from service: {pulled} of 48" in head
    assert f"And {pulled - 6} more, first in the list below." in head
    assert "No report yet: 8 meters, in the list below." in head
    assert head.count("serial no.") == 6
    due = [row["data-due"] for row in meters.all("tr")
           if "overdue" in row.one("td.state").text and "limited" not in row.text]
    assert due == sorted(due) and len(states) == 48


@pytest.mark.browser
def test_one_of_many_is_found(many, tab, tmp_path):
    """Any report from the first page, by a script that comes when somebody looks; a meter by its
    place and owner together. What was typed is text."""
    site = render.render(loading.load_shop(many))
    folder = Path(tmp_path)
    for name in ("reports", "shop"):
        text = site.pages[f"{name}.md"].partition("---\n")[2].partition("---\n")[2]
        small_shop.write(folder, {f"{name}.html": f"<!doctype html><body>{text}</body>"})
    small_shop.write(folder, {name: content for name, content in site.files.items()
                              if name in (report_lists.SCRIPT, "assets/lists.js",
                                          "assets/elements.js")})
    page = tab()
    page.goto((folder / "reports.html").as_uri())
    rows, count = page.locator("table.list tbody tr"), page.locator(".count")
    assert rows.count() == 8 and count.inner_text() == ""
    page.get_by_label("Find a report").fill("0039")
    page.wait_for_function("document.querySelector('.count').textContent === '1 of 60'")
    (link,) = rows.get_by_role("link").all()[:1]
    assert f"{link.get_attribute('href').removesuffix('.html')}.md" in site.pages
    page.get_by_label("Find a report").fill("")
    assert rows.count() == 8
    page.get_by_label("Statement").select_option("limited")
    assert rows.count() == 9 and count.inner_text() == "9 of 60" and "#state=limited" in page.url
    page.goto((folder / "shop.html").as_uri())
    visible = page.locator("table.list").first.locator("tbody tr:visible")
    page.get_by_label("Place").select_option("berth 2")
    page.get_by_label("Owner").select_option("<b>bench</b>")
    assert {text.split("berth ")[1][:18] for text in visible.all_inner_texts()} == {
        "2; <b>bench</b>"}
    assert page.locator(".count").first.inner_text() == f"{visible.count()} of 48"
    page.emulate_media(media="print")
    assert "Only what was found by “berth 2”, “<b>bench</b>”" in page.locator(
        ".only-found").first.text_content()
