"""What of a shop is published where only its sheets are."""

import json
import re

import pytest

from builder.pages import left_out, render
from builder.shop import loading, public


@pytest.fixture(scope="module")
def shown(demo_shop):
    """Every generated text of the demo's site that is published of its sheets alone, but for the
    pages on files, whose examples are the same for every shop."""
    site = render.render(public.shown(demo_shop, public.SHEETS))
    return {name: text if isinstance(text, str) else text.decode()
            for name, text in {**site.pages, **site.files}.items()
            if not left_out.is_out(name, left_out.OF_METERS) and not name.startswith("formats/")}


def test_no_meter_is_named_by_its_serial_number_and_no_owner_at_all(shown, demo_shop):
    """None of what the demo's records say of single meters stands on any page or in any data."""
    heads = [record.head for record in demo_shop.records.values()]
    words = {word for head in heads for word in (head.owner, head.asset, head.contact, head.place,
                                                 head.remarks) if word}
    words |= {f"serial no. {head.serial}" for head in heads} | {
        f'"serial": "{head.serial}"' for head in heads} | set(demo_shop.records)
    words |= {head.serial for head in heads if re.search("[A-Z]", head.serial)}
    assert len(words) > 30
    assert [(name, word) for name, text in shown.items() for word in words if word in text] == []


def test_sheets_meters_and_standards_stay(shown, demo_shop):
    """With the data beside them, in which no report is listed."""
    for plan in demo_shop.plans:
        assert f"procedures/{plan}.md" in shown and f"data/procedures/{plan}.json" in shown
    assert {"meters/dunlin-60.md", "standards/fulmar.md", "limits.md"} <= set(shown)
    assert json.loads(shown["data/site.json"])["reports"] == []
    assert not [name for name in shown if name.startswith(("reports", "history"))]


def test_mistakes_in_records_are_on_no_page(tmp_path):
    """Their place would say whose meter it was; the build tells them all the same."""
    (tmp_path / "procedures/records").mkdir(parents=True)
    (tmp_path / "procedures/records/2026-03-12-x-0147.yaml").write_text("owner: [", "utf-8")
    (tmp_path / "procedures/workshop.yaml").write_text("name: Mx Ample\n", "utf-8")
    (tmp_path / "procedures/meters").mkdir()
    (tmp_path / "procedures/meters/x.yaml").write_text("meter: [", "utf-8")
    shop = loading.load_shop(tmp_path / "procedures")
    files = {one.place.file for one in public.shown(shop, public.SHEETS).problems}
    assert files == {"procedures/meters/x.yaml"} < {one.place.file for one in shop.problems}
    assert public.shown(shop, public.ALL) is shop
