"""The shop: all that its folder holds, computed."""

from __future__ import annotations

from dataclasses import dataclass, field

from builder.file_rules.saying import nearest
from builder.files.problems import Problem, Wrong, as_text, errors
from builder.formats.meter import Meter
from builder.formats.plan import Plan
from builder.formats.standard import Standard
from builder.formats.workshop import Workshop
from builder.procedure.meter_function import MeterFunction
from builder.procedure.sheet import Procedure
from builder.records import judged_record


@dataclass(kw_only=True)
class Shop:
    """What a folder of procedures holds, as far as it is right."""

    meters: dict[str, Meter] = field(default_factory=dict)
    standards: dict[str, Standard] = field(default_factory=dict)
    plans: dict[str, Plan] = field(default_factory=dict)
    functions: dict[str, dict[str, MeterFunction]] = field(default_factory=dict)
    procedures: dict[str, Procedure] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    broken: set[str] = field(default_factory=set)   # files that hold errors, as 'standards/fulmar'
    records: dict[str, judged_record.Record] = field(default_factory=dict)
    record_problems: list[Problem] = field(default_factory=list)
    workshop: Workshop | None = None

    @property
    def errors(self) -> list[Problem]:
        return errors(self.problems)

    @property
    def stopping(self) -> list[Problem]:
        """The errors that no site is built with. A bad record isn't among them: the others stand,
        and the page of reports names it."""
        of_records = set(self.record_problems)
        return [one for one in self.errors if one not in of_records]


def functions(shop: Shop, meter: str) -> dict[str, MeterFunction]:
    """The functions of a meter by its file's name or by its own; raises `Wrong` where there is no
    such meter, or its file isn't right."""
    slug = next((slug for slug, one in shop.meters.items()
                 if one.name.casefold() == meter.casefold()), meter)
    if slug not in shop.functions:
        own = [p for p in shop.errors if p.place.file.endswith(f"meters/{slug}.yaml")]
        raise Wrong("the meter's file has problems:\n" + as_text(own) if own
                    else f"there is no meter '{meter}'",
                    "" if own else nearest(meter, shop.functions))
    return shop.functions[slug]


def procedure(shop: Shop, name: str) -> Procedure:
    """The procedure of a plan by its name; raises `Wrong` where there is none."""
    if name not in shop.procedures:
        own = [p for p in shop.stopping if p.place.file.endswith(f"plans/{name}.yaml")]
        raise Wrong("the plan has problems:\n" + as_text(own) if own
                    else f"there is no procedure '{name}'",
                    "" if own else nearest(name, shop.procedures))
    return shop.procedures[name]


def summary(shop: Shop) -> list[str]:
    """A line for each procedure: how many of its points the standards are good enough for."""
    return [f"{name}: {' '.join(procedure.evidence.summary)}"
            for name, procedure in shop.procedures.items() if procedure.evidence.summary]
