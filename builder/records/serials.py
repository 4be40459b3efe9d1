"""Serial numbers that differ by case, a blank or one character: likely one meter, mistyped once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence

from builder.file_rules.saying import nearest
from builder.files.problems import WARNING, Problem
from builder.files.yaml_text import Document
from builder.formats.workshop import Withdrawn
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


def withdrawn_unknown(document: Document, withdrawn: Sequence[Withdrawn],
                      records: Mapping[str, Record]) -> list[Problem]:
    """A warning at each meter that the workshop's file withdraws and no record is about."""
    of_meter: dict[str, set[str]] = defaultdict(set)
    for record in records.values():
        meter, serial = record.same_meter
        of_meter[meter].add(serial)
    return [document.problem(
        ("withdrawn", n, "serial"), "serial",
        f"no record has the serial number {one.serial} of {one.meter}, so this withdraws nothing",
        nearest(one.serial, sorted(of_meter[one.meter])) or "mend it, or delete the entry",
        severity=WARNING)
        for n, one in enumerate(withdrawn) if one.serial not in of_meter[one.meter]]


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
