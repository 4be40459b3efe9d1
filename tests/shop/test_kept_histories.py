"""Histories, results and lists with what an earlier build kept: whatever changes, the pages and the
data are those that are made from nothing, and a shop in which nothing changed reads no record."""

import json
import re
from datetime import date

import pytest

from builder.files.cache import Cache
from builder.files.kept_texts import KeptTexts
from builder.frozen import finished
from builder.pages import finishing, render
from builder.records import history, record_files
from builder.shop import loading, meters_held
from builder.shop.kept_histories import KeptHistory
from tests.recorded import approve, data_of, folder_with, put, record, step

ASKEW = "T. Askew"
DAY = date(2026, 3, 20)
WORKSHOP = {"name": "An invented workshop", "address": "Shed 4", "as_of": "2026-03-20"}


@pytest.fixture
def root(tmp_path):
    """A shop with six records of two meters over three years, as found and as left, all finished
    but one; a register and a workshop's file."""
    made = folder_with(tmp_path, {"interval_agreed": "12 months"})
    approve(made, "2023-01-01")
    data = data_of(made)
    three = step(data, "3.000 V")
    for n, year in enumerate(("2023", "2024", "2025")):
        put(made, f"{year}-a.yaml", record(data, {three: f"3.00{n + 1}"}, judged_by=None,
                                           date=f"{year}-03-1{n}", issued=f"{year}-03-20"))
    put(made, "2025-a-left.yaml", record(data, judged_by=None, date="2025-03-12", issued=None,
                                         state="as left", adjusted="the trimmer"))
    put(made, "2025-b.yaml", record(data, {three: "3.5"}, judged_by=None, serial="0999",
                                    date="2025-05-05", issued=None))
    put(made, "2026-b.yaml", record(data, judged_by=None, serial="0999"))
    (made / "workshop.yaml").write_text(json.dumps(WORKSHOP), encoding="utf-8")
    (made / "register.yaml").write_text(json.dumps(
        {"meters": [{"serial": "0147", "meter": "lapwing-1"},
                    {"serial": "0999", "meter": "lapwing-1"}]}), encoding="utf-8")
    finishing.finish(loading.load_shop(made), made,
                     ["2023-a", "2024-a", "2025-a", "2025-b"], by=ASKEW, on=DAY)
    assert not loading.load_shop(made).errors
    return made


def site(root, kept=None):
    kept = kept or Cache(forgetful=True)
    made = render.render(loading.load_shop(root, kept=kept), kept=kept)
    return made.pages | made.files | {"today": made.today}


def from_kept(root):
    return site(root, Cache(forgetful=True, texts=KeptTexts(root.parent)))


def test_where_nothing_changed_nothing_is_read(root, monkeypatch):
    """No record, no history and no result; a report that nobody finished is said again."""
    first = from_kept(root)
    assert first == site(root)
    names, read = [], record_files.read_file
    monkeypatch.setattr(record_files, "read_file",
                        lambda path, *more: names.append(path.stem) or read(path, *more))
    worked, work_out = [], history._history
    monkeypatch.setattr(history, "_history",
                        lambda key, *more: worked.append(key) or work_out(key, *more))
    assert from_kept(root) == first and worked == []
    assert {name for name in names if name.startswith("20")} <= {"2026-b"}
    names.clear()
    finishing.finish(loading.load_shop(root), root, ["2026-b"], by=ASKEW, on=DAY)
    put(root, "2022-c.yaml", record(data_of(root), judged_by=None, serial="0555",
                                    date="2022-05-05"))
    names.clear()
    from_kept(root)
    assert {key[1] for key in worked} == {"0555"}   # for one new record its meter alone,
    # and the results of the report that was finished meanwhile
    assert {name for name in names if name.startswith("20")} == {"2022-c", "2026-b"}


def test_it_is_what_was_worked_out(root):
    """All that lists show, and the rest when it is asked for."""
    texts = KeptTexts(root.parent)
    plain = meters_held.histories(loading.load_shop(root))
    for _ in range(2):
        shop = loading.load_shop(root, kept=Cache(forgetful=True, texts=texts))
        made = meters_held.histories(shop, texts)
    assert made.keys() == plain.keys() and len(made) == 2
    for key, own in plain.items():
        kept = made[key]
        assert isinstance(kept, KeptHistory) and "whole" not in vars(kept)
        assert (kept.meter, kept.meter_name, kept.serial, kept.id, kept.last_errors) == (
            own.meter, own.meter_name, own.serial, own.id, own.last_errors) and kept.last_errors
        assert kept.last.day == own.last.day and [
            (one.record.id, one.stated.statement, one.stated.of_meter.in_service,
             [f.function for f in one.stated.barred]) for one in kept.verifications] == [
            (one.record.id, one.stated.statement, one.stated.of_meter.in_service,
             [f.function for f in one.stated.barred]) for one in own.verifications]
        assert [(one.procedure, one.title, one.months, one.concluded) for one in kept.reviews] == [
            (one.procedure, one.title, one.months, one.concluded) for one in own.reviews]
        assert "whole" not in vars(kept)
        assert kept.courses == own.courses and kept.adjusted == own.adjusted


def edited(path, old, new):
    text = path.read_text(encoding="utf-8")
    changed = re.sub(old, new, text)
    assert changed != text
    path.write_text(changed, encoding="utf-8")


EDITS = {
    "day": lambda root: edited(root / "workshop.yaml", "2026-03-20", "2027-09-01"),
    "no day": lambda root: edited(root / "workshop.yaml", ', "as_of": "2026-03-20"', ""),
    "staircase": lambda root: edited(root / "workshop.yaml", "}$",
                                     ', "staircase": {"good": "1 %", "in_a_row": 1}}'),
    "place": lambda root: edited(root / "register.yaml", '"0147"', '"0147", "place": "quay 4"'),
    "withdrawn": lambda root: edited(root / "register.yaml", '"0999"',
                                     '"0999", "withdrawn": "2026-03-01, lost"'),
    "registered": lambda root: edited(root / "register.yaml", '"0999"', '"0998"'),
    "reading": lambda root: edited(root / "records/2024-a.yaml", "3.002", "3.011"),
    "new record": lambda root: put(root, "2022-b.yaml", record(
        data_of(root), judged_by=None, serial="0999", date="2022-05-05")),
    "record gone": lambda root: (root / "records/2023-a.yaml").unlink(),
    "faulty record": lambda root: edited(root / "records/2023-a.yaml", '"3.001"', '"x"'),
    "report withdrawn": lambda root: finished.withdraw(
        root, loading.load_shop(root).finished, "2025-b", "1", because="wrong meter", told="all",
        by=ASKEW, on=DAY),
    "report finished": lambda root: finishing.finish(loading.load_shop(root), root, ["2026-b"],
                                                     by=ASKEW, on=DAY),
    "standard": lambda root: edited(root / "standards/petrel.yaml", "Petrel", "Petrel II"),
    "meter's name": lambda root: edited(root / "meters/lapwing-1.yaml", "Lapwing 1", "Lapwing I"),
    "interval": lambda root: edited(root / "plans/lapwing-yearly.yaml", "12 months",
                                    "6 months"),
    "plan gone": lambda root: (root / "plans/lapwing-yearly.yaml").unlink(),
    "approved": lambda root: (edited(root / "plans/lapwing-yearly.yaml", '540 V', '530 V'),
                              approve(root, "2026-03-19")),
}


@pytest.mark.parametrize("edit", EDITS)
def test_an_edit_changes_what_depends_on_it(root, edit):
    """After an edit of any kind the kept site is the one that is made from nothing, at once and
    the next time."""
    before = from_kept(root)
    EDITS[edit](root)
    made = site(root)
    assert made != before
    assert from_kept(root) == made
    assert from_kept(root) == made
