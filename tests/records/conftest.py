"""Records in a folder of their own, for the tests of what is made of them."""

from __future__ import annotations

import json

import pytest

from builder.pages import report_pages
from builder.shop import loading
from tests.recorded import OTHER, data_of, folder_with, put, record


@pytest.fixture
def made(tmp_path):
    """Builds the reports of records that are given by name: `made(a={…})` → the shop, its reports
    by name, its site."""
    def make(plan_more: dict | None = None, workshop: bool = True, **records):
        root = folder_with(tmp_path, plan_more)
        if workshop:
            (root / "workshop.yaml").write_text(
                "name: Invented Bench Works\naddress: [1 Quay, Nowhere]\n", encoding="utf-8")
        data = data_of(root)
        for name, change in records.items():
            content = change(data) if callable(change) else record(data, **change)
            of_phone = isinstance(content.get("judged_by"), dict)
            path = root / "records" / f"{name}.{'json' if of_phone else 'yaml'}"
            path.write_text(json.dumps(content), encoding="utf-8")
        shop = loading.load_shop(root)
        assert not shop.errors, "\n".join(map(str, shop.errors))
        return shop, {one.id: one for one in report_pages.reports_of(shop)}, root
    return make


@pytest.fixture
def root(tmp_path):
    """A folder with one good record beside what a test puts there."""
    made = folder_with(tmp_path)
    put(made, OTHER, record(data_of(made), serial="0999"))
    return made
