"""What an entry of a notebook writes: the facts of a breakage, winter work, a run, a reading, the shelf, a service, a stop."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import Action, Cause, MachineKind, Mode, Removal, RepairKind, StockChange, StopReason
from wearlog.facts.electrics import Fault
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Reading, ServiceDone
from wearlog.facts.parts import StockMove
from wearlog.facts.wearing import Breakage, Component, Repair
from wearlog.facts.work import LAST_HARVEST_DAY, Run, Stoppage
from wearlog.logbook.lines.notebook_log import NotebookLog, NotThereError
from wearlog.logbook.notebook.note_entry import Means, NoteEntry
from wearlog.logbook.plain_line import Work
from wearlog.logbook.plain_line.work_told import run_of

_MORNING: Final = time(8)
_NOON: Final = time(12)
_EVENING: Final = time(21)
#: a season's acres are one long run over these days where nobody says which (common practice, no source)
_SEASON_BEGINS: Final = (7, 1)
#: "new sections 2022" were put on before that harvest (common practice, no source)
_BEFORE_SEASON: Final = (4, 1)
_REASONS: Final = (
    (StopReason.WEATHER, ("rain", "wet", "wind", "weather", "dew")),
    (StopReason.MOISTURE, ("moisture", "tough", "damp")),
    (StopReason.WAITING, ("wait", "truck")),
    (StopReason.SERVICE, ("service", "grease")),
)


@dataclass(frozen=True, slots=True)
class RowTime:
    """When a row was: its day by the farm's clock; `usual` stands for a row that says none."""

    zone: tzinfo
    now: datetime
    usual: date | None

    def at(self, entry: NoteEntry, usual: time = _NOON) -> datetime:
        """Return the moment of an entry: its own time, else the usual one of its day."""
        day = entry.day or (date(entry.season, *_BEFORE_SEASON) if entry.season is not None else self.usual)
        if day is None:
            raise NotThereError("No row around it says a day.")
        said = time.fromisoformat(entry.time) if entry.time else usual
        # by world time: on the wall clock a stop over the night that the clocks change would be an hour too long or too short
        return min(datetime.combine(day, said, self.zone).astimezone(UTC), self.now.astimezone(UTC))

    def day(self, at: datetime) -> date:
        """Return the farm's day of a moment."""
        return at.astimezone(self.zone).date()


def facts_of(log: NotebookLog, entry: NoteEntry, when: RowTime, *, shelf: bool) -> list[Fact]:
    """Return the facts of an entry but its fittings, which the log keeps.

    Parameters
    ----------
    shelf : bool
        The notebook tells what came onto the shelf: parts that were put on came off it.

    Raises
    ------
    NotThereError
        When the log has no place for it.
    """
    if entry.what in (Means.BREAKAGE, Means.PLANNED):
        return _part_facts(log, entry, when, shelf=shelf)
    return _FACTS[entry.what](log, entry, when)


def _part_facts(log: NotebookLog, entry: NoteEntry, when: RowTime, *, shelf: bool) -> list[Fact]:
    component = log.component(entry)
    at = when.at(entry)
    positions = tuple(range(1, component.positions + 1)) if entry.every else entry.positions or ()
    if not positions and component.positions == 1:
        positions = (1,)
    if not positions or positions[-1] > component.positions:
        raise NotThereError(f"{entry.machine} has {component.positions} of {entry.kind}.")
    log.as_they_were(component, positions, at)
    planned = entry.what is Means.PLANNED
    repair = _repair(component, entry, at, planned=planned)
    replaced = planned or entry.action is Action.REPLACED
    facts: list[Fact] = [repair] if repair is not None else []
    broke = log.on(component, positions, at)
    followed: dict[int, UUID] = {}
    breakage = None
    if not planned:
        breakage = Breakage(
            component_id=component.id,
            positions=positions,
            at=at,
            cause=entry.cause or Cause.UNKNOWN,
            mode=entry.mode or Mode.BROKEN,
            action=entry.action or Action.REPLACED,
            repair_id=repair.id if repair is not None else None,
            note=entry.note,
        )
    moves: list[StockMove] = []
    if replaced:
        moves = _moves(log, entry, at, len(positions), repair, breakage, shelf=shelf)
        removal = Removal.PLANNED if planned else Removal.BROKE
        _, followed = log.change(component, positions, at, removal, moves[0].part_id if moves else None)
    if breakage is not None:
        facts.append(_with_fittings(breakage, broke, followed))
    return [*facts, *moves, *_stoppage(component, entry, at, repair)]


def _with_fittings(breakage: Breakage, broke: dict[int, UUID], followed: dict[int, UUID]) -> Breakage:
    return replace(
        breakage,
        broke_fitting_ids=tuple(broke.get(one) for one in breakage.positions),
        followed_fitting_ids=tuple(followed.get(one) for one in breakage.positions),
    )


def _repair(component: Component, entry: NoteEntry, at: datetime, *, planned: bool) -> Repair | None:
    stood = None if entry.shares_stop else entry.stood_seconds
    if stood is None and entry.labour_seconds is None and not (planned and entry.cost_minor is not None):
        return None
    took = stood if stood is not None else entry.labour_seconds or 0
    return Repair(
        machine_id=component.machine_id,
        kind=RepairKind.PLANNED if planned else RepairKind.BREAKDOWN,
        started_at=at,
        ended_at=at + timedelta(seconds=took),
        labour_seconds=entry.labour_seconds,
        component_id=component.id,
        note=entry.note,
    )


def _moves(
    log: NotebookLog,
    entry: NoteEntry,
    at: datetime,
    count: int,
    repair: Repair | None,
    breakage: Breakage | None,
    *,
    shelf: bool,
) -> list[StockMove]:
    """What a part cost is said of the article: it came for that and was put on. Without an article it stays in the note."""
    if entry.cost_minor is None and not shelf:
        return []
    part = log.part(entry)
    if part is None:
        return []
    used = StockMove(
        part_id=part.id,
        at=at,
        change=StockChange.USED,
        quantity=count,
        repair_id=repair.id if repair is not None else None,
        breakage_id=breakage.id if breakage is not None else None,
    )
    if shelf or entry.cost_minor is None:
        return [used]
    came = StockMove(
        part_id=part.id,
        at=at - timedelta(seconds=1),
        change=StockChange.RECEIVED,
        quantity=count,
        unit_cost_minor=round(entry.cost_minor / count),
    )
    return [came, used]


def _stoppage(component: Component, entry: NoteEntry, at: datetime, repair: Repair | None) -> list[Fact]:
    if not entry.stood_seconds or entry.shares_stop or repair is None or entry.what is Means.PLANNED:
        return []
    return [
        Stoppage(
            machine_id=component.machine_id,
            started_at=at,
            ended_at=at + timedelta(seconds=entry.stood_seconds),
            reason=StopReason.BREAKDOWN,
            repair_id=repair.id,
        )
    ]


def _run(log: NotebookLog, entry: NoteEntry, when: RowTime) -> list[Fact]:
    """A run of a day begins in the morning, or where the day's last one ended."""
    if entry.machine_id is None or entry.area_square_metres is None:
        raise NotThereError("It says no combine.")
    evening = when.at(entry, _EVENING)
    work = Work(area_square_metres=entry.area_square_metres, hours_seconds=entry.worked_seconds)
    began, ended = run_of(work, evening)
    day_begins = when.at(entry, _MORNING)
    start = max(day_begins, log.until.get(entry.machine_id, day_begins))
    if when.day(start) != when.day(evening) or start + (ended - began) > evening + timedelta(hours=2):
        start = began
    stop = min(start + (ended - began), when.now)
    log.steps.put(log.until, entry.machine_id, stop)
    return [
        Run(
            combine_id=entry.machine_id,
            header_id=entry.header_id,
            field_id=log.field_id(entry.field_name),
            crop_id=log.crop_id(entry.crop_name),
            started_at=start,
            ended_at=stop,
            area_square_metres=entry.area_square_metres,
            separator_seconds=entry.worked_seconds,
        )
    ]


def _season(log: NotebookLog, entry: NoteEntry, when: RowTime) -> list[Fact]:
    assert entry.season is not None
    assert entry.area_square_metres is not None
    machine = log.machines.get(entry.machine_id) if entry.machine_id is not None else None
    if machine is None or machine.kind is MachineKind.HEADER:
        raise NotThereError("A season's acres are those of a combine.")
    begins = datetime(entry.season, *_SEASON_BEGINS, 8, tzinfo=when.zone)
    ends = datetime(entry.season, *LAST_HARVEST_DAY, 20, tzinfo=when.zone)
    if any(one.combine_id == machine.id and one.started_at < ends and begins < one.ended_at for one in log.runs):
        raise NotThereError(f"Runs of {entry.season} are in the log: its acres would count twice.")
    return [
        Run(
            combine_id=machine.id,
            header_id=entry.header_id,
            started_at=begins,
            ended_at=min(ends, when.now),
            area_square_metres=entry.area_square_metres,
        )
    ]


def _reading(log: NotebookLog, entry: NoteEntry, when: RowTime) -> list[Fact]:
    if entry.machine_id is None or entry.meter is None or entry.shown_usage is None:
        raise NotThereError("It says no machine.")
    if entry.season is not None and entry.day is None:
        at = datetime(entry.season, 10, 31, 12, tzinfo=when.zone)
    else:
        at = when.at(entry, _EVENING)
        worked = log.until.get(entry.machine_id)
        if worked is not None and not entry.time and when.day(worked) == when.day(at):
            # what the meter showed when the day's last run so far was over
            at = worked
    meter = log.meter(entry.machine_id, entry.meter)
    read = log.read.get(meter.id)
    if read is not None and (at == read if entry.time else at <= read < at + timedelta(days=1)):
        at = read + timedelta(minutes=1)
    log.steps.put(log.read, meter.id, max(at, read or at))
    return [Reading(meter_id=meter.id, at=min(at, when.now), shown_usage=entry.shown_usage, new_leg=entry.new_meter)]


def _back(_: NotebookLog, entry: NoteEntry, when: RowTime) -> list[Fact]:
    """What the log calls returned comes back onto the shelf; this went from the shelf to the shop."""
    raise NotThereError("Parts that went back to the shop have no entry of their own: count the shelf.")


def _shelf(log: NotebookLog, entry: NoteEntry, when: RowTime) -> list[Fact]:
    part = log.part(entry)
    if part is None or entry.quantity is None:
        raise NotThereError(f"The parts list has no {entry.part or entry.kind}.")
    change = {
        Means.PURCHASE: StockChange.RECEIVED,
        Means.COUNT: StockChange.COUNTED,
    }[entry.what]
    return [
        StockMove(
            part_id=part.id,
            at=when.at(entry, _EVENING if entry.what is Means.COUNT else _MORNING),
            change=change,
            quantity=entry.quantity,
            unit_cost_minor=entry.unit_cost_minor,
            note=entry.note,
        )
    ]


def _service(log: NotebookLog, entry: NoteEntry, when: RowTime) -> list[Fact]:
    if entry.machine_id is None:
        raise NotThereError("It says no machine.")
    item = log.service(entry)
    return [
        ServiceDone(
            service_item_id=item.id,
            at=when.at(entry),
            labour_seconds=entry.labour_seconds,
            cost_minor=entry.cost_minor,
            note=entry.note,
        )
    ]


def _stop(_: NotebookLog, entry: NoteEntry, when: RowTime) -> list[Fact]:
    assert entry.machine_id is not None
    at = when.at(entry)
    text = entry.note.casefold()
    reason = next((one for one, words in _REASONS if any(word in text for word in words)), StopReason.OTHER)
    return [
        Stoppage(
            machine_id=entry.machine_id,
            started_at=at,
            ended_at=at + timedelta(seconds=entry.stood_seconds or 0),
            reason=reason,
            note=entry.note,
        )
    ]


def _fault(_: NotebookLog, entry: NoteEntry, when: RowTime) -> list[Fact]:
    assert entry.machine_id is not None
    return [Fault(machine_id=entry.machine_id, title=entry.note or entry.kind, opened_at=when.at(entry))]


_FACTS: Final[dict[Means, Callable[[NotebookLog, NoteEntry, RowTime], list[Fact]]]] = {
    Means.RUN: _run,
    Means.SEASON_ACRES: _season,
    Means.READING: _reading,
    Means.PURCHASE: _shelf,
    Means.RETURN: _back,
    Means.COUNT: _shelf,
    Means.SERVICE: _service,
    Means.STOPPAGE: _stop,
    Means.FAULT: _fault,
}
