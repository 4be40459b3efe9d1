"""What an amendment changes, in words."""

from datetime import date

from builder.frozen import amendments
from builder.pages import finishing, report_pages
from builder.shop import loading
from tests.recorded import data_of, folder_with, phone, put, record


def changes(tmp_path, **more):
    """Between a good record that was finished and another one in its place."""
    root = folder_with(tmp_path)
    data = data_of(root)
    put(root, "a.yaml", record(data))
    shop = loading.load_shop(root)
    finishing.finish(shop, root, ["a"], by="A", on=date(2026, 3, 20))
    put(root, "a.yaml", record(data, **more))
    shop = loading.load_shop(root)
    (report,) = report_pages.reports_of(shop)
    return amendments.changes(shop.finished.latest("a"), report.record, report.data)


def test_nothing(tmp_path):
    """The same record says the same."""
    assert changes(tmp_path) == []


def test_the_head(tmp_path):
    """Each key that differs, by its name; the day of issue is the amendment's own."""
    assert changes(tmp_path, serial="0148", done_by="A. Other", issued="2026-05-01") == [
        "Serial 0148 (before: 0147).", "Done by A. Other (before: I. Marlow)."]


def test_what_a_phone_keeps_for_itself_is_no_change(tmp_path):
    """Which key was typed when: what came of it stands in the report."""
    root = folder_with(tmp_path)
    made = phone(data_of(root), typed={"place": ["bench 20", "2026-03-12T09:00:00.000Z"]})
    put(root, "a.json", made | {"place": "bench 20"})
    shop = loading.load_shop(root)
    (name,) = shop.records
    finishing.finish(shop, root, [name], by="A", on=date(2026, 3, 20))
    put(root, "a.json", made | {"place": "bench 2", "typed": {
        "place": ["bench 2", "2026-03-12T10:00:00.000Z"], "serial": ["0147", "x"]}})
    shop = loading.load_shop(root)
    (report,) = report_pages.reports_of(shop)
    assert amendments.changes(shop.finished.latest(name), report.record, report.data) == [
        "Place bench 2 (before: bench 20)."]


def test_a_verdict_that_turns(tmp_path):
    """The reading, its outcome, the function and the statement."""
    step = next(p["step"] for p in data_of(folder_with(tmp_path / "x"))["points"]
                if p["apply"] == "3.000 V")
    said = changes(tmp_path, readings={step: "3.500"})
    assert f"Step {step}: reading 3.500 V (before: 3.002 V); outcome fail (before: pass)." in said
    assert any(one.startswith("Statement limited (before: passes)") for one in said)
    assert any(one.startswith("Function DC voltage: statement fails (before: passes)")
               for one in said)
    assert any(one.startswith("Now said: ") for one in said)


def test_a_record_that_no_reader_understands(tmp_path):
    """What was stated is still compared."""
    root = folder_with(tmp_path)
    put(root, "a.yaml", record(data_of(root)))
    shop = loading.load_shop(root)
    finishing.finish(shop, root, ["a"], by="A", on=date(2026, 3, 20))
    shop = loading.load_shop(root)
    last = shop.finished.latest("a").model_copy(update={"record": ("{", "a: b")})
    (report,) = report_pages.reports_of(shop)
    said = amendments.changes(last, report.record, report.data)
    assert "Serial 0147 (before: nothing)." in said and not [one for one in said if "Step" in one]
