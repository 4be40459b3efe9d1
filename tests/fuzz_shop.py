"""A small shop with a file of every kind that is read, for tests/fuzz.py to spoil, and what must
hold whatever stands in one of them: nothing of a file is lost without a problem at its place, and
no mark of it comes to a page as markup."""

from __future__ import annotations

import csv
import io
import json
import random
from datetime import date
from pathlib import Path

import yaml

from builder.formats.outcomes import NOT_DONE
from builder.frozen import approved, finished
from builder.pages import finishing
from builder.pages.render import Site
from builder.records.judged_record import Record
from builder.shop import loading
from builder.shop.contents import Shop
from tests import recorded, small_shop
from tests.records.test_table_record import as_csv, filled

LOADER = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
# What is put into files to see that it comes out as text.
MARKUP = ("<script>alert(1)</script>", '"><img src=x onerror=alert(1)>')
_RAW = ("<script>alert", "<img src=x")
BY, PHONE = "T. Askew", "2026-03-12-5c0a7e11"

_REGISTER = {"meters": [
    {"serial": "0147", "meter": "lapwing-1", "asset": "E-1", "owner": "deck", "place": "berth 2",
     "contact": "extension 214", "since": "2023-02-06"},
    {"serial": "0148", "meter": "lapwing-1", "owner": "engine"},
    {"serial": "0149", "meter": "lapwing-1", "withdrawn": "lost overboard on 2026-04-02"},
    *({"serial": f"02{n}", "meter": "lapwing-1", "place": "store"} for n in range(10, 14))]}
_PAST = ("serial;meter;date;function;point;reading;error;low;high;outcome;by\n"
         "0147;;2018-12-11;DC voltage;3 V;3,001 V;;2,986 V;3,014 V;pass;berth 4\n"
         "0148;lapwing-1;2018-12-11;DC voltage;540 V;540,2 V;;;;pass;berth 4\n"
         "0148;;2019-12-09;DC voltage;3 V;;0,004 V;;;fail;berth 4\n")
_CHECK = {"check": "petrel-3-v", "title": "3 V of the Petrel", "standard": "petrel",
          "against": "a cell", "value": "3 V", "allowed": "1 mV", "every": "1 day", "first": "10",
          "readings": {f"2026-02-{n:02}": f"3.00{n % 7}00 V" for n in range(1, 25)}
          | {"2026-02-25": {"reading": "3.02000 V", "because": "lead not home", "by": "I. Marlow"},
             "2026-02-26": {"reading": "3.00200 V", "anew": "calibrated"}}}


def made(root: Path) -> Path:
    """The shop's folder: approved, finished, amended and withdrawn by the builder's own doors."""
    folder = recorded.folder_with(root, {"interval_agreed": "12 months"})
    small_shop.write(folder, {
        "workshop.yaml": "name: Invented Bench Works\naddress: [1 Quay, Nowhere]\n"
                         "as_of: 2026-04-01\n"
                         f"authorised: [{{name: {BY}, may: [approve, finish, review]}}]\n",
        "register.yaml": yaml.dump(_REGISTER, sort_keys=False), "past/before.csv": _PAST,
        "checks-between/petrel-3-v.yaml": yaml.dump(_CHECK, sort_keys=False)})
    data = recorded.data_of(folder)
    recorded.approve(folder, by=BY)
    (folder / "records" / recorded.paper_form.data_name(data)).unlink()
    ways = {"judged_by": None}
    texts = {"2025-03-12-typed.yaml": recorded.record(data, date="2025-03-12", issued="2025-03-13",
                                                      **ways),
             "2026-03-12-fails.yaml": recorded.record(
                 data, {recorded.step(data, "3.000 V"): "3.9"}, **ways),
             "2026-03-12-phone.json": recorded.phone(data, serial="0148")}
    for name, one in texts.items():
        recorded.put(folder, name, one if name.endswith(".json") else yaml.dump(
            one, sort_keys=False))
    rows = [row for row in filled(data) if row[0] != "judged by"]
    next(row for row in rows if row[0] == "serial")[1] = "0210"
    (folder / "records/2026-03-12-table.csv").write_bytes(as_csv(rows, ";", ","))
    _decided(folder)
    return folder


def _decided(folder: Path) -> None:
    def shop() -> Shop:
        read = loading.load_shop(folder)
        assert not read.errors, "\n".join(map(str, read.errors))
        return read

    day = date(2026, 3, 20)
    finishing.finish(shop(), folder, ["2026-03-12-fails", PHONE], by=BY, on=day)
    path = folder / "records/2026-03-12-fails.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("bench 2", "bench 3"),
                    encoding="utf-8")
    finishing.amend(loading.load_shop(folder), folder, ["2026-03-12-fails"], because="the place",
                    by=BY, on=day)
    finished.withdraw(folder, shop().finished, PHONE, "1", because="the wrong meter",
                      told="the owner", by=BY, on=day)
    sheet = shop().approvals.in_force("lapwing-yearly")
    approved.withdraw(folder, shop().approvals, sheet.procedure, sheet.revision,
                      because="a step is missing", told="everybody", by=BY, on=day)
    recorded.approve(folder, day="2026-03-21", by=BY)


def texts(folder: Path) -> dict[str, str]:
    """Every file that gets spoilt, by its path."""
    return {path.relative_to(folder).as_posix(): path.read_text(encoding="utf-8")
            for path in sorted(folder.rglob("*")) if path.is_file() and path.suffix in (
                ".yaml", ".json", ".csv")}


def is_table(text: str) -> bool:
    """Whether a file's text is a table (CSV): its first line names columns."""
    return ";" in text.partition("\n")[0] and ":" not in text.partition("\n")[0]


def spoiled_table(text: str, values: list, chance: random.Random) -> str:
    """A table with a cell or a row that is another one, at a place that `chance` draws."""
    rows = list(csv.reader(text.splitlines(True), delimiter=";"))
    for _ in range(chance.choice((1, 1, 2))):
        row, other = chance.choice(rows), chance.choice(rows)
        how = chance.randrange(5)
        if how == 0:
            rows.insert(chance.randrange(len(rows)), list(other))
        elif how == 1 and len(rows) > 2:
            rows.remove(row)
        elif how == 2:
            row.append(str(chance.choice(values)))
        elif row:
            row[chance.randrange(len(row))] = (str(chance.choice(values)) if how == 3 or not other
                                               else chance.choice(other))
    stream = io.StringIO()
    csv.writer(stream, delimiter=";", lineterminator="\n").writerows(rows)
    return stream.getvalue()


def said(shop: Shop) -> tuple:
    """All that a shop's files say, to be compared."""
    return (shop.records, shop.workshop, shop.register, shop.past, shop.checks_between,
            shop.approvals, shop.finished, shop.standards, shop.meters, shop.plans)


def check_nothing_lost(shop: Shop, right: Shop, name: str, raw: bytes) -> None:
    """A file without an error of its own gives all that stands in it. `right` is the shop with the
    file as it was."""
    if any(one.place.file == f"procedures/{name}" for one in shop.errors):
        return
    kind = name.split("/")[0]
    text = raw.decode("utf-8-sig")
    if kind in ("approved", "finished"):        # the hash holds every sign of it
        of = {"approved": (shop.approvals, right.approvals),
              "finished": (shop.finished, right.finished)}[kind]
        now, then = ({one.file: one.content for one in part.files} for part in of)
        file = f"procedures/{name}"
        assert now.get(file) == then[file], "another content under a hash that holds"
    elif kind == "register.yaml":
        wanted = yaml.load(text, LOADER)["meters"]
        assert [" ".join(one["serial"].split()) for one in wanted] == [
            " ".join(one.serial.split()) for one in shop.register.meters], "a meter is lost"
    elif kind == "workshop.yaml":
        assert shop.workshop is not None, "no workshop"
    elif kind == "checks-between":
        (check,) = shop.checks_between.values() or [None]
        assert check or shop.unread_checks, "a check is lost"
        wanted = yaml.load(text, LOADER)["readings"]
        assert check is None or len(check.readings) == len(wanted), "a reading is lost"
    elif kind == "past":
        cells = csv.reader(text.splitlines(True), delimiter=next(
            (sign for sign in ";\t," if sign in text.splitlines()[0]), ","))
        wanted = [row for row in cells if any(cell.strip() for cell in row)][1:]
        assert len(wanted) == sum(map(len, shop.past.values())), "a result is lost"
    elif kind == "records":
        blank = any(one.code == "blank-record" and one.place.file == f"procedures/{name}"
                    for one in shop.problems)       # which is told, and of which nothing is left
        assert blank or len(shop.records) == len(right.records), "a record is lost"
        check_steps(shop.records, Path(name), text)


def check_steps(records: dict[str, Record], name: Path, text: str) -> None:
    """Every step at which a file says something has an answer or a reading in its record."""
    record = next((one for one in records.values()
                   if Path(one.document.file).name == name.name), None)
    if record is None:
        return
    point_of = {one.step: one.id for one in record.carried.points}
    for step in filled_steps(name.suffix, text):
        own = point_of.get(step, step)
        assert record.entries.tries.get(own) or own in record.entries.answers or (
            record.entries.notes.get(step)), f"nothing is left of step {step}"


def filled_steps(form: str, text: str) -> set[str]:
    """The steps of a record's file at which something is said, by a reader of its own."""
    if form == ".csv":
        rows = list(csv.reader(text.splitlines(True), delimiter=next(
            (sign for sign in ";\t," if sign in text.splitlines()[0]), ",")))
        answer = [cell.strip().lower() for cell in rows[0]].index("answer")
        pairs = [(row[0], row[answer]) for row in rows[1:] if len(row) > answer]
        pairs = [one for one in pairs if one[0][:1].isdigit()]
    elif form == ".json":
        data = json.loads(text)
        pairs = [(one["step"], [again["reading"] for again in one["readings"]])
                 for one in data["points"]]
        pairs += [(one["step"], one.get("good")) for one in data["checks"]]
    else:
        pairs = list((yaml.load(text, LOADER).get("steps") or {}).items())
    return {str(step).split()[0] for step, said in pairs
            if said and str(said).strip() not in ("", "~", "null", "Null", "NULL", *NOT_DONE)}


def check_no_markup(site: Site) -> None:
    """Nothing that was typed is markup on a page, nor in a file that pages load."""
    for path, text in site.pages.items():
        assert not any(one in text for one in _RAW), f"markup from a file on {path}"
    for path, content in site.files.items():
        if path.endswith(".json"):
            json.loads(content)
