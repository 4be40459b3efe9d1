"""A record that was read before: what every build asks of it is known, all else is read again."""

import json
from dataclasses import fields
from datetime import date

import pytest

from builder.files.cache import Cache
from builder.files.kept_texts import FOLDER, KeptTexts
from builder.records import kept_records, record_files
from builder.records.judged_record import Record
from builder.records.kept_records import KeptRecord
from builder.shop import loading
from tests.recorded import approve, data_of, folder_with, put, record, step


@pytest.fixture
def root(tmp_path):
    """Three records of an approved sheet, one of them with a limit that it failed."""
    made = folder_with(tmp_path)
    approve(made)
    data = data_of(made)
    put(made, "a.yaml", record(data, judged_by=None))
    put(made, "b.yaml", record(data, {step(data, "3.000 V"): "3.5"}, judged_by=None, serial="0999"))
    put(made, "c.yaml", record(data, judged_by=None, serial="0148", ambient=None))
    return made


@pytest.fixture
def load(root, monkeypatch):
    """Loads the shop as a build does, and says which records were read."""
    def loaded(as_of=None):
        read, names = record_files.read_file, []
        with monkeypatch.context() as changed:
            changed.setattr(record_files, "read_file",
                            lambda path, *more: names.append(path.stem) or read(path, *more))
            kept = Cache(forgetful=True, texts=KeptTexts(root.parent))
            return loading.load_shop(root, kept=kept, as_of=as_of), sorted(set(names) & {*"abc"})
    return loaded


def test_it_is_what_was_read(root, load):
    """Every attribute, and every problem; read when one is asked for that isn't kept."""
    plain = loading.load_shop(root)
    first, read = load()
    assert read == [*"abc"]
    second, read = load()
    assert read == [] and first.problems == second.problems == plain.problems
    assert any(one.code == "doubt" for one in plain.problems)
    for name, own in plain.records.items():
        kept = second.records[name]
        assert isinstance(kept, KeptRecord) and type(own) is Record
        assert "whole" not in vars(kept)
        assert (kept.id, kept.head, kept.carried, kept.standards, kept.meter, kept.same_meter,
                kept.fingerprint) == (own.id, own.head, own.carried, own.standards, own.meter,
                                      own.same_meter, own.fingerprint)
        assert kept.document.file == own.document.file and "whole" not in vars(kept)
        for field in fields(Record):
            if field.compare:
                assert getattr(kept, field.name) == getattr(own, field.name)
        assert kept.work == own.work and kept.document.lines == own.document.lines


@pytest.mark.parametrize("ambient", ["23.0", "23.0 degC", "22 to 23 degC", {"end": "23 degC"},
                                     {"start": "22 degC", "before 2": "23 degC"}])
def test_conditions_read_once_are_kept_as_those_of_moments(root, load, ambient):
    """A file may say one value without its moment; each build after the first must take it too."""
    put(root, "a.yaml", record(data_of(root), judged_by=None, ambient=ambient, humidity="45 %"))
    plain = loading.load_shop(root)
    first, _ = load()
    second, read = load()
    assert read == [] and first.problems == second.problems == plain.problems
    assert len(second.records) == len(plain.records) == 3
    for name, own in plain.records.items():
        assert isinstance(second.records[name], KeptRecord)
        assert second.records[name].head == own.head
    assert {"": "45 %"} in [one.head.humidity for one in second.records.values()]


def test_places_of_what_a_shop_says_are_kept(root, load):
    """Where the meter of a record is gone, its number nearly another one, or it follows none."""
    load()
    for path in (root / "meters").iterdir():
        path.unlink()
    shop, read = load()
    assert read == [] and {"stranger", "serial"} <= {one.code for one in shop.problems}
    assert shop.problems == loading.load_shop(root).problems
    own = shop.records["a"].document
    assert own.problem(("steps",), "x", "y", "z") == own.problem(("steps",), "x", "y", "z")
    assert own.problem(("steps",), "x", "y", "z").place.line > 1


@pytest.mark.parametrize("change", ["file", "name", "sheet"])
def test_what_it_is_made_from_makes_it_anew(root, load, change):
    load()
    path = root / "records/a.yaml"
    if change == "file":
        path.write_text(path.read_text(encoding="utf-8").replace("3.002", "3.003"),
                        encoding="utf-8")
    elif change == "name":
        path.rename(root / "records/d.yaml")
    else:       # what was approved says something else under the same revision
        own = next((root / "approved").iterdir())
        data = json.loads(own.read_text(encoding="utf-8"))
        data["sheet"]["title"] += " anew"
        data.pop("hash")
        from builder.files import hashed
        own.write_text(hashed.as_text(data), encoding="utf-8")
    shop, read = load()
    assert read == {"file": ["a"], "name": [], "sheet": [*"abc"]}[change]
    plain = loading.load_shop(root)
    assert shop.problems == plain.problems and shop.records.keys() == plain.records.keys()
    assert all(shop.records[name].carried == own.carried and
               shop.records[name].fingerprint == own.fingerprint
               for name, own in plain.records.items())
    assert load()[1] == []


def test_doubts_are_those_of_the_day(root, load):
    for day in (date(2026, 3, 11), date(2026, 3, 12), date(2029, 1, 1), date(2026, 3, 11)):
        assert load(day)[0].problems == loading.load_shop(root, as_of=day).problems
    assert load(date(2026, 3, 11))[1] == []


def test_what_brings_its_own_limits_is_not_kept(root, load):
    """Nor a table: its document says how it was read."""
    data = data_of(root)
    data["title"] = "Another title"
    (root / "records/own.json").write_text(json.dumps(data), encoding="utf-8")
    put(root, "a.yaml", record(data, judged_by="own.json"))
    for _ in range(2):
        shop, read = load()
        assert type(shop.records["a"]) is Record and "a" in read
        assert shop.records["a"].carried.title == "Another title"


def test_a_damaged_one_is_read_again(root, load):
    load()
    for path in (root.parent / FOLDER).glob("??/*"):
        path.write_bytes(path.read_bytes()[:-9])
    shop, read = load()
    assert read == [*"abc"] and shop.problems == loading.load_shop(root).problems


def test_one_that_is_another_by_now_says_so(root, load):
    """A file that was changed while a build reads it."""
    load()
    shop, _ = load()
    path = root / "records/a.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("3.002", "3.003"), encoding="utf-8")
    with pytest.raises(RuntimeError, match="a was read from the same file before"):
        _ = shop.records["a"].judged
    assert kept_records.problem({"place": {"file": "f", "line": 1, "column": 2}, "code": "c",
                                 "sentence": "s", "hint": "h"}).place.column == 2
