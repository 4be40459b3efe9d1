"""An empty record of a procedure, to type what was written on paper into, and the procedure's data
of today beside it."""

from __future__ import annotations

import json
from pathlib import Path

from builder.files import whole_files
from builder.files.problems import Wrong
from builder.formats.outcomes import NOT_DONE

_HEAD = """\
# yaml-language-server: $schema=../../builder/schema/paper-record.schema.json
# What was written on the sheet '{title}', revision {revision}.
# Name the file as the record is to be called, such as 2026-03-12-{meter}-0147.yaml: that names \
its report too.
# A line that stays empty counts as not filled in; '-' is a step that was not done, OL is overload.
procedure: {procedure}
revision: {revision}               # at the foot of the sheet; another one needs another form
{judged_by}serial:
state:                             # as found, or as left
date:                              # year-month-day
place:
ambient: {{start: -, end: -}}        # {ambient}; 'before 17: 23.4 degC' where it changed
humidity: {{start: -, end: -}}
owner:                             # whom the report is for
condition:                         # of the meter when it came
done_by:
reviewed_by:                       # who authorises the report
issued:                            # the day of the report
adjusted:                          # as left only: what was adjusted, replaced or cleaned between
follows:                           # as left only: the record as found, if that was on another day
remarks:"""


def write(data: dict, folder: Path, approved: bool = False) -> tuple[Path, Path | None]:
    """The form under a name that is free, and the data, which may stand there already; none for an
    approved sheet, whose file holds them. Never overwrites."""
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
    for n in range(1, 1000):
        path = folder / f"new-{data['procedure']}{'' if n == 1 else f'-{n}'}.yaml"
        try:
            whole_files.write_new(path, form(data, approved))
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


def form(data: dict, approved: bool = False) -> str:
    """The empty record as text, the steps as comments beside their places."""
    lines = [
        _HEAD.format(**{name: data[name] for name in ("title", "procedure", "revision", "meter")},
                     judged_by="" if approved else f"judged_by: {data_name(data)}\n",
                     ambient=f"the sheet holds at {_plain(data['holds'])}")]
    lines.append(
        "standards:                         # what stood on the labels; certificate and due only "
        "if they differ from these")
    lines += [
        f"  {one['standard']}: {{number: {NOT_DONE}}}  # certificate: {one['certificate']}, due: "
        f"{one['due']}" for one in data["standards"]]
    lines.append(
        "checks:                            # yes, no or '-'; {good: no, then: [yes]} after a "
        "repair; {good: not on this meter, by: XY}")
    for group in data["groups"]:
        own = [one for one in data["checks"] if one["group"] == group["group"]]
        lines += _group(group,
                        [(f"{{good: {NOT_DONE}, write: {NOT_DONE}}}" if one["write"] else NOT_DONE,
                          f"{one['step']} {one['check']}"
                          + (f"; write: {one['write']}"
                             + (f", {one['unit']}" if one["unit"] else "") if one["write"] else ""))
                         for one in own])
    lines.append(
        "readings:                          # [first, second] for two tries, [[5.01, 5.02, 5.00]] "
        "for readings that were repeated, 5.01/5.02 for both extremes of one that flickered")
    for group in data["groups"]:
        own = [one for one in data["points"] if one["group"] == group["group"]]
        lines += _group(group,
                        [(_place(one), _point(one)) for one in own])
    live = [one for one in data["groups"] if one["hazard"]]
    if live:
        lines.append(
            "closed:                            # the reading near zero that closed each live "
            "group; 'no' if it was not closed")
        lines += [f"  {one['group']}:      # {_plain(one['title'])}" for one in live]
    return "\n".join(lines) + "\n"


def _place(point: dict) -> str:
    """What stands where nothing is written yet."""
    if point["kind"] != "reference":
        return NOT_DONE
    twice = point["reference"].get("twice")
    beside = f"[{NOT_DONE}, {NOT_DONE}]" if twice else NOT_DONE
    return f"{{reading: {NOT_DONE}, reference: {beside}}}"


def _group(group: dict, entries: list[tuple[str, str]]) -> list[str]:
    if not entries:
        return []
    width = max(len(place) for place, _ in entries) + 1
    return [f"  {group['group']}: [  # {_plain(group['title'])}",
            *(f"    {place + ',':{width}}  # {_plain(said)}" for place, said in entries), "  ]"]


def _point(point: dict) -> str:
    if point["kind"] == "zero":
        applied = "leads alone"
    else:
        applied = ", ".join(filter(None, (point["apply"], point["frequency"], point["level"])))
    limits = point["accept"]
    accepts = (f": {limits['low'].split(' ')[0]} to {limits['high']}" if limits
               else ": write down only" if point["kind"] == "observation" else "")
    return f"{point['step']} {applied} on {point['range']}{accepts}"


def _plain(text: str) -> str:
    return " ".join(text.split())
