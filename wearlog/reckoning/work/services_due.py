"""Which services are due: by meter, by calendar, whichever comes first."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum, unique
from uuid import UUID

from dateutil.relativedelta import relativedelta

from wearlog.facts.service import ServiceDone, ServiceItem
from wearlog.reckoning.farm.whole_farm import Farm
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.schema.types import microseconds


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

    `left_usage` is in seconds or square metres and below zero when it is past.
    """

    item: ServiceItem
    machine_id: UUID
    last_done: datetime | None
    used: float | None
    left_usage: float | None
    due_on: date | None
    standing: DueStanding


def services_due(connection: Connection, farm: Farm) -> tuple[ServiceDue, ...]:
    """Return every service, the most pressing first."""
    done: dict[UUID, list[ServiceDone]] = defaultdict(list)
    for one in find_all(connection, ServiceDone):
        done[one.service_item_id].append(one)
    found = [_due(farm, item, done[item.id]) for item in find_all(connection, ServiceItem)]
    order = list(DueStanding)
    return tuple(sorted(found, key=lambda row: (order.index(row.standing), _share_left(row), row.item.name)))


def pressing(services: Iterable[ServiceDue]) -> tuple[ServiceDue, ...]:
    """Return those that are overdue or soon due."""
    return tuple(row for row in services if is_pressing(row))


def is_pressing(row: ServiceDue) -> bool:
    """Say whether a service is overdue or soon due."""
    return row.standing in (DueStanding.OVERDUE, DueStanding.SOON)


def _due(farm: Farm, item: ServiceItem, done: Sequence[ServiceDone]) -> ServiceDue:
    last = max((one.at for one in done if one.at <= farm.now), default=None)
    if last is None:
        return ServiceDue(item, item.machine_id, None, None, None, None, DueStanding.NEVER_NOTED)
    used = left = None
    if item.meter_kind is not None and item.interval_usage is not None:
        machine = farm.machine_number(item.machine_id)
        usage = farm.lines.usage(item.meter_kind, [machine], [microseconds(last)], [farm.now_microseconds])
        used = float(usage[0])
        left = item.interval_usage - used
    due_on = None
    if item.interval_months is not None:
        due_on = farm.settings.local(last).date() + relativedelta(months=item.interval_months)
    return ServiceDue(item, item.machine_id, last, used, left, due_on, _standing(farm, item, left, due_on))


def _standing(farm: Farm, item: ServiceItem, left: float | None, due_on: date | None) -> DueStanding:
    days = None if due_on is None else (due_on - farm.now.date()).days
    if (left is not None and left <= 0) or (days is not None and days <= 0):
        return DueStanding.OVERDUE
    near = left is not None and item.interval_usage is not None and left <= SOON_SHARE * item.interval_usage
    if near or (days is not None and days <= SOON_DAYS):
        return DueStanding.SOON
    return DueStanding.LATER


def _share_left(row: ServiceDue) -> float:
    if row.left_usage is None or not row.item.interval_usage:
        return 1.0
    return row.left_usage / row.item.interval_usage
