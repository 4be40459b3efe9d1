"""Computed procedures → pages (Markdown with raw HTML and front matter) and data files. Knows no
site engine."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import partial

from builder import published
from builder.files.cache import Cache
from builder.files.kept_texts import KeptTexts
from builder.numbers.exact_text import plain_quantity
from builder.pages import (check_pages, format_pages, history_pages, home, last_readings, lists,
                           look, report_pages, script_tables, sheet_pages)
from builder.pages.page_styles import STYLE, STYLE_FILES, looks_of_report, plain_foot
from builder.pages.page_text import as_json, as_script, lean, page_from
from builder.practice import practice_pages, simulated_data
from builder.procedure.accuracy_shown import picture
from builder.procedure.data_of_meter import meter_data
from builder.procedure.sheet import Procedure
from builder.published.base import SURE
from builder.records import checks_between, register, together, together_page
from builder.records.checks_between import StandardCheck
from builder.records.interval_words import concluded_text
from builder.shop import kept_histories, meters_held, own_files
from builder.shop.contents import Shop
from builder.shop.loading import without_collector
from builder.shop.missing import MissingFile, missing, of_kind, whole
from builder.shop.site_data import site_data

# Parts that are generated and stand in no file.
TABLES = {"tables": script_tables.script, "refusals": script_tables.refusals,
          "band": script_tables.band,
          "practice": practice_pages.words_script}
# What pages load, each of its files in assets/ in this order. A script is served as one file
# however many it is written in: on a phone each further one adds a quarter of a kilobyte to the
# first view.
ASSETS = {
    STYLE: STYLE_FILES, "assets/practice.css": ("practice.css",),
    "assets/records.css": ("records.css",), "assets/limits.css": ("limits.css",),
    "assets/home.css": ("home.css",), "assets/evidence.css": ("evidence.css",),
    "assets/lists.css": ("lists.css",),
    "assets/elements.js": ("elements.js",),
    "assets/verdict.js": ("tables", "exact_numbers.js", "typed_reading.js", "verdict.js"),
    "assets/any_value.js": ("refusals", "any_value.js", "any_value_clear.js",
                            "any_value_words.js", "any_value_asked.js"),
    "assets/store.js": ("after_paint.js", "store.js"),
    "assets/record.js": ("near_zero.js", "record.js", "record_kept.js", "record_open.js",
                         "record_before.js", "record_initials.js", "live_groups.js",
                         "record_refused.js", "record_file.js"),
    "assets/gates.js": ("live_lock.js", "gates.js", "asked.js"),
    "assets/stated.js": ("statement.js", "ground.js"),
    "assets/sheet.js": ("header.js", "fields_read.js", "sheet_hints.js", "sheet_fields.js",
                        "sheet_steps.js",
                        "sheet_before.js", "sheet_points.js", "sheet_checks.js", "sheet_bar.js",
                        "sheet_live.js", "sheet_hand_over.js", "sheet_stated.js",
                        "sheet_ask.js", "sheet_record.js", "sheet_place.js",
                        "bench_choice.js"),
    # with the first look at the bench view
    "assets/bench_view.js": ("band", "bench_steps.js", "bench_stops.js", "bench_view.js",
                             "bench_pad.js", "bench_hands.js", "bench_band.js"),
    "assets/bench_view.css": ("bench_view.css",),
    # of sheets with time limits alone
    "assets/times.js": ("record_times.js", "sheet_times.js"),
    "assets/records.js": ("record_take_in.js", "record_preview.js", "records.js",
                          "records_in.js"),
    "assets/as_begun.js": ("as_begun.js",),
    "assets/live_notice.js": ("live_notice.js",), "assets/home.js": ("home.js",),
    "assets/lists.js": ("lists.js",),
    "assets/limits.js": ("limits.js",),
    "assets/memory.js": ("practice", "memory.js", "practice_given.js"),
    "assets/practice.js": ("practice_answers.js", "practice_order.js", "practice.js",
                           "practice_end.js"),
    "assets/practised.js": ("practised.js", "practice_class.js"),
    "assets/simulated_bench.css": ("simulated_bench.css",),
    # after verdict.js, which has the exact numbers
    "assets/simulated_bench.js": ("simulated_meter.js", "simulated_values.js",
                                  "simulated_there.js",
                                  "simulated_display.js", "simulated_events.js",
                                  "simulated_bench.js", "simulated_tasks.js",
                                  "simulated_readings.js", "simulated_view.js",
                                  "simulated_parts.js", "simulated_steps.js",
                                  "simulated_finding.js", "simulated_ask.js")}


@dataclass
class Site:
    """What the builder adds to a site: texts by their path below the site's source folder."""

    pages: dict[str, str] = field(default_factory=dict)
    files: dict[str, str | bytes] = field(default_factory=dict)
    today: str = ""     # of the first page, which a shop writes itself


def served(name: str) -> str:
    """A script or style as pages load it."""
    return "".join(TABLES[part]() if part in TABLES else lean(part) for part in ASSETS[name])


@without_collector()
def render(shop: Shop, address: str = "", glossary: str = "", kept: Cache | None = None,
           excerpts: bool = False) -> Site:
    """Every generated page. `address` is where the site will be found, for the codes to scan; ""
    leaves them out. `glossary` is the text of the page with that name, whose terms sheets, evidence
    and reports link to; "" is none. `kept` is what the shop was loaded with. With `excerpts`, pages
    that tell of problems show the lines at fault."""
    kept = kept or Cache(forgetful=True)
    texts = kept.texts
    site = Site(files=texts.get("assets", (), lambda: {name: served(name) for name in ASSETS}))
    pages, files = sheet_pages.sheets(shop, address, glossary, kept)
    site.pages.update(pages)
    site.files.update(files)
    for name in shop.functions:
        own = [p for p in shop.procedures.values() if p.meter.meter == name]
        _meter(site, shop, name, own, kept)
    for name, standard in whole(shop, "standards").items():
        site.pages[f"standards/{name}.md"] = page_from(
            "standard.md.j2", standard=standard,
            procedures=[p for p in shop.procedures.values() if standard in p.standards])
    meters = sorted((shop.meters[name] for name in shop.functions), key=lambda m: m.name)
    absent, found_at = missing(shop), sheet_pages.found_at(shop)
    site.pages["by-function.md"] = lists.by_function(shop, absent)
    site.pages["in-progress.md"] = page_from(
        "in-progress.md.j2", missing=[one for one in absent if one.kind == "plans"
                                      and not one.stands],
        revisions=as_script(found_at))
    site.pages[f"procedures/{sheet_pages.AS_BEGUN}.md"] = page_from("as-begun.md.j2")
    to_ask = as_script([
        {"meter": m.meter, "name": m.name, "functions": texts.get(
            "to ask", (shop.made_of[f"meters/{m.meter}"],), partial(_to_ask, shop, m.meter))}
        for m in meters])
    site.pages["limits.md"] = page_from("limits.md.j2", meters=to_ask,
                                        missing=of_kind(absent, "meters"))
    pages, files = kept.get(
        "practice", (address, *shop.functions.values(), *shop.procedures.values(),
                     *shop.standards.values()),
        lambda: texts.get("practice", (address, *_all_made_of(shop)),
                          lambda: exercise_pages(shop, address)))
    site.pages.update(pages)
    site.files.update(files)
    site.pages["look.md"] = look.page()
    site.pages["published.md"] = texts.get("published", (), published_page)
    site.pages.update(texts.get("formats", (), format_pages.pages))
    gone = of_kind(absent, "records")
    histories = meters_held.histories(shop, texts)
    site.files.update(last_readings.scripts(shop.functions, histories.values()))
    pages, files = report_pages.pages(shop, histories, glossary, kept, gone)
    site.pages.update(pages)
    site.files.update(files)
    checks = checks_between.checks_of(shop.checks_between, whole(shop, "standards"),
                                      shop.records.values(), shop.as_of)
    site.pages.update(check_pages.pages(checks, of_kind(absent, "checks-between")))
    held = _register(site, shop, histories, absent, checks, texts)
    site.pages["by-meter.md"] = lists.by_meter(shop, absent, held)
    site.today = home.today(shop, held, to_ask, found_at)
    site.pages["together.md"] = texts.get("together", _all_said(shop), lambda: page_from(
        "together.md.j2", page=together_page.page(together.together(
            histories.values(), partial(kept_histories.changes, texts=texts))),
        page_style=looks_of_report("What moves together")))
    site.files["data/site.json"] = as_json(site_data(
        shop, [one for one in absent if f"{one.page}.md" not in site.pages]).as_data())
    site.pages = lists.in_their_place(absent, excerpts) | site.pages
    if shop.errors:
        site.pages["problems.md"] = lists.problems_page(shop.problems, excerpts)
    return site


def _all_made_of(shop: Shop) -> tuple[str, ...]:
    """Hashes over every meter, standard and plan, and which of them can be used."""
    return (repr(sorted(shop.made_of.items())), repr(list(shop.functions)),
            repr(list(shop.procedures)), repr(sorted(shop.broken)))


def _all_said(shop: Shop) -> tuple[str, ...]:
    """What all records say, and what they are judged by, with the certificates of that day."""
    return tuple(repr((one.id, one.fingerprint, one.standards, one.carried.title))
                 for one in shop.records.values())


def _to_ask(shop: Shop, meter: str) -> list[dict[str, object]]:
    """What the page of limits needs of each function before it has the meter's data."""
    return [{"function": view.title, "kind": view.kind.name, "unit": view.unit.ascii,
             "needs_frequency": view.kind.needs_frequency,
             "by_hand": view.given.ranging != "automatic only",
             "manual": view.given.ranging == "manual",
             "ranges": [plain_quantity(on.full_scale, name.unit)
                        for on, name in view.names.items()]}
            for view in shop.functions[meter].values() if view.models]


def _meter(site: Site, shop: Shop, name: str, procedures: list[Procedure], kept: Cache) -> None:
    """A meter's page, and its data twice: also as a script, which a page opened from a folder may
    load."""
    meter, functions = shop.meters[name], shop.functions[name]
    listed = [part for one in procedures for part in (one.id, one.title)]

    def texts() -> list[str]:
        return kept.texts.get("meter", (shop.made_of[f"meters/{name}"], *listed), made)

    def made() -> list[str]:
        data = meter_data(meter, functions).as_data()
        pictures = [(view.title, picture(view)) for view in functions.values()]
        page = page_from("meter.md.j2", meter=meter, functions=list(functions.values()),
                         procedures=procedures, pictures=[one for one in pictures if one[1]])
        return [page, as_json(data), f"Bench.meter({as_script(data)});\n"]

    (site.pages[f"meters/{meter.meter}.md"], site.files[f"data/meters/{meter.meter}.json"],
     site.files[f"data/meters/{meter.meter}.js"]) = kept.get(
         f"meter {meter.meter}", (meter, functions, *procedures), texts)


def _register(site: Site, shop: Shop, histories: dict, absent: list[MissingFile],
              checks: Sequence[StandardCheck], texts: KeptTexts) -> register.Register:
    """The shop's meters and standards with their states, each meter's history, and the due dates
    for a calendar."""
    gone = of_kind(absent, "records")
    held = meters_held.register_of(shop, histories)
    site.pages.update(history_pages.pages(shop, held, histories, gone, texts))
    calendar = register.due_dates(held, shop.workshop, checks)
    if calendar:
        site.files["due-dates.ics"] = calendar
    title = f"Meters and standards, state on {held.as_of or 'no day'}"
    site.pages["shop.md"] = page_from("shop.md.j2", register=held, calendar=bool(calendar),
                                      missing=gone, unread=_unread(shop), checks=checks,
                                      missing_standards=of_kind(absent, "standards"),
                                      missing_checks=of_kind(absent, "checks-between"),
                                      procedures=shop.procedures,
                                      differing=[
                                          (entry, review, concluded_text(review.concluded))
                                          for entry, review in held.to_think_about],
                                      page_style=plain_foot(title))
    return held


def _unread(shop: Shop) -> dict[str, str]:
    """Why the workshop's file or the register can't be used, by its name without its ending; ""
    where it can."""
    told = {}
    for name in own_files.NAMES:
        wrong = [f"{one.place.file}, line {one.place.line}: {one.sentence}." for one in shop.errors
                 if one.place.file == f"{shop.folder.name}/{name}"]
        told[name.removesuffix(".yaml")] = next(iter(wrong), "")
    return told


def exercise_pages(shop: Shop, address: str) -> tuple[dict[str, str], dict[str, str]]:
    """The list of sets and the page for a class; of each set its exercises, its answers as a page,
    and as the script that checks one."""
    pages, files = {}, {}
    made = practice_pages.sets(shop)
    sets = [one for one in made if one.exercises]
    bench = simulated_data.data(shop)
    if bench["meters"]:
        own = f"{address.rstrip('/')}/practice/bench.html" if address else ""
        pages["practice/bench.md"] = page_from(
            "practice-bench.md.j2", data=as_script(bench), to_read=practice_pages.to_read(),
            page=own, code=sheet_pages.code_to_scan(own) if own else "")
    pages["practice.md"] = page_from(
        "practice.md.j2", sets=sets, bench=bool(bench["meters"]),
        kinds=[kind[:2] for kind in practice_pages.KINDS.values()],
        criteria=practice_pages.CRITERIA, lessons=practice_pages.LESSONS,
        page_style=plain_foot("Practice"),
        left_out=dict.fromkeys(line for one in made for line in one.left_out))
    for exercise_set in sets:
        seed = exercise_set.seed
        own = f"{address.rstrip('/')}/practice/{seed}.html" if address else ""
        shown = {"set": exercise_set, "exercises": practice_pages.shown(exercise_set),
                 "holds": practice_pages.HOLDS, "lessons": practice_pages.LESSONS}
        which = f"seed {seed} · edition {exercise_set.edition}"
        pages[f"practice/{seed}.md"] = page_from(
            "practice-set.md.j2", **shown, data=as_script(practice_pages.script(exercise_set)),
            page=own, code=sheet_pages.code_to_scan(own) if own else "",
            page_style=plain_foot(f"Practice, {which}"))
        pages[f"practice/{seed}-answers.md"] = page_from(
            "practice-answers.md.j2", **shown, page_style=plain_foot(f"Answers, {which}"))
        files[f"practice/{seed}.js"] = practice_pages.answers_script(exercise_set)
    if sets:
        pages["practice/class.md"] = page_from("practice-class.md.j2", sets=sets,
                                               bench=bool(bench["meters"]),
                                               page_style=plain_foot("Practice of a class"))
    return pages, files


def published_page() -> str:
    """Values from outside beside the builder's own; the same for every shop."""
    return page_from("published.md.j2", sources=published.results(), said=published.summary(),
                     sure=SURE, in_words=published.IN_WORDS, programs=published.PROGRAMS,
                     page_style=looks_of_report("Against published values"))
