"""Which services are due, by meter or by calendar, whichever comes first, as lines whose numbers outlast what is done meanwhile."""

from __future__ import annotations

import hashlib
import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum, unique
from typing import Final
from uuid import UUID

import numpy as np
from dateutil.relativedelta import relativedelta

from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.machines import ServiceItem
from wearlog.reckoning.farm import Farm
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.histories import Floats, Ints, code_of
from wearlog.store.paid_rows import services_at
from wearlog.store.plain_reader import PlainReader
from wearlog.store.schema.types import instant, microseconds


@dataclass(frozen=True, slots=True)
class ServiceLine:
    """One service of the round: its number on the sheet and the name of its machine."""

    number: int
    machine: str
    due: ServiceDue


def round_lines(connection: Connection, farm: Farm) -> tuple[tuple[ServiceLine, ...], str]:
    """Return the services that are overdue, soon due or never noted, by number, and the mark of the sheet."""
    due = {one.item.id: one for one in services_due(connection, farm)}
    numbers = service_numbers(farm, [one.item for one in due.values()])
    names = {machine.id: machine.name for machine in farm.machines}
    lines = tuple(
        ServiceLine(number, names.get(item.machine_id, ""), due[item.id])
        for number, item in numbers.items()
        if due[item.id].standing is not DueStanding.LATER
    )
    return lines, service_mark(numbers)


def service_numbers(farm: Farm, items: Sequence[ServiceItem]) -> dict[int, ServiceItem]:
    """Return every service under its number: machine by machine, then by name."""
    names = {machine.id: machine.name.casefold() for machine in farm.machines}
    order = sorted(items, key=lambda one: (names.get(one.machine_id, ""), one.name.casefold(), one.id))
    return dict(enumerate(order, 1))


def service_mark(numbers: dict[int, ServiceItem]) -> str:
    """Return a short name that the same services have in the same order."""
    return hashlib.sha256("|".join(str(one.id) for one in numbers.values()).encode()).hexdigest()[:6].upper()


@unique
class DueStanding(StrEnum):
    OVERDUE = "overdue"
    SOON = "soon"
    LATER = "later"
    NEVER_NOTED = "never_noted"


#: the last tenth of an interval counts as soon, and so do the last two weeks by the calendar
SOON_SHARE = 0.1

SOON_DAYS = 14


@dataclass(frozen=True, slots=True)
class ServiceDue:
    """A service and what is left until it is due; what does not apply is None.

    `left_usage` is in seconds or square metres and below zero when it is past. `days_left` are days of cutting until it is due
    at the pace of the last days with cutting; the calendar may come first. `interval` is the one on the meter that holds now: the
    first one of a new machine or part may be another, and in heavy dust it is half.
    """

    item: ServiceItem
    machine_id: UUID
    last_done: datetime | None
    used: float | None
    left_usage: float | None
    due_on: date | None
    standing: DueStanding
    days_left: float | None = None
    interval: float | None = None


def services_due(connection: Connection, farm: Farm) -> tuple[ServiceDue, ...]:
    """Return every service that still comes round: what is overdue first, then as it comes at the present pace."""
    done = services_at(PlainReader(connection))
    coming = [
        (item, instant(max(times)) if times else None)
        for item in find_all(connection, ServiceItem)
        if _comes(farm, item, times := _since_new(farm, item, done.get(item.id.bytes, ())))
    ]
    used = _used(farm, coming)
    paces = _paces(farm, coming)
    found = [_due(farm, item, last, ran, paces) for (item, last), ran in zip(coming, used, strict=True)]
    order = list(DueStanding)
    return tuple(
        sorted(
            found, key=lambda row: (order.index(row.standing), _comes_in(farm, row), _share_left(row), row.item.name)
        )
    )


def _since_new(farm: Farm, item: ServiceItem, done: Sequence[int]) -> list[int]:
    """Return when it was done by now; of a service that goes with a part, since the part that is on was put on."""
    now, new = farm.now_microseconds, _new_at(farm, item)
    return [at for at in done if at <= now and (new is None or at >= new)]


def _new_at(farm: Farm, item: ServiceItem) -> int | None:
    """Return when the part of a service was put on new, in microseconds; None without one, or where it was not new."""
    component = None if item.component_id is None else farm.component_number(item.component_id)
    if component is None:
        return None
    rows = farm.histories.fittings
    on = (rows.component == component) & (rows.fitted_at <= farm.now_microseconds)
    new = rows.fitted_at[on & (rows.age_when_fitted == 0) & (rows.removed_at > farm.now_microseconds)]
    return int(new.max()) if new.size else None


def _comes(farm: Farm, item: ServiceItem, done: Sequence[int]) -> bool:
    """Whether it comes round again: not ended, and not done as often as it is to be done at all."""
    if item.ended_at is not None and item.ended_at <= farm.now:
        return False
    if item.times is None:
        return True
    # of a belt whose age nobody knows, nobody knows either when 8 h after new were
    waits_for_a_new_part = item.component_id is not None and _new_at(farm, item) is None
    return len(done) < item.times and not waits_for_a_new_part


def _comes_in(farm: Farm, row: ServiceDue) -> float:
    """In how many days it comes, by pace or by calendar; what nobody can say comes last."""
    calendar = None if row.due_on is None else float((row.due_on - farm.now.date()).days)
    return min((days for days in (row.days_left, calendar) if days is not None), default=math.inf)


#: so many of the latest days with cutting say the present pace
PACE_DAYS: Final = 14

#: among so many days with cutting those of a header are looked for
_LOOKED_AT: Final = 120

_DAY: Final = 86_400_000_000


def usage_a_day(farm: Farm, machine_id: UUID, kind: MeterKind) -> float | None:
    """Return what a machine's meter gains on a day with cutting, over its last 14 such days; None before any.

    Days are those of UTC: a run past midnight counts for the day on which it began. A header works on the days on which what
    carries it cuts, whether its runs name it or not.
    """
    return _usages_a_day(farm, [farm.machine_number(machine_id)], kind)[0]


def _usages_a_day(farm: Farm, machines: Sequence[int], kind: MeterKind) -> list[float | None]:
    """Return the same of several machines, by their places; the meters are asked once for all."""
    days = [_days_of(farm, machine) for machine in machines]
    counts = [one.size for one in days]
    starts = np.concatenate(days) * _DAY
    ends = np.minimum(starts + _DAY, farm.now_microseconds)
    gained = farm.lines.usage(kind, np.repeat(np.asarray(machines, dtype=np.int64), counts), starts, ends)
    return [
        _pace(one, is_header=bool(farm.lines.is_header[machine]))
        for machine, one in zip(machines, np.split(gained, np.cumsum(counts)[:-1]), strict=True)
    ]


def _days_of(farm: Farm, machine: int) -> Ints:
    """Return the latest days on which a machine may have cut, in days since 1970."""
    if farm.lines.is_header[machine]:
        return farm.days_cut[-_LOOKED_AT:]
    runs = farm.histories.runs
    first, last = np.searchsorted(runs.combine, (machine, machine + 1))
    start = runs.start[first:last]
    return np.unique(start[start <= farm.now_microseconds] // _DAY)[-PACE_DAYS:]


def _pace(gained: Floats, *, is_header: bool) -> float | None:
    worked = (gained[gained > 0] if is_header else gained)[-PACE_DAYS:]
    pace = float(np.nanmean(worked)) if np.isfinite(worked).any() else 0.0
    return pace if pace > 0 else None


def _paces(farm: Farm, coming: Iterable[_Coming]) -> dict[tuple[UUID, MeterKind], float | None]:
    """Return the paces of all meters that services go by."""
    asked: dict[MeterKind, dict[UUID, int]] = defaultdict(dict)
    for item, _ in coming:
        if item.meter_kind is not None and item.interval_usage is not None:
            asked[item.meter_kind][item.machine_id] = farm.machine_number(item.machine_id)
    return {
        (machine_id, kind): pace
        for kind, machines in asked.items()
        for machine_id, pace in zip(machines, _usages_a_day(farm, list(machines.values()), kind), strict=True)
    }


def pressing(services: Iterable[ServiceDue]) -> tuple[ServiceDue, ...]:
    """Return those that are overdue or soon due."""
    return tuple(row for row in services if is_pressing(row))


def is_pressing(row: ServiceDue) -> bool:
    """Say whether a service is overdue or soon due."""
    return row.standing in (DueStanding.OVERDUE, DueStanding.SOON)


#: a service that comes round, and when it was last done
_Coming = tuple[ServiceItem, datetime | None]


def _due(
    farm: Farm,
    item: ServiceItem,
    last: datetime | None,
    used: float | None,
    paces: Mapping[tuple[UUID, MeterKind], float | None],
) -> ServiceDue:
    if last is None and used is None:
        return ServiceDue(item, item.machine_id, None, None, None, None, DueStanding.NEVER_NOTED)
    left = days = interval = None
    if used is not None and item.meter_kind is not None and item.interval_usage is not None:
        interval = interval_of(item, first=last is None)
        left = interval - used
        pace = paces[item.machine_id, item.meter_kind]
        days = None if pace is None else left / pace
    due_on = None
    if last is not None and item.interval_months is not None:
        due_on = farm.settings.local(last).date() + relativedelta(months=item.interval_months)
    standing = _standing(farm, interval, left, due_on)
    return ServiceDue(item, item.machine_id, last, used, left, due_on, standing, days, interval)


def _used(farm: Farm, coming: Sequence[_Coming]) -> list[float | None]:
    """Return what ran on its meter since each was done, else since its part or its machine was new; None where nobody knows."""
    found: list[float | None] = [None] * len(coming)
    asked: dict[MeterKind, list[tuple[int, int, int]]] = defaultdict(list)
    for place, (item, last) in enumerate(coming):
        if item.meter_kind is None or item.interval_usage is None:
            continue
        machine = farm.machine_number(item.machine_id)
        since = _new_at(farm, item) if last is None else microseconds(last)
        if since is not None:
            asked[item.meter_kind].append((place, machine, since))
        elif item.first_usage is not None and item.component_id is None:
            found[place] = _used_since_new(farm, machine, item.meter_kind, item.first_usage)
    for kind, rows in asked.items():
        places, machines, sinces = zip(*rows, strict=True)
        now = np.full(len(rows), farm.now_microseconds)
        for place, ran in zip(places, farm.lines.usage(kind, machines, sinces, now).tolist(), strict=True):
            found[place] = ran
    return found


def _used_since_new(farm: Farm, machine: int, kind: MeterKind, first_usage: int) -> float | None:
    """Return what the meter of a machine shows; None where it came used: then it had its first change before the log."""
    readings = farm.histories.readings
    own = (
        (readings.machine == machine) & (readings.meter_kind == code_of(kind)) & (readings.at <= farm.now_microseconds)
    )
    if not own.any() or readings.shown[own][readings.at[own].argmin()] > first_usage:
        return None
    return farm.lines.shown(kind, machine, farm.now_microseconds)


def interval_of(item: ServiceItem, *, first: bool = False) -> float:
    """Return the interval on the meter that holds now, the first one if nothing was done yet; in heavy dust half of it.

    The calendar's stays: dust comes with work.
    """
    usage = item.first_usage if first and item.first_usage is not None else item.interval_usage
    return (usage or 0) * (0.5 if item.halved else 1.0)


def _standing(farm: Farm, interval: float | None, left: float | None, due_on: date | None) -> DueStanding:
    days = None if due_on is None else (due_on - farm.now.date()).days
    if (left is not None and left <= 0) or (days is not None and days <= 0):
        return DueStanding.OVERDUE
    near = left is not None and interval is not None and left <= SOON_SHARE * interval
    if near or (days is not None and days <= SOON_DAYS):
        return DueStanding.SOON
    return DueStanding.LATER


def _share_left(row: ServiceDue) -> float:
    return 1.0 if row.left_usage is None or not row.interval else row.left_usage / row.interval
