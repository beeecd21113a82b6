"""The services of the farm as the lines of a sheet: numbers that stay the same whatever was done since it was printed.

Which services are due: by meter, by calendar, whichever comes first.
"""

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
from wearlog.facts.machines import ServiceDone, ServiceItem
from wearlog.reckoning.farm.whole_farm import Farm
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.schema.types import microseconds


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
    at the pace of the last days with cutting; the calendar may come first.
    """

    item: ServiceItem
    machine_id: UUID
    last_done: datetime | None
    used: float | None
    left_usage: float | None
    due_on: date | None
    standing: DueStanding
    days_left: float | None = None


def services_due(connection: Connection, farm: Farm) -> tuple[ServiceDue, ...]:
    """Return every service that still comes round: what is overdue first, then as it comes at the present pace."""
    done: dict[UUID, list[ServiceDone]] = defaultdict(list)
    for one in find_all(connection, ServiceDone):
        done[one.service_item_id].append(one)
    paces: dict[tuple[UUID, MeterKind], float | None] = {}
    found = [
        _due(farm, item, done[item.id], paces) for item in find_all(connection, ServiceItem) if _comes(farm, item, done)
    ]
    order = list(DueStanding)
    return tuple(
        sorted(
            found, key=lambda row: (order.index(row.standing), _comes_in(farm, row), _share_left(row), row.item.name)
        )
    )


def _comes(farm: Farm, item: ServiceItem, done: Mapping[UUID, Sequence[ServiceDone]]) -> bool:
    """Whether it comes round again: not ended, and not done as often as it is to be done at all."""
    times = sum(one.at <= farm.now for one in done.get(item.id, ()))
    return not (item.ended_at is not None and item.ended_at <= farm.now) and not (
        item.times is not None and times >= item.times
    )


def _comes_in(farm: Farm, row: ServiceDue) -> float:
    """In how many days it comes, by pace or by calendar; what nobody can say comes last."""
    calendar = None if row.due_on is None else float((row.due_on - farm.now.date()).days)
    return min((days for days in (row.days_left, calendar) if days is not None), default=math.inf)


#: so many of the latest days with cutting say the present pace
PACE_DAYS: Final = 14

_DAY: Final = 86_400_000_000


def usage_a_day(farm: Farm, machine_id: UUID, kind: MeterKind) -> float | None:
    """Return what a machine's meter gains on a day with cutting, over its last 14 such days; None before any.

    Days are those of UTC: a run past midnight counts for the day on which it began.
    """
    machine = farm.machine_number(machine_id)
    runs = farm.histories.runs
    own = ((runs.combine == machine) | (runs.header == machine)) & (runs.start <= farm.now_microseconds)
    days = np.unique(runs.start[own] // _DAY)[-PACE_DAYS:]
    if not len(days):
        return None
    starts, ends = days * _DAY, np.minimum((days + 1) * _DAY, farm.now_microseconds)
    gained = farm.lines.usage(kind, [machine] * len(days), starts, ends)
    pace = float(np.nanmean(gained)) if np.isfinite(gained).any() else 0.0
    return pace if pace > 0 else None


def pressing(services: Iterable[ServiceDue]) -> tuple[ServiceDue, ...]:
    """Return those that are overdue or soon due."""
    return tuple(row for row in services if is_pressing(row))


def is_pressing(row: ServiceDue) -> bool:
    """Say whether a service is overdue or soon due."""
    return row.standing in (DueStanding.OVERDUE, DueStanding.SOON)


def _due(
    farm: Farm, item: ServiceItem, done: Sequence[ServiceDone], paces: dict[tuple[UUID, MeterKind], float | None]
) -> ServiceDue:
    last = max((one.at for one in done if one.at <= farm.now), default=None)
    if last is None:
        return ServiceDue(item, item.machine_id, None, None, None, None, DueStanding.NEVER_NOTED)
    used = left = days = None
    if item.meter_kind is not None and item.interval_usage is not None:
        machine = farm.machine_number(item.machine_id)
        usage = farm.lines.usage(item.meter_kind, [machine], [microseconds(last)], [farm.now_microseconds])
        used = float(usage[0])
        left = interval_of(item) - used
        of = (item.machine_id, item.meter_kind)
        if of not in paces:
            paces[of] = usage_a_day(farm, *of)
        pace = paces[of]
        days = None if pace is None else left / pace
    due_on = None
    if item.interval_months is not None:
        due_on = farm.settings.local(last).date() + relativedelta(months=item.interval_months)
    return ServiceDue(item, item.machine_id, last, used, left, due_on, _standing(farm, item, left, due_on), days)


def interval_of(item: ServiceItem) -> float:
    """Return the interval on the meter that holds now: in heavy dust half of it. The calendar's stays: dust comes with work."""
    return (item.interval_usage or 0) * (0.5 if item.halved else 1.0)


def _standing(farm: Farm, item: ServiceItem, left: float | None, due_on: date | None) -> DueStanding:
    days = None if due_on is None else (due_on - farm.now.date()).days
    if (left is not None and left <= 0) or (days is not None and days <= 0):
        return DueStanding.OVERDUE
    near = left is not None and item.interval_usage is not None and left <= SOON_SHARE * interval_of(item)
    if near or (days is not None and days <= SOON_DAYS):
        return DueStanding.SOON
    return DueStanding.LATER


def _share_left(row: ServiceDue) -> float:
    if row.left_usage is None or not row.item.interval_usage:
        return 1.0
    return row.left_usage / interval_of(row.item)
