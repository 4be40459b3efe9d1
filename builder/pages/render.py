"""Computed procedures → pages (Markdown with raw HTML and front matter) and data files. Knows no
site engine."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

import segno
from markupsafe import Markup

from builder import published
from builder.files.cache import Cache
from builder.files.problems import ERROR, Problem, in_order
from builder.formats.sheet_data import SheetData
from builder.pages.glossary import linked, terms
from builder.pages.page_text import HERE, as_json, as_script, lean, page_from
from builder.practice import practice_pages
from builder.procedure.data_of_meter import meter_data
from builder.procedure.sheet import Procedure
from builder.records import departures, history, history_page, register, report_text
from builder.shop.contents import Shop
from builder.shop.loading import without_collector

STYLE = "assets/bench.css"
ASSETS = (STYLE, "assets/practice.css",
          *(f"assets/{name}.js" for name in ("elements", "verdict", "any_value", "store", "record",
                                             "sheet", "records", "limits", "practice")))


@dataclass
class Site:
    """What the builder adds to a site: texts by their path below the site's source folder."""

    pages: dict[str, str] = field(default_factory=dict)
    files: dict[str, str | bytes] = field(default_factory=dict)


@without_collector()
def render(shop: Shop, address: str = "", glossary: str = "", kept: Cache | None = None) -> Site:
    """Every generated page. `address` is where the site will be found, for the codes to scan; ""
    leaves them out. `glossary` is the text of the page with that name, whose terms sheets, evidence
    and reports link to; "" is none. `kept` is what the shop was loaded with."""
    kept = kept or Cache(forgetful=True)
    site = Site(files={name: lean((HERE / name).read_text(encoding="utf-8")) for name in ASSETS})
    by_meter: dict[str, list[Procedure]] = {name: [] for name in shop.functions}
    for procedure in shop.procedures.values():
        by_meter[procedure.meter.meter].append(procedure)
        made = kept.get(f"sheet {procedure.id}", (procedure, address, glossary),
                        lambda: _sheet(procedure, address, glossary))
        site.pages[
            f"procedures/{procedure.id}.md"], site.pages[
                f"evidence/{procedure.id}.md"], site.files[
                    f"data/procedures/{procedure.id}.json"] = made
    for name, functions in shop.functions.items():
        meter = shop.meters[name]
        made = kept.get(f"meter {name}", (meter, functions, *by_meter[name]),
                        lambda: _meter(meter, functions, by_meter[name]))
        site.pages[
            f"meters/{name}.md"], site.files[
                f"data/meters/{name}.json"], site.files[f"data/meters/{name}.js"] = made
    standards = {name: one for name,
                 one in shop.standards.items() if f"standards/{name}" not in shop.broken}
    for name, standard in standards.items():
        used = [p for p in shop.procedures.values() if standard in p.standards]
        site.pages[f"standards/{name}.md"] = page_from(
            "standard.md.j2", standard=standard, procedures=used)
    meters = sorted((shop.meters[name] for name in shop.functions), key=lambda m: m.name)
    site.pages["by-meter.md"] = page_from("by-meter.md.j2", meters=meters, by_meter=by_meter,
                                          standards=list(standards.values()))
    site.pages["in-progress.md"] = page_from("in-progress.md.j2",
                                             revisions=as_script(
                                                 {
                                                     p.id: p.revision
                                                     for p in shop.procedures.values()}))
    site.pages["limits.md"] = page_from("limits.md.j2", meters=as_script([
        {"meter": m.meter, "name": m.name,
         "functions": [{"function": v.title, "kind": v.kind.name,
                        "needs_frequency": v.kind.needs_frequency, "unit": v.unit.ascii}
                       for v in shop.functions[m.meter].values() if v.models]} for m in meters]))
    made = kept.get("practice", (*shop.functions.values(), *shop.procedures.values()),
                    lambda: _practice(shop))
    site.pages.update(made)
    site.pages["by-function.md"] = page_from("by-function.md.j2", functions=_by_function(shop))
    site.pages["published.md"] = kept.get("published", (), _published)
    _reports(shop, site, kept)
    words = terms(glossary)
    for name, text in site.pages.items():
        if name.startswith(("procedures/", "evidence/", "reports/")):
            site.pages[name] = kept.get(f"linked {name}", (text, glossary),
                                        lambda: linked(text, words, "../glossary.html"))
    return site


def _sheet(procedure: Procedure, address: str, glossary: str) -> tuple[str, str, str]:
    """A procedure's sheet, its evidence and its data."""
    page = f"{address.rstrip('/')}/procedures/{procedure.id}.html" if address else ""
    return (page_from("procedure.md.j2", procedure=procedure, glossary=glossary,
                      data=as_script(procedure.data), page_style=_page_style(procedure), page=page,
                      code=_code(page) if page else ""),
            page_from("evidence.md.j2", procedure=procedure,
                      page_style=_page_style(procedure, "evidence, ")), as_json(procedure.data))


def _meter(meter, functions: dict, procedures: list[Procedure]) -> tuple[str, str, str]:
    """A meter's page, and its data twice: also as a script, which a page opened from a folder may
    load."""
    data = meter_data(meter, functions)
    return page_from("meter.md.j2", meter=meter, functions=list(functions.values()),
                     procedures=procedures), as_json(data), f"Bench.meter({as_script(data)});\n"


def reports_of(shop: Shop, records: dict | None = None,
               kept: Cache | None = None) -> list[report_text.Report]:
    """The reports of the shop's records, or of others that were read for it; the latest first."""
    as_found, as_left = departures.pairs({**shop.records, **(records or {})})
    kept, current, made = kept or Cache(forgetful=True), {}, []
    for record in (shop.records if records is None else records).values():
        name = record.head.procedure
        if name not in current:
            current[name] = kept.get(f"data {name}", (shop.procedures.get(name),),
                                     lambda: SheetData.model_validate(shop.procedures[name].data)
                                     if name in shop.procedures else None)
        inputs = (record, as_found.get(record.id), as_left.get(record.id), shop.workshop,
                  current[name])
        made.append(kept.get(f"report {record.id}", inputs,
                             lambda: report_text.report(
                                 record, found=inputs[1], left=inputs[2], workshop=shop.workshop,
                                 current=current[name])))
    return sorted(made, key=lambda one: (one.record.head.date, one.id), reverse=True)


def _reports(shop: Shop, site: Site, kept: Cache) -> None:
    histories = history.histories(shop.records,
                                  {name: plan.interval_agreed for name, plan in shop.plans.items()})
    by_serial: dict[tuple[str, str, str], list[report_text.Report]] = {}
    for report in reports_of(shop, kept=kept):
        own = histories[report.record.same_meter]
        by_serial.setdefault((own.meter_name, own.serial, own.id), []).append(report)
        name = report.record.head.procedure
        name = name if name in shop.procedures else ""
        site.pages[f"reports/{report.id}.md"] = kept.get(
            f"report page {report.id}", (report, name),
            lambda: page_from("report.md.j2", report=report, body=_body(report),
                              page_style=_report_style(report), procedure=name))
    site.pages["reports.md"] = page_from("reports.md.j2", by_serial=sorted(by_serial.items()),
                                         problems=[
                                             one for one in in_order(shop.record_problems)
                                             if one.severity == ERROR])
    _register(shop, site, histories)


def _register(shop: Shop, site: Site, histories: dict) -> None:
    """The shop's meters and standards with their states, each meter's history, and the due dates
    for a calendar."""
    held = register.register(histories=histories, plans=shop.plans, standards=shop.standards,
                             workshop=shop.workshop,
                             meters={name: meter.name for name, meter in shop.meters.items()
                                     if name in shop.functions})
    for entry in held.entries:
        title = f"History · {entry.history.meter_name}, serial no. {entry.history.serial}"
        site.pages[f"history/{entry.history.id}.md"] = page_from(
            "history.md.j2", entry=entry, page=history_page.page(entry.history, entry.due),
            as_of=held.as_of, page_style=_sheet_style(title))
    calendar = register.due_dates(held, shop.workshop)
    if calendar:
        site.files["due-dates.ics"] = calendar
    title = f"Meters and standards, state on {held.as_of or 'no day'}"
    site.pages["shop.md"] = page_from("shop.md.j2", register=held, calendar=bool(calendar),
                                      procedures=shop.procedures, page_style=_sheet_style(title))


def report_html(report: report_text.Report) -> str:
    """A report as a file of its own, which fetches nothing."""
    return page_from("report.html.j2", report=report, body=_body(report),
                     page_style=_report_style(report, alone=True))


def _body(report: report_text.Report) -> Markup:
    """A raw block without blank lines."""
    return Markup(re.sub(r"\n\s*\n+", "\n",
                         page_from("report-body.html.j2", report=report,
                                   picture=Markup(report.picture))).strip())


_ALONE = (
    "html{font-size:125%}@media screen and (prefers-color-scheme:dark){:root{color-scheme:dark;"
    "--ink:#eceff1;--faint:#a9b3bb;--hair:#4d5861;--paper:#1f242b;--tint:#282e36;--alarm:#ffab8f;"
    "--link:#8fd0e8}}body{margin:0;background:var(--paper);color:var(--ink)}")


def _report_style(report: report_text.Report, alone: bool = False) -> Markup:
    """The looks of a report, and its running foot."""
    return _sheet_style(
        f"Report {report.id} · {report.record.carried.meter_name}, serial no. "
        f"{report.record.head.serial}, {report.state}", alone)


def _sheet_style(name: str, alone: bool = False) -> Markup:
    name = re.sub(r'[\\"\n]', " ", name).replace("<", "\\3c ")
    parts = [(HERE / "assets/report.css").read_text(encoding="utf-8")]
    if alone:
        parts = [(HERE / STYLE).read_text(encoding="utf-8"), _ALONE, *parts]
    return Markup("<style>" + lean("\n".join(parts)).strip() + "\n@page{margin:11mm 10mm 14mm;"
                  f'@bottom-left{{content:"{name}";font:8pt sans-serif}}'
                  '@bottom-right{content:"Page " counter(page) " of " counter(pages);font:8pt '
                  'sans-serif}}</style>')


def _practice(shop: Shop) -> dict[str, str]:
    """The list of sets; of each its exercises and its answers."""
    pages = {}
    made = practice_pages.sets(shop)
    sets = [one for one in made if one.exercises]
    pages["practice.md"] = page_from(
        "practice.md.j2", sets=sets, kinds=[kind[:2] for kind in practice_pages.KINDS.values()],
        left_out=dict.fromkeys(line for one in made for line in one.left_out))
    for exercise_set in sets:
        shown = {"set": exercise_set, "exercises": practice_pages.shown(exercise_set),
                 "holds": practice_pages.HOLDS}
        which = f"seed {exercise_set.seed} · edition {exercise_set.edition}"
        pages[f"practice/{exercise_set.seed}.md"] = page_from(
            "practice-set.md.j2", **shown, data=as_script(practice_pages.script(exercise_set)),
            page_style=_foot(f"Practice, {which}", ""))
        pages[f"practice/{exercise_set.seed}-answers.md"] = page_from(
            "practice-answers.md.j2", **shown, page_style=_foot(f"Answers, {which}", ""))
    return pages


def _published() -> str:
    """Values from outside beside the builder's own; the same for every shop."""
    return page_from("published.md.j2", sources=published.results(), said=published.summary(),
                     sure=published.SURE, in_words=published.IN_WORDS, programs=published.PROGRAMS,
                     page_style=_sheet_style("Against published values"))


def problems_page(problems: list[Problem]) -> str:
    return page_from("problems.md.j2", problems=in_order(problems))


def _page_style(procedure: Procedure, what: str = "") -> Markup:
    """The running foot of the printed sheet; it names this procedure, so it stands in its page."""
    name = re.sub(r'[\\"\n]', " ",
                  f"{procedure.title} · {what}revision {procedure.revision}").replace("<", "\\3c ")
    return _foot(name, '@bottom-center{content:"Initials\\a0________";font:8pt sans-serif}')


def _foot(name: str, middle: str) -> Markup:
    return Markup(
        "<style>@page{margin:11mm 10mm 14mm;"
        f'@bottom-left{{content:"{name}";font:8pt sans-serif}}'
        f'{middle}'
        '@bottom-right{content:"Page " counter(page) " of " counter(pages);font:8pt '
        'sans-serif}}</style>')


def _code(address: str) -> Markup:
    """A two-dimensional code of an address; one fixed mask, since trying all eight takes most of
    the time."""
    code = segno.make(address, error="m", mask=3, micro=False)
    return Markup(code.svg_inline(scale=1, border=0, omitsize=True, svgclass=None,
                                  lineclass=None).replace("\n", ""))


def _by_function(shop: Shop) -> list[tuple[str, list[tuple[Procedure, list]]]]:
    """Each function with the procedures that have points of it."""
    by_function: dict[str, dict[str, tuple[Procedure, list]]] = {}
    for procedure in shop.procedures.values():
        for group in procedure.groups:
            for point in group.points:
                name = point.planned.function.kind.name
                _, groups = by_function.setdefault(name, {}).setdefault(procedure.id,
                                                                        (procedure, []))
                if group not in groups and group.stage != "proving":
                    groups.append(group)
    return [(name, list(entries.values())) for name, entries in sorted(by_function.items())]
