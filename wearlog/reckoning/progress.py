"""How far the harvest has come: area cut this season against what is planned or what the fields hold."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

import numpy as np

from wearlog.facts.closed_lists import MachineKind, MeterKind
from wearlog.facts.planning import PlannedArea, SeasonPlan
from wearlog.facts.work import Season
from wearlog.reckoning.costs import season_period
from wearlog.reckoning.farm import Farm
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.histories import code_of


@dataclass(frozen=True, slots=True)
class MachineShown:
    """What a machine's counters show now, in seconds; None where it has none. `season_area` in square metres."""

    machine_id: UUID
    engine_seconds: float | None
    separator_seconds: float | None
    season_area: float
    area: float


@dataclass(frozen=True, slots=True)
class Progress:
    """`planned` is None when nobody planned the season."""

    season: Season | None
    cut: float
    planned: float | None
    machines: tuple[MachineShown, ...]


def current_season(farm: Farm) -> Season | None:
    """Return the season that now lies in, else the last one that has begun."""
    today = farm.now.date()
    begun = [season for season in farm.seasons if season.starts_on <= today]
    return begun[-1] if begun else None


def progress(connection: Connection, farm: Farm, season: Season | None = None) -> Progress:
    """Return the progress of a season (the current one when none is named)."""
    season = season or current_season(farm)
    shown = tuple(_machine(farm, place, season) for place in range(len(farm.machines)))
    combines = farm.histories.machines.kind == code_of(MachineKind.COMBINE)
    cut = float(sum(one.season_area for one, is_combine in zip(shown, combines, strict=True) if is_combine))
    return Progress(season, cut, _planned(connection, season), shown)


def _machine(farm: Farm, place: int, season: Season | None) -> MachineShown:
    area = np.array([0.0])
    if season is not None:
        period = season_period(farm, season)
        area = farm.lines.usage(MeterKind.AREA, [place], [period.start], [max(period.start, period.end)])
    total = farm.lines.usage(MeterKind.AREA, [place], [0], [farm.now_microseconds])
    return MachineShown(
        farm.machines[place].id,
        _shown(farm, place, MeterKind.ENGINE_HOURS),
        _shown(farm, place, MeterKind.SEPARATOR_HOURS),
        float(area[0]),
        float(total[0]),
    )


def _shown(farm: Farm, place: int, kind: MeterKind) -> float | None:
    readings = farm.histories.readings
    has_reading = ((readings.machine == place) & (readings.meter_kind == code_of(kind))).any()
    return farm.lines.shown(kind, place, farm.now_microseconds) if has_reading else None


def _planned(connection: Connection, season: Season | None) -> float | None:
    if season is None:
        return None
    plans = {plan.id for plan in find_all(connection, SeasonPlan, season_id=season.id)}
    areas = [area.area_square_metres for area in find_all(connection, PlannedArea) if area.season_plan_id in plans]
    return float(sum(areas)) if areas else None
