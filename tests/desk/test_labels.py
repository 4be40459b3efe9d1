"""Labels and reports of a day: what was finished, and nothing that was not agreed."""

import re
from dataclasses import replace
from datetime import date

import pytest

from builder.desk import labels
from builder.shop import loading
from tests.desk.conftest import RECORD
from tests.recorded import data_of, folder_with, put, record


def finish(at, *names: str) -> None:
    path = "finish?" + "&".join(f"name={name}" for name in names)
    assert at.post("finish", at.fill(path, by="T. Askew")).status_code == 200


def made(at, address: str = "") -> list[labels.Label]:
    shop = loading.load_shop(at.procedures)
    (day,) = labels.days(shop)
    return labels.of_day(shop, labels.finished_on(shop, day), address)


def test_a_meter_that_passed_gets_its_label(recorded):
    """Without a due day, since none was agreed; with a code of its sheet where there is an
    address."""
    finish(recorded, RECORD)
    (plain,) = made(recorded)
    assert (plain.meter, plain.serial, plain.number, plain.stands, plain.due, plain.because) == (
        "Lapwing 1", "0147", RECORD, "Verified", None, "") and not plain.code
    (coded,) = made(recorded, "https://sheets.example/")
    assert "<svg" in coded.code
    page = recorded.get("print?size=small").text
    assert '<div class="labels small">' in page and f"<small>{RECORD}<" in page
    assert "due" not in page.partition('<div class="labels')[2].partition("</article>")[0]


def test_an_agreed_interval_gives_the_due_day(recorded):
    """A year after the work."""
    folder_with(recorded.root, {"interval_agreed": "12 months"})
    finish(recorded, RECORD)
    assert [one.due for one in made(recorded)] == [date(2027, 3, 12)]


def test_what_fails_says_so_and_has_no_due_day(recorded):
    """The functions that it is not for; nothing else of the record counts on a label."""
    put(recorded.procedures, f"{RECORD}.yaml", record(
        data_of(recorded.procedures), {"dcv-600V-540.0V": "580.0"}))
    finish(recorded, RECORD)
    (label,) = made(recorded)
    print(label)
    assert label.stands == "LIMITED: not for DC voltage" and label.due is None


@pytest.mark.browser
def test_what_has_no_room_is_never_cut(recorded, tab):
    """Where a list of functions is too long for a label of that size, the report says them. What is
    as long as may be keeps within it, in Chromium."""
    put(recorded.procedures, f"{RECORD}.yaml", record(
        data_of(recorded.procedures), {"dcv-600V-540.0V": "580.0"}))
    finish(recorded, RECORD)
    (label,) = made(recorded)
    assert label.stands_on("small") == "LIMITED: not for DC voltage"
    longer = replace(label, stands="LIMITED: not for DC voltage; AC voltage; frequency")
    assert [longer.stands_on(size) for size in labels.SIZES] == [
        "LIMITED: see the report", "LIMITED: see the report", longer.stands]
    page, looks = tab(), recorded.get("desk.css").text
    for size, (width, height, most) in labels.SIZES.items():
        label = recorded.get(f"print?size={size}").text.partition("<body>")[2]
        page.set_content(f"<style>{looks}</style>{label}")
        text = "LIMITED: not for resistance; AC voltage; DC current; AC current"[:most]
        for stands in (text, "Verified, see the report", "DO NOT USE"):
            assert page.evaluate("""stands => {
              const label = document.querySelector('.label');
              label.querySelector('strong').textContent = stands;
              const box = label.getBoundingClientRect();
              return [box.width, box.height].map(one => Math.round(one * 25.4 / 96));
            }""", stands) == [width, height]


def test_a_report_that_no_longer_counts_gives_none(recorded):
    """Its record was changed, or it was withdrawn."""
    finish(recorded, RECORD)
    put(recorded.procedures, f"{RECORD}.yaml",
        record(data_of(recorded.procedures), place="bench 3"))
    (label,) = made(recorded)
    assert label.because == "its record says something else since"
    page = recorded.get("print").text
    assert 'class="label"' not in page and "No label for Lapwing 1" in page
    put(recorded.procedures, f"{RECORD}.yaml", record(data_of(recorded.procedures)))
    (link,) = re.findall(r'href="/desk/(withdraw\?name=20[^"]*)"', recorded.get("withdraw").text)
    recorded.post("withdraw", recorded.fill(link, by="T", because="wrong meter", told="nobody"))
    assert made(recorded) == []


def test_all_reports_of_a_day_in_one_print(recorded):
    """As they were frozen, each on pages of its own."""
    put(recorded.procedures, "another.yaml", record(data_of(recorded.procedures), serial="0152"))
    finish(recorded, RECORD, "another")
    page = recorded.get("print?what=reports").text
    assert page.count("End of report") == 2
    for n, serial in enumerate(("0147", "0152"), 1):
        assert f'<div class="part part-{n}">' in page
        name = " part-2" if n > 1 else ""
        assert re.search(f'@page{name}{{[^}}]*content:"Report [^"]*, issue 1 · Lapwing 1, '
                         f'serial no. {serial}, as found"', page)
    assert recorded.get("print?day=../..&size=huge&what=x").status_code == 200


def test_sheets_in_one_print(recorded):
    """Those of the meters that are due, each with its serial number; or an empty one of each plan.
    They come as the site has them, without what runs there."""
    for path, named in (("print?name=0147&name=unknown", [" <b>0147</b>"]),
                        ("print?what=sheets", [""])):
        page = recorded.get(path).text
        parts = page.split('<div class="part part-')[1:]
        assert len(parts) == len(named) and "site /procedures/lapwing-yearly.html" in parts[0]
        for part, serial in zip(parts, named, strict=True):
            assert f'data-field="serial">Serial no.{serial}<' in part and "<script" not in part
        assert '@page{margin:8mm 10mm 11mm;counter-increment:part-1;' in page
    assert "There is no sheet to print." in recorded.get("print?name=unknown").text
