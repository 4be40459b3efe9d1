"""What the tests of scripts on pages share."""

from __future__ import annotations

import pytest

from builder.pages import render
from tests.phone_bench import NAME, PHONE, Sheet, small_site


@pytest.fixture(scope="module")
def page(browser):
    """An empty page with the scripts of a sheet and of its record, once a file of tests."""
    page = browser.new_page()
    for name in ("assets/verdict.js", "assets/record.js"):
        page.add_script_tag(content=render.served(name))
    yield page
    page.close()


@pytest.fixture(scope="module")
def one_sheet(browser, lasting_project):
    """One sheet's page for many readings, where each begins with an empty field."""
    context = browser.new_context(**PHONE, service_workers="block", bypass_csp=True)
    made = Sheet(context.new_page(),
                 (small_site(lasting_project) / f"procedures/{NAME}.html").as_uri())
    yield made
    context.close()
    assert made.wrong == []
