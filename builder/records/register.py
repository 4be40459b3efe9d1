"""The shop's meters by serial number and its standards: what state each is in, when it is due, and
what hangs on it.

The day that the states are for is an input (`as_of` of the workshop's file, or of the build), so
that the same input gives the same page. Without it due dates are given, and nothing is called
overdue. """

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date

from builder.compute.exact import dates
from builder.compute.statistics.interval import KEEP
from builder.formats.plan import Plan
from builder.formats.report_data import CONDITIONALLY_PASSES, PASSES
from builder.formats.report_data import LIMITED as LIMITED_METER
from builder.formats.shop_register import RegisteredMeter, ShopRegister
from builder.formats.standard import Standard
from builder.formats.workshop import Workshop
from builder.records.calendar_file import Due, calendar
from builder.records.checks_between import StandardCheck
from builder.records.history import History, Review, Verification, agreed, due_after, history_id

# From what has to leave the bench at once to what may go on.
(OUT, OVERDUE, LIMITED, NO_REPORT, DUE_SOON, UNDATED, NOT_JUDGED, IN_SERVICE,
 WITHDRAWN) = STATES = (
    "out of service", "overdue", "limited", "no report yet", "due soon", "no due date",
    "overdue not judged", "in service", "withdrawn")
PULL = (OUT, OVERDUE)
_ORDER = {state: n for n, state in enumerate(STATES)}


@dataclass(frozen=True, slots=True)
class ProcedureState:
    """The last verification of a meter by one procedure, and until when that counts."""

    procedure: str
    title: str
    last: Verification
    interval: str | None
    due: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RegisterEntry:
    """A meter. `states` has the gravest first; `due` is the earliest of its procedures. One that
    no record is about has no history; `line` is what the shop's register says of it."""

    meter: str
    meter_name: str
    serial: str
    page: str               # of its history, or of its earlier results; "" where it has neither
    history: History | None
    line: RegisteredMeter | None
    procedures: tuple[ProcedureState, ...]
    states: tuple[str, ...]
    due: date | None
    days: int | None        # from the day of the page to the due day
    barred: tuple[str, ...]     # functions that a limited meter may not be used for

    @property
    def withdrawn(self) -> str:
        """Why, or ""."""
        return (self.line.withdrawn or "") if self.line else ""

    @property
    def of_register(self) -> str:
        """What its line says of where it is and whose; "" without a line."""
        if self.line is None:
            return ""
        own = self.line
        return "; ".join(filter(None, (
            own.place, own.owner, own.contact, f"asset {own.asset}" if own.asset else ""))) or "–"

    @property
    def state(self) -> str:
        return self.states[0]


@dataclass(frozen=True, slots=True)
class StandardState:
    standard: Standard
    state: str
    days: int | None
    stops: tuple[Plan, ...]         # procedures that need it and stop at its due date
    # that go on with a warning, or with the reason that they give
    goes_on: tuple[tuple[Plan, str], ...]


@dataclass(frozen=True, slots=True)
class Register:
    as_of: date | None
    entries: tuple[RegisterEntry, ...]      # the most urgent first
    standards: tuple[StandardState, ...]
    without: tuple[str, ...]        # meters' files of which no serial number is known
    kept: bool                      # whether the shop has a register of its own

    @property
    def without_report(self) -> tuple[RegisterEntry, ...]:
        return tuple(one for one in self.entries if one.state == NO_REPORT)

    @property
    def to_think_about(self) -> tuple[tuple[RegisterEntry, Review], ...]:
        """Where the agreed interval is another than the one that a history suggests; the shortest
        first."""
        differing = [(entry, review) for entry in self.entries if entry.history and not
                     entry.withdrawn for review in entry.history.reviews
                     if review.concluded.action != KEEP]
        return tuple(sorted(differing, key=lambda pair: pair[1].concluded.months))

    @property
    def to_pull(self) -> tuple[RegisterEntry, ...]:
        return tuple(one for one in self.entries if one.state in PULL)


def register(*, histories: Mapping[tuple[str, str], History], plans: Mapping[str, Plan],
             standards: Mapping[str, Standard], meters: Mapping[str, str],
             listed: ShopRegister | None, as_of: date | None,
             past: Collection[tuple[str, str]] = ()) -> Register:
    """`meters` are the names of the meters' files by their id, `listed` is the shop's own register:
    of its meters those without a record stand here too, as do those with results of the `past`."""
    lines = {(one.meter, one.serial): one for one in (listed.meters if listed else ())}
    entries = [_entry(one, plans, as_of, lines.get(key)) for key, one in histories.items()]
    names = {one.id for one in histories.values()}
    for key in dict.fromkeys((*lines, *sorted(past))):
        if key not in histories:
            entries.append(_without_record(
                key, lines.get(key), meters, history_id(key, names) if key in past else ""))
    entries.sort(key=lambda one: (_ORDER[one.state], one.due or date.max, one.meter_name,
                                  one.serial))
    known = {one.meter for one in entries}
    of_standards = sorted((_of_standard(one, plans, as_of) for one in standards.values()),
                          key=lambda one: (one.standard.due, one.standard.name))
    return Register(as_of, tuple(entries), tuple(of_standards),
                    tuple(name for meter, name in meters.items() if meter not in known),
                    listed is not None)


def _without_record(key: tuple[str, str], line: RegisteredMeter | None, meters: Mapping[str, str],
                    page: str) -> RegisterEntry:
    meter, serial = key
    return RegisterEntry(meter=meter, meter_name=meters.get(meter, meter), serial=serial, page=page,
                         history=None, line=line, procedures=(), due=None, days=None, barred=(),
                         states=(WITHDRAWN if line and line.withdrawn else NO_REPORT,))


def _entry(history: History, plans: Mapping[str, Plan], as_of: date | None,
           line: RegisteredMeter | None) -> RegisterEntry:
    intervals = {name: plan.interval_agreed for name, plan in plans.items()}
    last: dict[str, Verification] = {one.record.head.procedure: one
                                     for one in history.verifications}
    procedures = []
    for name, verification in last.items():
        wanted = agreed(name, verification.record, intervals)
        title = plans[name].title if name in plans else verification.record.carried.title
        procedures.append(ProcedureState(name, title, verification, wanted,
                                         due_after(verification.day, wanted)))
    due = min((one.due for one in procedures if one.due), default=None)
    states = {OUT if not one.last.stated.of_meter.in_service else LIMITED for one in procedures
              if one.last.stated.statement not in (PASSES, CONDITIONALLY_PASSES)}
    states |= {_dated(due, as_of)}
    if line and line.withdrawn:
        states = {WITHDRAWN}
    elif len(states) > 1:
        states -= {IN_SERVICE, NOT_JUDGED, UNDATED}
    barred = tuple(dict.fromkeys(f.function for one in procedures
                                 if one.last.stated.statement == LIMITED_METER
                                 for f in one.last.stated.barred))
    return RegisterEntry(meter=history.meter, meter_name=history.meter_name,
                         serial=history.serial, page=history.id, history=history, line=line,
                         procedures=tuple(procedures),
                         states=tuple(sorted(states, key=_ORDER.get)), due=due,
                         days=(due - as_of).days if due and as_of else None, barred=barred)


def _dated(due: date | None, as_of: date | None) -> str:
    if due is None:
        return UNDATED
    if as_of is None:
        return NOT_JUDGED
    return dates.state(due=due, on=as_of)


def _of_standard(standard: Standard, plans: Mapping[str, Plan],
                 as_of: date | None) -> StandardState:
    stops, goes_on = [], []
    for plan in plans.values():
        if standard.standard in plan.standards:
            because = plan.accepts("overdue", standard=standard.standard)
            if because or plan.overdue == "warning":
                goes_on.append((plan, because))
            else:
                stops.append(plan)
    return StandardState(standard, _dated(standard.due, as_of), (standard.due - as_of).days if as_of
                         else None, tuple(stops), tuple(goes_on))


def due_dates(shop_register: Register, workshop: Workshop | None,
              checks: Collection[StandardCheck] = ()) -> bytes | None:
    """The due dates as a calendar file; None where nothing is due. A meter that is out of service
    waits for no date."""
    entries = []
    for meter in shop_register.entries:
        if meter.state in (OUT, WITHDRAWN):
            continue
        for procedure in meter.procedures:
            if procedure.due:
                entries.append(
                    Due(f"meter\0{meter.meter}\0{meter.serial}\0{procedure.procedure}",
                        procedure.due,
                        f"{meter.meter_name}, serial no. {meter.serial}: verification due",
                        f"{procedure.title}. Last verified on {procedure.last.day}."))
    for state in shop_register.standards:
        standard, named = state.standard, ", ".join(plan.title for plan in state.stops)
        entries.append(Due(f"standard\0{standard.standard}", standard.due,
                           f"{standard.name}: calibration due",
                           f"Certificate {standard.certificate}."
                           + (f" Needed for: {named}." if named else "")))
    entries += [Due(f"check\0{one.check.check}", one.due, f"{one.check.title}: reading due",
                    f"Check of {one.standard.name} between calibrations.")
                for one in checks if one.due]
    if not entries:
        return None
    known = ([shop_register.as_of] if shop_register.as_of
             else [meter.history.last.day for meter in shop_register.entries if meter.history])
    return calendar(name=f"Due dates, {workshop.name}" if workshop else "Due dates",
                    stamped=max(known, default=date(2000, 1, 1)), entries=entries)
