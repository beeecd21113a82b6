"""The daily round: what is greased, drained and looked at tonight, so that nothing comes due in tomorrow's hours."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum, unique
from typing import Final
from uuid import UUID

from wearlog.facts.cautions import hazards_of_service
from wearlog.facts.closed_lists import Hazard, MachineKind, MeterKind
from wearlog.facts.machines import Hitch, Machine, partners
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.work.services_due import (
    PACE_DAYS,
    DueStanding,
    ServiceDue,
    interval_of,
    services_due,
    usage_a_day,
)
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all

#: a day of cutting on a machine that has not cut yet (common practice, no source)
USUAL_DAY_SECONDS: Final = 10 * 3600
#: a service that comes after no more than this on an hour meter is one of the daily round (common practice, no source)
DAILY_SECONDS: Final = 12 * 3600


@unique
class WhyTonight(StrEnum):
    """Why a service is in tonight's round."""

    OVERDUE = "overdue"
    TOMORROW = "tomorrow"
    BY_DAY = "by_day"
    NEVER_NOTED = "never_noted"


@dataclass(frozen=True, slots=True)
class TonightLine:
    """A service of the round. `tomorrow` is what its meter gains tomorrow, in seconds or square metres; None without a meter."""

    due: ServiceDue
    machine: str
    why: WhyTonight
    tomorrow: float | None


@dataclass(frozen=True, slots=True)
class EveningRound:
    """The round of the evening.

    `hours` are those of tomorrow by machine, guessed for those in `guessed`. `not_on` are headers that hang on no combine, and
    `unnoted` counts the services with longer intervals of which nobody noted when they were done last. `idle_since` is the last
    day with cutting where that is long ago.
    """

    lines: tuple[TonightLine, ...]
    hours: dict[str, float]
    guessed: frozenset[str]
    not_on: tuple[str, ...]
    unnoted: int
    services: tuple[ServiceDue, ...]
    idle_since: date | None = None

    @property
    def hazards(self) -> tuple[Hazard, ...]:
        """What is dangerous in the round, each once, in the order of its lines."""
        items = [one.due.item for one in self.lines]
        return tuple(dict.fromkeys(one for item in items for one in hazards_of_service(item.hazard, item.name)))


def tonight(connection: Connection, farm: Farm, day_seconds: float | None = None) -> EveningRound:
    """Return the round of tonight, machine by machine, what is overdue first.

    Parameters
    ----------
    connection : Connection
    farm : Farm
    day_seconds : float, optional
        How long tomorrow is cut, in seconds; else as long as on the last days with cutting.
    """
    services = services_due(connection, farm)
    hung = partners(find_all(connection, Hitch), farm.now)
    idle = {one.id for one in farm.machines if one.kind is MachineKind.HEADER and one.id not in hung}
    names = {one.id: one.name for one in farm.machines}
    days = {one.id: _Day.of(farm, one, day_seconds) for one in farm.machines if one.id not in idle}
    found = [_line(farm, row, days, names) for row in services if row.machine_id not in idle]
    lines = [one for one in found if one is not None]
    order = list(WhyTonight)
    lines.sort(key=lambda one: (one.machine.casefold(), order.index(one.why), _left(one), one.due.item.name.casefold()))
    served = {row.machine_id for row in services}
    listed = {one.due.item.id for one in lines}
    at_work = [one for one in farm.machines if one.id in days and one.id in served]
    return EveningRound(
        lines=tuple(lines),
        hours={one.name: days[one.id].seconds / 3600 for one in at_work},
        guessed=frozenset(one.name for one in at_work if days[one.id].is_guess),
        not_on=tuple(sorted(names[one] for one in idle & served)),
        unnoted=sum(
            row.standing is DueStanding.NEVER_NOTED and row.machine_id not in idle and row.item.id not in listed
            for row in services
        ),
        services=services,
        idle_since=_idle_since(farm),
    )


def _idle_since(farm: Farm) -> date | None:
    last = farm.last_cut
    return last if last is not None and (farm.now.date() - last).days > PACE_DAYS else None


@dataclass(frozen=True, slots=True)
class _Day:
    """Tomorrow on one machine: hours of cutting, and `share` of a day as the last ones were."""

    farm: Farm
    machine_id: UUID
    seconds: float
    share: float
    is_guess: bool

    @classmethod
    def of(cls, farm: Farm, machine: Machine, asked: float | None) -> _Day:
        pace = usage_a_day(farm, machine.id, MeterKind.SEPARATOR_HOURS)
        usual = USUAL_DAY_SECONDS if pace is None else pace
        seconds = usual if asked is None else asked
        return cls(farm, machine.id, seconds, seconds / usual, is_guess=pace is None and asked is None)

    def gains(self, kind: MeterKind) -> float | None:
        """What a meter gains; of an hour meter without a pace as much as is cut."""
        if kind is MeterKind.CALENDAR:
            return 86_400.0
        pace = usage_a_day(self.farm, self.machine_id, kind)
        if pace is not None:
            return pace * self.share
        return None if kind is MeterKind.AREA else self.seconds


def _line(farm: Farm, row: ServiceDue, days: dict[UUID, _Day], names: dict[UUID, str]) -> TonightLine | None:
    kind = row.item.meter_kind
    gains = None if kind is None else days[row.machine_id].gains(kind)
    why = _why(farm, row, gains)
    return None if why is None else TonightLine(row, names.get(row.machine_id, ""), why, gains)


def _why(farm: Farm, row: ServiceDue, gains: float | None) -> WhyTonight | None:
    if row.standing is DueStanding.NEVER_NOTED:
        hours = row.item.meter_kind in (MeterKind.ENGINE_HOURS, MeterKind.SEPARATOR_HOURS)
        return WhyTonight.NEVER_NOTED if hours and 0 < interval_of(row.item) <= DAILY_SECONDS else None
    # what was done tonight is done, also where a day of cutting is longer than its interval
    ran = row.used is None or row.used > 0
    if row.standing is DueStanding.OVERDUE:
        return WhyTonight.OVERDUE
    if row.left_usage is not None and gains is not None and ran and row.left_usage <= gains:
        return WhyTonight.TOMORROW
    if row.due_on is not None and row.due_on <= (farm.now + timedelta(days=1)).date():
        return WhyTonight.BY_DAY
    return None


def _left(line: TonightLine) -> float:
    return math.inf if line.due.left_usage is None else line.due.left_usage
