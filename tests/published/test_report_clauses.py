"""What ISO/IEC 17025:2017 asks of a report, clause by clause, on the pages of the demo's reports.

The clauses are told in our own words, never in the standard's. How sure each is stands beside it:
7.8.2.1 and 7.8.6 were *read*, of all others both number and content are *from memory*."""

from __future__ import annotations

import html
import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import pytest

from builder.files.cache import Cache
from builder.frozen import finished
from builder.pages import report_pages
from builder.shop import loading
from tests.demo_story import PROCEDURES

READ, MEMORY = "read", "from memory"


@dataclass(frozen=True)
class Page:
    """A report's page as a reader has it."""

    title: str
    running: str
    text: str
    number: str
    issue: int      # 0 of a draft
    statement: str
    state: str


def as_text(body: str) -> str:
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", body)).replace("\u202f", " ").split())


@cache
def pages() -> tuple[Page, ...]:
    """Every issue of every report, and the draft."""
    issues = [one.content for one in finished.read(PROCEDURES, Cache(forgetful=True))[0].files]
    made = [Page(one.title, one.running, as_text(one.text), one.number, one.issue,
                 one.report.statement, one.report.state) for one in issues]
    shop = loading.load_shop(PROCEDURES)
    (draft,) = [one for one in report_pages.shown_of(shop, report_pages.reports_of(shop))
                if one.mark == "draft"]
    return (*made, Page(draft.title, draft.running, as_text(draft.body), draft.number, 0,
                        shop_statement(shop, draft.number), draft.state))


def shop_statement(shop, number: str) -> str:
    return next(one for one in report_pages.reports_of(shop) if one.id == number).statement


def every(page: Page) -> bool:
    return True


def issued(page: Page) -> bool:
    return page.issue > 0


def typed(page: Page) -> bool:
    """From paper: a phone writes no contact."""
    return issued(page)


def measured(page: Page) -> bool:
    """Something was read: the work didn't stop at a check."""
    return page.statement != "not safe to use"


CERTIFICATE = (r"Pipit, thermometer and hygrometer 31 KP-20\d\d-031 Northcliff Standards "
               r"Laboratory; Invented Accreditation Board, no\. 0417 20\d\d-04-14 20\d\d-04-30")
# Clause, what it asks in our words, how sure, of which reports, what stands on their pages.
CHECKED: list[tuple[str, str, str, Callable[[Page], bool], tuple[str, ...]]] = [
    ("7.8.2.1 a", "a title", READ, every, (r"^(Report of verification|Amendment to report \S+)$",)),
    ("7.8.2.1 b", "who wrote it, and where they are", READ, every,
     (r"Written by Kittiwake Point Electrical Workshop \(invented\), Ferry Yard, Shed 4, Kit",)),
    ("7.8.2.1 c", "where the work was done", READ, every, (r"Place of the work Ferry Yard, be",)),
    ("7.8.2.1 d", "each page names the report, and its end is clear", READ, every,
     (r"Report (?P<number>\S+) ", r"End of report (?P<number>\S+)( |$)")),
    ("7.8.2.1 e", "the customer's name and how to reach them", READ, typed,
     (r"For Kittiwake Point Ferries, [\w ]+ \(invented\) the [\w ]+, .*?extension \d{3}",)),
    ("7.8.2.1 f", "the method", READ, every,
     (r"Method [\w ,]+, procedure [\w-]+-yearly, revision [0-9a-f]{12}.*? Each point: the value",
      r"[Rr]evision \d, [0-9a-f]{12}, approved by T\. Askew \(invented\) on 20\d\d-\d\d-\d\d")),
    ("7.8.2.1 g", "the item, told apart from others, and its condition", READ, typed,
     (r"Item .*?serial no\. \S+ , asset no\. KPF \d{4}", r"State as (found|left) ; \w+")),
    ("7.8.2.1 h", "when it came", READ, every, (r"Received on 20\d\d-\d\d-\d\d",)),
    ("7.8.2.1 i", "when the work was done", READ, every, (r"Day of the work 20\d\d-\d\d-\d\d",)),
    ("7.8.2.1 j", "when the report was issued", READ, issued, (r"Day of issue 20\d\d-\d\d-\d\d",)),
    ("7.8.2.1 l", "it speaks of this item only", READ, every, (r"This relates to this item only",)),
    ("7.8.2.1 m", "results with their units", READ, measured,
     (r"Accepted readings, T, error and U are in the unit of the reading", r"\d (V|kΩ|µF|mA) ")),
    ("7.8.2.1 n", "where the work departed from the method, and what it leaves out", READ, every,
     (r"Departures from the procedure (None\.|Not done|Checks|Tried|Step|The|[A-Z])",)),
    ("7.8.2.1 o", "who authorises it", READ, issued,
     (r"Reviewed and authorised by T\. Askew \(invented\)",)),
    ("7.8.4.1 a", "the uncertainty of a result in its unit", MEMORY, measured,
     (r"Error Error in % of T U k Outcome", r"U = k·u is the expanded uncertainty")),
    ("7.8.4.1 b", "the conditions of the work", MEMORY, every,
     (r"Ambient at the meter: \d\d\.\d °C at the start, \d\d\.\d °C at the end",
      r"Humidity: \d\d % at the start")),
    ("7.8.4.1 c", "traceability: certificate, issuer and its accreditation, day", MEMORY, every,
     (r"Standards and traceability Standard No\. Certificate Issued by Calibrated Due",
      r"Northcliff Standards Laboratory; Invented Accreditation Board, no\. 0417 20\d\d-\d\d-\d\d "
      r"20\d\d", r"traceable through these certificates")),
    ("7.8.4.1 d", "results before and after an adjustment or a repair", MEMORY,
     lambda page: page.state == "as left",
     (r"Before and after The state as found is report \S+, of 20", r"Between the two: \w+")),
    ("7.8.4.1 e", "a statement of conformity", MEMORY, every,
     (r"(✓ Passes|✓ Conditional pass|✗ Limited|✗ Fails|– No statement of|✗ Not safe to use)",)),
    ("7.8.4.1 f", "an opinion only as one", MEMORY,
     lambda page: "Label for the meter" in page.text,
     (r"What the meter may be used for is an opinion, and that of T\. Askew \(invented\)",)),
    ("7.8.4.3", "no interval but an agreed one", MEMORY, every,
     (r"Interval, as agreed with the owner: 12 months\.",)),
    ("7.8.6.1", "the rule, agreed, with its level of risk", READ, every,
     (r"Decision rule Decision rule: (simple acceptance|the limits lie inside)",
      r"The rule was agreed with the head[\w ]+, 20\d\d-\d\d-\d\d\.",
      r"Level of risk: .*?with a probability of up to [0-9.]+ %")),
    ("7.8.6.2", "which results, which specification, which rule", READ, every,
     (r"The statement covers the points of this report that have limits, each against the accuracy "
      r"of (Dunlin 60 data sheet, issue 3|Whimbrel 200 user's guide, issue 2|Turnstone C data)",)),
    ("7.8.7", "whose opinion", MEMORY, lambda page: "Label for the meter" in page.text,
     (r"opinion, and that of T\. Askew \(invented\), who authorises this report",)),
    ("7.8.8", "an amendment says so, why, and what it changes", MEMORY,
     lambda page: page.issue > 1,
     (r"^Amendment to report \S+$", r"(replaces|Replaces|amends|Amendment).*?because",
      r"(Owner |Step |[Rr]eading |Contact )")),
    ("6.4.6, 6.5", "what read the ambient is a standard too", MEMORY, every,
     (r"read with Pipit no\. 31", CERTIFICATE)),
]
NOT_HERE = {"7.8.2.1 k": "nothing is sampled", "7.8.2.1 p": "all results are the shop's own"}


@pytest.mark.parametrize("clause, words, sure, of, wanted", CHECKED,
                         ids=[one[0] for one in CHECKED])
def test_a_clause_stands_on_each_report_that_it_is_for(clause, words, sure, of, wanted):
    own = [page for page in pages() if of(page)]
    assert own and sure in (READ, MEMORY)
    for page in own:
        for pattern in wanted:
            found = re.search(pattern, page.title if pattern.startswith("^") else page.text)
            assert found, f"{clause}, {words}: {pattern}\n{page.number}: {page.text[:3000]}"
            if "number" in found.re.groupindex:
                assert found["number"] == page.number
        assert page.number in page.running


def test_every_letter_is_in_the_table():
    """7.8.2.1 a to p, 7.8.4.1 a to f: each is looked for, or it is said why not."""
    told = {one[0] for one in CHECKED} | set(NOT_HERE)
    assert {f"7.8.2.1 {letter}" for letter in "abcdefghijklmnop"} <= told
    assert {f"7.8.4.1 {letter}" for letter in "abcdef"} <= told


def test_the_interval_is_the_one_agreed_on_that_day(tmp_path):
    """7.8.4.3, from memory: a plan that names another interval since, approved again, changes no
    report of before; one of after has it."""
    from tests import recorded
    root = recorded.folder_with(tmp_path, {"interval_agreed": "24 months"})
    data = recorded.data_of(root)
    recorded.approve(root, "2025-01-15")
    recorded.shops.write(root, {"plans/lapwing-yearly.yaml": recorded.plan(
        interval_agreed="6 months")})
    recorded.approve(root, "2026-01-15")
    for name, day in (("before", "2025-03-12"), ("after", "2026-03-12")):
        recorded.put(root, f"{name}.yaml", recorded.record(
            data, judged_by=None, date=day, issued=day))
    shop = loading.load_shop(root)
    assert not shop.errors, "\n".join(map(str, shop.errors))
    said = {one.id: one.interval for one in report_pages.reports_of(shop)}
    assert said == {"before": "24 months", "after": "6 months"}
