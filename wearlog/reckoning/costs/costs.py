"""What an acre costs: every cost event split by machine, subsystem, part, season, crop or field, over the area cut there."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum, unique
from typing import Final

import numpy as np
import numpy.typing as npt

from wearlog.costs.published_curves import COMBINE
from wearlog.costs.repair_curve import repair_between
from wearlog.costs.split import CostSplit, split_costs, whole_shares
from wearlog.facts.closed_lists import MachineKind, MeterKind
from wearlog.facts.work import Crop, Field, Season
from wearlog.reckoning.costs.cost_events import EventCosts, FieldHours, cost_events, field_hours_at, field_hours_of
from wearlog.reckoning.farm import Farm, Period, midnight, season_period
from wearlog.reckoning.parts.stock import CostedMoves
from wearlog.reckoning.work.ground import run_at
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.histories import NONE, Floats, Ints, LogHistories, code_of

#: the row of what services cost where a split is by kind or subsystem: an oil change belongs to no kind of part
SERVICES: Final = "services"


@unique
class Split(StrEnum):
    MACHINE = "machine"
    SUBSYSTEM = "subsystem"
    PART = "part"
    SEASON = "season"
    CROP = "crop"
    FIELD = "field"


@dataclass(frozen=True, slots=True)
class CostRow:
    """Costs of one key in minor units; area in square metres, hours of the separator in seconds.

    `per_area_minor` is the total for each square metre; None where nothing was cut.
    `expected_repair_minor` is what the published curve expects of parts and labour over the same hours; None where it does not
    apply (no list price, or not a split by machine or season).
    """

    key: str
    area: float
    separator_seconds: float
    parts_minor: int
    labour_minor: int
    service_minor: int
    downtime_minor: int
    per_area_minor: float | None
    expected_repair_minor: int | None = None

    @property
    def total_minor(self) -> int:
        return self.parts_minor + self.labour_minor + self.service_minor + self.downtime_minor


@dataclass(frozen=True, slots=True)
class CostTable:
    """The rows and `elsewhere` (what belongs to no key) add up to `total` to the cent.

    `unknown_units` pieces were used in the period whose cost nobody knows; they are in no row. `calendar_years` are those of the
    seasons shown that nobody entered. `curve_hours` says by machine what the hours of the published curve are read off.
    """

    by: Split
    rows: tuple[CostRow, ...]
    elsewhere: CostRow
    total: CostRow
    unknown_units: int
    calendar_years: tuple[int, ...] = ()
    curve_hours: tuple[tuple[str, FieldHours], ...] = ()


def cost_table(connection: Connection, farm: Farm, by: Split, season: Season | None = None) -> CostTable:
    """Split all costs, or those of one season, by a key."""
    return cost_tables(connection, farm, (by,), season)[0]


def cost_tables(
    connection: Connection,
    farm: Farm,
    splits: Iterable[Split],
    season: Season | None = None,
    *,
    costed: CostedMoves | None = None,
) -> tuple[CostTable, ...]:
    """Split all costs, or those of one season, by several keys; they are read once, the moves of the shelf if not `costed` yet."""
    found = cost_events(connection, farm, costed)
    return tuple(_cost_table(connection, farm, found, by, season) for by in splits)


def _cost_table(connection: Connection, farm: Farm, found: EventCosts, by: Split, season: Season | None) -> CostTable:
    period = Period(0, farm.now_microseconds) if season is None else season_period(farm, season)
    inside = _inside(found.at, period)
    names, key = _keys(connection, farm, found, by)
    key = np.where(inside, key, NONE)
    inside_costs = type(found.costs)(*(np.where(inside, column, 0) for column in found.costs.columns))
    area, seconds = _worked(farm, by, len(names), period)
    split = split_costs(inside_costs, whole_shares(key), area)
    rows = _rows(split, names, seconds)
    rows = _with_expected(farm, by, rows, period)
    shown = [row for row in rows if row.total_minor or row.area]
    total_area, total_seconds = _worked(farm, Split.PART, 1, period)
    (elsewhere,) = _rows(replace(split, costs=split.unassigned, area=np.zeros(1)), ["elsewhere"], np.zeros(1))
    (total,) = _rows(replace(split, costs=split.total, area=total_area), ["total"], total_seconds)
    return CostTable(
        by,
        tuple(shown if by is Split.SEASON else sorted(shown, key=lambda row: -row.total_minor)),
        elsewhere,
        total,
        int(found.unknown_units[_inside(found.unknown_at, period)].sum()),
        _by_calendar(farm, [row.key for row in shown] if by is Split.SEASON else [], season),
        _curve_hours(farm),
    )


def _curve_hours(farm: Farm) -> tuple[tuple[str, FieldHours], ...]:
    return tuple(
        (machine.name, field_hours_of(farm, place))
        for place, machine in enumerate(farm.machines)
        if machine.kind is MachineKind.COMBINE and machine.list_price_minor is not None
    )


def _by_calendar(farm: Farm, keys: Sequence[str], season: Season | None) -> tuple[int, ...]:
    shown = {int(key) for key in keys} | ({season.harvest_year} if season is not None else set())
    return tuple(sorted(shown & farm.calendar_years))


def _inside(at: Ints, period: Period) -> npt.NDArray[np.bool_]:
    return (at >= period.start) & (at < max(period.end, period.start))


def _rows(split: CostSplit, names: Sequence[str], seconds: Floats) -> list[CostRow]:
    columns = (split.area.tolist(), seconds.tolist(), *(column.tolist() for column in split.costs.columns))
    return [CostRow(*told) for told in zip(names, *columns, split.per_area_minor, strict=True)]


def _keys(connection: Connection, farm: Farm, found: EventCosts, by: Split) -> tuple[list[str], Ints]:
    """The names of the keys and which one each event has; NONE where nothing says."""
    if by is Split.MACHINE:
        return [machine.name for machine in farm.machines], found.machine
    if by in (Split.SUBSYSTEM, Split.PART):
        return _kind_keys(farm, found, by)
    if by is Split.SEASON:
        names = [str(season.harvest_year) for season in farm.seasons]
        return names, _season_of(farm, found.at)
    named: list[Crop] | list[Field] = find_all(connection, Crop) if by is Split.CROP else find_all(connection, Field)
    ids = farm.histories.crops if by is Split.CROP else farm.histories.fields
    name_of = {row.id: row.name for row in named}
    column = farm.histories.runs.crop if by is Split.CROP else farm.histories.runs.field
    run = _run_of(farm, found)
    return [name_of[one] for one in ids], np.where(run == NONE, NONE, column[run] if column.size else NONE)


def _kind_keys(farm: Farm, found: EventCosts, by: Split) -> tuple[list[str], Ints]:
    """Kinds or subsystems: of the component, else of all that a part fits if that is one; what is of a service has its own row."""
    labels = [
        kind.subsystem.value.replace("_", " ") if by is Split.SUBSYSTEM else kind.name for kind in farm.part_kinds
    ]
    fitted = farm.histories.components.part_kind
    by_kind: dict[int, str | None] = dict(enumerate(labels))
    by_part = {place: _only({labels[one] for one in kinds}) for place, kinds in enumerate(found.fits)}
    of_service = SERVICES if SERVICES not in labels else f"{SERVICES} by interval"
    kind = np.where(found.component == NONE, NONE, fitted[found.component] if fitted.size else NONE)
    asked = zip(kind.tolist(), found.part.tolist(), found.is_upkeep.tolist(), strict=True)
    own = [of_service if upkeep else by_kind.get(one, by_part.get(part)) for one, part, upkeep in asked]
    on_machines = {labels[one] for one in np.unique(fitted).tolist() if one != NONE}
    names = sorted(on_machines | {label for label in own if label is not None})
    places = {name: place for place, name in enumerate(names)}
    return names, np.array([NONE if label is None else places[label] for label in own], dtype=np.int64)


def _only(labels: set[str]) -> str | None:
    return labels.pop() if len(labels) == 1 else None


def _season_of(farm: Farm, at: Ints) -> Ints:
    season = np.full(at.size, NONE, dtype=np.int64)
    for place, one in enumerate(farm.seasons):
        start, end = midnight(farm, one.starts_on), midnight(farm, one.ends_on)
        season[(at >= start) & (at < end)] = place
    return season


def _run_of(farm: Farm, found: EventCosts) -> Ints:
    return run_at(farm, np.where(found.stood == NONE, found.machine, found.stood), found.at)


def _worked(farm: Farm, by: Split, keys: int, period: Period) -> tuple[Floats, Floats]:
    """Area and separator time under each key within a period; a split by part or subsystem is over all that was cut."""
    machines = np.arange(len(farm.machines))
    if by is Split.MACHINE:
        return _usage(farm, MeterKind.AREA, machines, period), _usage(farm, MeterKind.SEPARATOR_HOURS, machines, period)
    combines = machines[farm.histories.machines.kind == code_of(MachineKind.COMBINE)]
    if by is Split.SEASON:
        spans = [season_period(farm, season) for season in farm.seasons]
        both = [_sum_of(farm, combines, _overlap(span, period)) for span in spans]
        return np.array([a for a, _ in both]), np.array([s for _, s in both])
    if by in (Split.CROP, Split.FIELD):
        return _by_runs(farm.histories, by, keys, period)
    area, seconds = _sum_of(farm, combines, period)
    return np.full(keys, area), np.full(keys, seconds)


def _overlap(span: Period, period: Period) -> Period:
    start = max(span.start, period.start)
    return Period(start, max(start, min(span.end, period.end)))


def _usage(farm: Farm, kind: MeterKind, machines: Ints, period: Period) -> Floats:
    return farm.lines.usage(kind, machines, period.start, max(period.start, period.end))


def _sum_of(farm: Farm, combines: Ints, period: Period) -> tuple[float, float]:
    area = _usage(farm, MeterKind.AREA, combines, period).sum()
    return float(area), float(_usage(farm, MeterKind.SEPARATOR_HOURS, combines, period).sum())


def _by_runs(histories: LogHistories, by: Split, keys: int, period: Period) -> tuple[Floats, Floats]:
    runs = histories.runs
    key = runs.crop if by is Split.CROP else runs.field
    inside = (key != NONE) & (runs.start >= period.start) & (runs.start < period.end)
    area, seconds = np.zeros(keys), np.zeros(keys)
    np.add.at(area, key[inside], runs.area[inside])
    np.add.at(seconds, key[inside], np.nan_to_num(runs.separator_seconds[inside]))
    return area, seconds


def _with_expected(farm: Farm, by: Split, rows: list[CostRow], period: Period) -> list[CostRow]:
    if by is Split.MACHINE:
        each = zip(rows, _expected(farm, [period]), strict=True)
        return [replace(row, expected_repair_minor=expected) for row, (expected,) in each]
    if by is not Split.SEASON:
        return rows
    spans = [_overlap(season_period(farm, season), period) for season in farm.seasons]
    by_machine = _expected(farm, spans)
    found = []
    for place, row in enumerate(rows):
        known = [amount for amounts in by_machine if (amount := amounts[place]) is not None]
        found.append(replace(row, expected_repair_minor=sum(known) if known else None))
    return found


def _expected(farm: Farm, periods: Sequence[Period]) -> list[list[int | None]]:
    """What the published curve of combines expects of each machine between the hours of use in the field at the ends of periods."""
    edges = np.array([(period.start, period.end) for period in periods], dtype=np.int64).ravel()
    found = []
    for place, machine in enumerate(farm.machines):
        amounts: list[int | None] = [None] * len(periods)
        if machine.kind is MachineKind.COMBINE and machine.list_price_minor is not None:
            hours = field_hours_at(farm, place, field_hours_of(farm, place), edges).reshape(-1, 2).tolist()
            for number, (period, (first, last)) in enumerate(zip(periods, hours, strict=True)):
                if period.end > period.start:
                    amounts[number] = repair_between(COMBINE, machine.list_price_minor, first, last)
        found.append(amounts)
    return found
