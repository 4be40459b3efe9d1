"""Labels and reports of a day: what was finished, and nothing that was not agreed."""

import re
from datetime import date

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
    assert '<div class="labels small">' in page and "Report " + RECORD in page
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
    assert page.count('<div class="one-report">') == 2
    assert page.count("End of report") == 2
    assert recorded.get("print?day=../..&size=huge&what=x").status_code == 200
