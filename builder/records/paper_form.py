"""An empty record of a procedure, to type what was written on paper into, and the procedure's data
of today beside it."""

from __future__ import annotations

import json
import re
from pathlib import Path

from builder.files import whole_files
from builder.files.problems import Wrong
from builder.formats.outcomes import NOT_DONE
from builder.formats.sheet_data import PointData, SheetData
from builder.records import table_form
from builder.records.steps_form import name_of

_HEAD = """\
# yaml-language-server: $schema=../.schema/paper-record.schema.json
# What was written on the sheet '{title}', revision {revision}.
# Name the file as the record is to be called, such as 2026-03-12-{meter}-0147.yaml: that names \
its report too.
# A line that stays empty counts as not filled in; OL is overload.
procedure: {procedure}
revision: {revision}               # at the foot of the sheet; another one needs another form
{judged_by}serial:
state:                             # as found, or as left
date:                              # year-month-day
place:
ambient: {{start: -, end: -}}        # {ambient}; 'before 17: 23.4 degC' where it changed
humidity: {{start: -, end: -}}
owner:                             # whom the report is for
contact:                           # how to reach them
asset:                             # the owner's own number of the meter
received:                          # the day on which it came
{adjusted_on}condition:                         # of the meter when it came
done_by:
reviewed_by:                       # who authorises the report
issued:                            # the day of the report
initials:                          # where two people share the record, by group: {{4: IM, 5: TA}}
adjusted:                          # as left only: what was adjusted, replaced or cleaned between
worked_on:                         # in the midst of the record: {{7.4: battery changed}}, as left \
from there on
follows:                           # as left only: the record as found, if that was on another day
remarks:"""


def write(data: dict, folder: Path, approved: bool = False,
          separator: str | None = None) -> tuple[Path, Path | None]:
    """The form under a name that is free, and the data, which may stand there already; none for an
    approved sheet, whose file holds them. A table where a `separator` is given, to stand between
    its cells. Never overwrites."""
    folder.mkdir(parents=True, exist_ok=True)
    beside = None if approved else folder / data_name(data)
    text = as_text(data)
    if beside is None:
        pass
    elif beside.exists():
        if beside.read_text(encoding="utf-8") != text:
            raise Wrong(
                f"{folder.name}/{beside.name} exists already with other contents, and nothing is "
                "overwritten", "records are judged by it: move it elsewhere only if none is")
    else:
        whole_files.write_new(beside, text)
    ending, made = (".yaml", form(data, approved)) if separator is None else (
        ".csv", table_form.form(SheetData.model_validate(data), beside.name if beside else "",
                                separator))
    for n in range(1, 1000):
        path = folder / f"new-{data['procedure']}{'' if n == 1 else f'-{n}'}{ending}"
        try:
            whole_files.write_new(path, made)
            return path, beside
        except FileExistsError:
            continue
    raise Wrong("there are 999 empty forms already", "fill one in, or delete them")


def as_text(data: dict) -> str:
    """JSON with a line for each point, check and group."""
    def line(value) -> str:
        if isinstance(value, list) and value and isinstance(value[0], dict):
            return "[\n  " + ",\n  ".join(json.dumps(one, ensure_ascii=False)
                                          for one in value) + "]"
        return json.dumps(value, ensure_ascii=False)
    lines = [f"{json.dumps(name)}: {line(value)}" for name, value in data.items()]
    return "{" + ",\n ".join(lines) + "}\n"


def data_name(data: dict) -> str:
    return f"{data['procedure']}-{data['revision']}.json"


def _adjusted_on(data: dict) -> str:
    return (f"last_adjusted:                     # the limits are those of "
            f"{data['verified_against']} since adjustment; a day, or unknown\n"
            if data.get("verified_against") else "")


def form(data: dict, approved: bool = False) -> str:
    """The empty record as text, the steps as comments beside their places."""
    lines = [
        _HEAD.format(**{name: data[name] for name in ("title", "procedure", "revision", "meter")},
                     adjusted_on=_adjusted_on(data),
                     judged_by="" if approved else f"judged_by: {data_name(data)}\n",
                     ambient=f"the sheet holds at {_plain(data['holds'])}")]
    lines.append(
        "standards:                         # what stood on the labels; certificate and due only "
        "if they differ from these")
    lines += [
        f"  {one['standard']}: {{number: {NOT_DONE}}}  # certificate: {one['certificate']}, due: "
        f"{one['due']}" for one in data["standards"]]
    lines.append(
        "steps:                             # what was read first, OL for overload, yes or no; "
        "nothing where it was not done\n"
        "  # read again:   {reading: 180.9, then: [179.9], because: lead not home}\n"
        "  # repeated:     {repeated: [5.01, 5.02, 5.00]}; it flickered: 5.01/5.02\n"
        "  # at a check:   {yes: 35}, {no: chipped collar at V}, {no: cracked, then: [yes]}")
    by_group: dict[str, list[str]] = {}
    for check in data["checks"]:
        by_group.setdefault(check["group"], []).append(_check(check))
    for point in data["points"]:
        by_group.setdefault(point["group"], []).append(_reading(point))
    for group in data["groups"]:
        if own := by_group.get(group["group"]):
            lines += [f"  # {group['group']} {_plain(group['title'])}", *own]
    live = [one for one in data["groups"] if one["hazard"]]
    if live:
        lines.append(
            "closed:                            # the reading near zero that closed each live "
            "group, with its unit; 'no' if it was not closed;\n"
            "                                   # {otherwise: what was done and read with which "
            "second instrument, by: NAME}")
        lines += [f"  {one['group']}:      # {_plain(one['title'])}; at most "
                  f"{one.get('near_zero_limit') or '1 V'}" for one in live]
    return "\n".join(lines) + "\n"


def _check(check: dict) -> str:
    asks = ", ".join(filter(None, (check["write"], check["unit"])))
    return _line(f"{check['step']} {check['check']}", "",
                 f"{{yes: {asks}}}" if check["write"] else "")


def _reading(point: dict) -> str:
    data = PointData.model_validate(point)
    limits = point["accept"]
    accepts = (f"{limits['low'].split(' ')[0]} to {limits['high']}" if limits
               else "write down only" if point["kind"] == "observation" else "")
    return _line(f"{point['step']} {name_of(data)}",
                 "" if data.reference is None else "{reading: , reference: [-, -]}"
                 if data.reference.twice else "{reading: , reference: }",
                 ", ".join(filter(None, (accepts, f"on {point['range']}"))))


def _line(key: str, value: str, beside: str) -> str:
    """A step with its place; what YAML would take for something else stands in quotes."""
    if re.search(r"[:#'\"{}\[\]&*!|>%@`]", key):
        key = json.dumps(key, ensure_ascii=False)
    line = f"  {key}: {value}"
    return f"{line:<34} # {_plain(beside)}" if beside else line.rstrip()


def _plain(text: str) -> str:
    return " ".join(text.split())
