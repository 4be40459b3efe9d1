"""Serial numbers that are likely mistyped: they differ by case, a blank or one character from
another one, or don't stand in the register."""

from __future__ import annotations

import difflib
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping

from builder.file_rules.saying import nearest
from builder.files.problems import WARNING, Problem
from builder.files.yaml_text import Document
from builder.formats.shop_register import ShopRegister
from builder.records.judged_record import Record


def nearly_the_same(records: Mapping[str, Record]) -> list[Problem]:
    """A warning at each record whose serial number is nearly another one of the same kind of meter
    that has more records, or as many and earlier ones; none where the record confirms it."""
    of_serial: dict[tuple[str, str], list[Record]] = defaultdict(list)
    for record in records.values():
        of_serial[record.same_meter].append(record)
    problems = []
    for ours, other in _pairs(of_serial):
        rare, known = sorted((of_serial[ours], of_serial[other]),
                             key=lambda own: (len(own), -min(one.head.date for one in own
                                                             ).toordinal()))
        problems += [one.document.problem(
            ("serial",), "serial", f"the serial number {one.head.serial} is nearly "
            f"{known[0].head.serial}, which has {len(known)} "
            f"record{'' if len(known) == 1 else 's'}",
            "mend it if it is one meter; else 'confirmed: why both are right'", severity=WARNING)
            for one in rare if not one.head.confirmed]
    return problems


def unregistered(records: Mapping[str, Record], register: ShopRegister) -> list[Problem]:
    """A warning at each record whose meter does not stand in the register: mistyped, or new."""
    of_meter: dict[str, list[str]] = defaultdict(list)
    meters: dict[str, list[str]] = defaultdict(list)
    for entry in register.meters:
        of_meter[entry.meter].append(entry.serial)
        meters[entry.serial].append(entry.meter)
    problems = []
    for record in records.values():
        meter, serial = record.same_meter
        if serial in of_meter[meter]:
            continue
        near = difflib.get_close_matches(serial, of_meter[meter], 1, 0.5)
        hint = (f"did you mean '{near[0]}'? Else add it" if near else
                f"there it is a {meters[serial][0]}" if meters[serial] else "add it")
        problems.append(record.document.problem(
            ("serial",), "unregistered", f"the register has no {meter} with the serial number "
            f"{serial}", f"{hint}: '- {{serial: \"{serial}\", meter: {meter}}}' is its line",
            severity=WARNING))
    return problems


def doubtful_entries(document: Document, register: ShopRegister,
                     meters: Collection[str]) -> list[Problem]:
    """An error where two lines of the register are about one meter, and a warning at a kind of
    meter in service that has no file; `meters` are the files."""
    problems = []
    first: dict[tuple[str, str], int] = {}
    for n, entry in enumerate(register.meters):
        path = ("meters", n)
        before = first.setdefault((entry.meter, entry.serial), n)
        if before != n:
            line = document.place(("meters", before)).line
            problems.append(document.problem((*path, "serial"), "twice",
                                             f"the {entry.meter} {entry.serial} stands in line "
                                             f"{line} already", "keep one of the two lines"))
        if entry.meter not in meters and not entry.withdrawn:
            problems.append(document.problem((*path, "meter"), "stranger",
                                             f"there is no meter '{entry.meter}' among the files",
                                             nearest(entry.meter, meters), severity=WARNING))
    return problems


def _pairs(meters: Iterable[tuple[str, str]]) -> Iterator[tuple[tuple[str, str], tuple[str, str]]]:
    """Each two that are nearly the same, once. Two that differ in one character are alike once it
    is cut out, so that each is looked for by itself and never beside every other."""
    whole: dict[tuple, list[tuple[str, str]]] = defaultdict(list)
    cut: dict[tuple, list[tuple[str, str]]] = defaultdict(list)     # one character shorter
    replaced: dict[tuple, list[tuple[str, str]]] = defaultdict(list)
    for meter in meters:
        kind, serial = meter
        plain = "".join(serial.split()).casefold()
        cuts = [(kind, plain[:n] + plain[n + 1:]) for n in range(len(plain))]
        near = [*whole[kind, plain], *cut[kind, plain]]
        for n, shorter in enumerate(cuts):
            near += [*whole[shorter], *replaced[n, shorter]]
            cut[shorter].append(meter)
            replaced[n, shorter].append(meter)
        whole[kind, plain].append(meter)
        yield from ((other, meter) for other in dict.fromkeys(near))
