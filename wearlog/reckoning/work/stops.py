"""The stops of the log: which machine each one stopped and until when, what it cost in hours, and those that nobody closed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo
from operator import itemgetter
from typing import Final
from uuid import UUID
from zoneinfo import ZoneInfo

import numpy as np

from wearlog.costs.standing import Stand, standing_seconds
from wearlog.facts.closed_lists import StopReason
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import Machine
from wearlog.facts.work import Stoppage
from wearlog.reckoning.farm import Farm
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, settings_of
from wearlog.store.histories import NONE, OPEN, Ints, code_of
from wearlog.store.opening import Store
from wearlog.store.paid_rows import StopRows
from wearlog.store.schema.types import microseconds

#: a machine that stands for these reasons could have cut and did not because of itself
COSTLY_STOPS: Final = (StopReason.BREAKDOWN, StopReason.SERVICE)
#: while these last nothing could have cut: what else stops a machine meanwhile costs no standing
UNFIT: Final = (StopReason.WEATHER, StopReason.MOISTURE)
_COSTLY, _UNFIT = ([code_of(one) for one in reasons] for reasons in (COSTLY_STOPS, UNFIT))
_NUMBER: Final = itemgetter(0)
DAY: Final = 86_400 * 1_000_000
#: a stop that is open for longer was probably forgotten
LONG_OPEN: Final = timedelta(days=1)


def counted_seconds(farm: Farm, stops: Sequence[Stoppage]) -> dict[UUID, int]:
    """Return for each costly stop that has begun the seconds that a machine stood for it; see `counted_of`.

    Parameters
    ----------
    stops : sequence of Stoppage
        All of the log, whatever their reason: rain says when a breakdown costs nothing.
    """
    known = sorted((stop for stop in stops if stop.started_at <= farm.now), key=lambda stop: stop.id)
    places = {machine.id: place for place, machine in enumerate(farm.machines)}
    rows = StopRows(
        machine=np.array([places.get(stop.machine_id, NONE) for stop in known], dtype=np.int64),
        repair=(),
        started_at=np.array([microseconds(stop.started_at) for stop in known], dtype=np.int64),
        ended_at=np.array([microseconds(stop.ended_at) if stop.ended_at else OPEN for stop in known], dtype=np.int64),
        reason=np.array([code_of(stop.reason) for stop in known], dtype=np.int64),
    )
    counted = counted_of(farm, rows).tolist()
    return {stop.id: its for stop, its in zip(known, counted, strict=True) if stop.reason in COSTLY_STOPS}


def counted_of(farm: Farm, stops: StopRows) -> Ints:
    """Return for each stop the seconds that a machine stood for it, every minute of a machine once; 0 for what costs nothing.

    Parameters
    ----------
    stops : StopRows
        All of the log in the order of their ids, whatever their reason: rain says when a breakdown costs nothing.

    Notes
    -----
    A header's stop stops the combine that carries it; while it hangs on none it stands alone. A stop that nobody closed lasts until
    its machine cuts again; has it not, for as long as anything of the farm has cut since, and for a day at least. Rain that nobody
    closed is over when anything of the farm cuts again, and after a day. `standing_seconds` says what counts of a night.
    """
    # the order of the ids is that of entry: of two stops that began together the one entered first is counted
    begun = stops.started_at <= farm.now_microseconds
    costly, unfit = (np.flatnonzero(begun & np.isin(stops.reason, codes)) for codes in (_COSTLY, _UNFIT))
    stood, closed = (_all_stands(farm, stops, rows) for rows in (costly, unfit))
    found = np.zeros(begun.size, dtype=np.int64)
    found[costly] = standing_seconds(stood, costly.size, _zone(farm), closed)
    return found


def _all_stands(farm: Farm, stops: StopRows, rows: Ints) -> list[Stand]:
    hitched = _hitched(farm)
    # nearly all are over, and of a machine that hangs on nothing: what follows for them is said in columns
    is_plain = (stops.ended_at[rows] != OPEN) & ~np.isin(stops.machine[rows], list(hitched))
    number = np.flatnonzero(is_plain)
    plain = rows[number]
    ended = np.minimum(stops.ended_at[plain], farm.now_microseconds)
    columns = (number, stops.machine[plain], stops.started_at[plain], stops.started_at[plain], ended)
    found = list(map(Stand, *(one.tolist() for one in columns)))
    for one in np.flatnonzero(~is_plain).tolist():
        row = rows[one]
        machine, begun = int(stops.machine[row]), int(stops.started_at[row])
        ended_at = _end(farm, machine, begun, int(stops.ended_at[row]), int(stops.reason[row]))
        found += _stands(one, machine, begun, ended_at, hitched)
    found.sort(key=_NUMBER)
    return found


@dataclass(frozen=True, slots=True)
class _Hitch:
    """Which combine carried a header in [start, end)."""

    combine: int
    start: int
    end: int


def _hitched(farm: Farm) -> dict[int, list[_Hitch]]:
    """Return what carried each header, in the order of time."""
    rows = farm.histories.hitches
    found: dict[int, list[_Hitch]] = defaultdict(list)
    for row in np.argsort(rows.start, kind="stable").tolist():
        found[int(rows.header[row])].append(_Hitch(int(rows.combine[row]), int(rows.start[row]), int(rows.end[row])))
    return found


def seconds_alone(farm: Farm, stops: Sequence[Stoppage]) -> tuple[int, ...]:
    """Return what each of some stops that are over would count if there were no other: how long its cause stops a machine."""
    stands = []
    for place, stop in enumerate(stops):
        begun, ended = microseconds(stop.started_at), microseconds(stop.ended_at or farm.now)
        # each on a machine of its own, so that none takes another's minutes
        stands.append(Stand(place, place, begun, begun, ended))
    return standing_seconds(stands, len(stands), _zone(farm))


def _zone(farm: Farm) -> tzinfo | None:
    return ZoneInfo(farm.settings.time_zone) if farm.settings.time_zone else farm.now.tzinfo


def _stands(
    number: int, machine: int, begun: int, ended: int, hitched: Mapping[int, Sequence[_Hitch]]
) -> Iterator[Stand]:
    """Yield the stretches of a stop by the machine that stood: for a header by the hitches of that time."""
    at = begun
    for hitch in hitched.get(machine, ()):
        start, end = max(hitch.start, at), min(hitch.end, ended)
        if hitch.end > begun and start < end:
            yield Stand(number, machine, begun, at, start)
            yield Stand(number, hitch.combine, begun, start, end)
            at = end
    yield Stand(number, machine, begun, at, ended)


def _end(farm: Farm, machine: int, begun: int, ended: int, reason: int) -> int:
    """Return when a stop was over, as far as that is known by now."""
    now = farm.now_microseconds
    if ended != OPEN:
        return min(ended, now)
    runs, stretches = farm.histories.runs, farm.lines.stretches
    if reason in _UNFIT:
        dry = runs.start[runs.start > begun]
        return min(int(dry.min(initial=now)), begun + DAY, now)
    cut = np.concatenate((runs.start[runs.combine == machine], stretches.start[stretches.header == machine]))
    if (again := cut[cut > begun]).size:
        return min(int(again.min()), now)
    # nobody said that it still stands: it costs no more than the harvest that went on without it
    return min(max(int(runs.end.max(initial=begun)), begun + DAY), now)


@dataclass(frozen=True, slots=True)
class StopLine:
    """A stop of the list. `lasted` is until now while it is open.

    `counted_seconds` is what of it the machine could have cut; None where its reason costs nothing.
    """

    stop: Stoppage
    machine: str
    lasted: timedelta
    counted_seconds: int | None
    harvest_year: int

    @property
    def is_open(self) -> bool:
        return self.stop.ended_at is None


def stop_lines(connection: Connection, farm: Farm) -> tuple[StopLine, ...]:
    """Return every stop that has begun: the open ones first, then the latest."""
    stops = [stop for stop in find_all(connection, Stoppage) if stop.started_at <= farm.now]
    counted = counted_seconds(farm, stops)
    names = {machine.id: machine.name for machine in farm.machines}
    lines = [
        StopLine(
            stop,
            names.get(stop.machine_id, ""),
            (stop.ended_at or farm.now) - stop.started_at,
            counted.get(stop.id),
            farm.harvest_year(stop.started_at),
        )
        for stop in stops
    ]
    return tuple(sorted(lines, key=lambda line: (line.is_open, line.stop.started_at, line.stop.id), reverse=True))


@dataclass(frozen=True, slots=True)
class ForgottenStop:
    """A stop that is open for more than a day."""

    machine: str
    reason: StopReason
    started_at: datetime


def forgotten_stops_view(store: Store, now: datetime) -> tuple[tuple[ForgottenStop, ...], FarmSettings]:
    """Return the stops that are open for more than a day, oldest first, and the settings to show them with."""
    with store.reading() as connection:
        names = {machine.id: machine.name for machine in find_all(connection, Machine)}
        found = tuple(
            ForgottenStop(names.get(stop.machine_id, ""), stop.reason, stop.started_at)
            for stop in forgotten_stops(connection, now)
        )
        return found, settings_of(connection)


def forgotten_stops(connection: Connection, now: datetime) -> tuple[Stoppage, ...]:
    """Return the stops that have been open for more than a day, oldest first: the file is in order, but each day of them costs."""
    found = [stop for stop in find_all(connection, Stoppage, ended_at=None) if now - stop.started_at > LONG_OPEN]
    return tuple(sorted(found, key=lambda stop: stop.started_at))
