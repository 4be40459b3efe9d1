"""What a version froze is read for ever: each one from 0.3.0 on has left a sheet and a report
here."""

import json

import pytest

import builder
from builder.drawing.reading_band import drawn_anew
from builder.pages import report_pages, sheet_pages
from builder.shop import loading
from tests.conftest import parse
from tests.frozen.kept_versions import KEPT

VERSIONS = sorted(path.name for path in KEPT.iterdir())


def test_this_version_has_left_its_own():
    """`python -m tests.frozen.kept_versions` writes it."""
    assert builder.__version__ in VERSIONS and "0.3.0" in VERSIONS


@pytest.mark.parametrize("version", VERSIONS)
def test_a_later_version_reads_and_shows_it(version):
    """Nothing in the files is a problem. The sheet has its points with their limits and a page; the
    report is the page that was finished, word for word, its bands drawn as today."""
    folder = KEPT / version / "procedures"
    shop = loading.load_shop(folder)
    assert [str(one) for one in shop.frozen_problems] == []
    sheet = shop.approvals.in_force("lapwing-yearly")
    (written,) = (json.loads(path.read_text("utf-8"))
                  for path in (folder / "approved").glob("*.json"))
    assert sheet.written_by == version
    for point, was in zip(sheet.sheet.as_data()["points"], written["sheet"]["points"], strict=True):
        assert {name: point[name] for name in was} == was
    (page,) = sheet_pages.sheet_pages(shop, "lapwing-yearly")
    assert page.approved is sheet and page.text.title == written["page"]["title"]
    (number,) = shop.finished.numbers
    (issue,) = shop.finished.issues(number)
    html = report_pages.alone(report_pages.issued(shop, issue))
    assert drawn_anew(issue.text) in html and "✗ " in parse(html).one("main").text
