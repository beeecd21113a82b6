"""Hours of use in the field of a combine, on which the published curves run: by its separator, else by its engine and a ratio."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique

import numpy as np

from wearlog.facts.closed_lists import MachineKind, MeterKind
from wearlog.harvest.anchors import LearnedFrom
from wearlog.reckoning.farm.meters import ENGINE_PER_SEPARATOR
from wearlog.reckoning.farm.whole_farm import Farm
from wearlog.store.histories import Floats, Ints, code_of

#: the farm's ratio is that of its counters once they ran so long together, in seconds
_ENOUGH = 50 * 3600


@unique
class HoursBy(StrEnum):
    """What the hours of use in the field are read off."""

    SEPARATOR = "separator_counter"
    OWN_RATIO = "engine_counter_by_own_ratio"
    FARM_RATIO = "engine_counter_by_farm_ratio"
    USUAL_RATIO = "engine_counter_by_usual_ratio"
    RUNS = "runs_alone"


@dataclass(frozen=True, slots=True)
class FieldHours:
    """What the hours rest on; `ratio` is engine hours to one of the separator where the engine's counter gives them, else None."""

    by: HoursBy
    ratio: float | None = None


def field_hours_of(farm: Farm, place: int) -> FieldHours:
    """Say what the hours of use in the field of a machine are read off, from the best of its counters down."""
    if _read(farm, MeterKind.SEPARATOR_HOURS, place).size:
        return FieldHours(HoursBy.SEPARATOR)
    if not _read(farm, MeterKind.ENGINE_HOURS, place).size:
        return FieldHours(HoursBy.RUNS)
    runs, learned = farm.histories.runs, farm.lines.carriers(MeterKind.ENGINE_HOURS).learned
    told = bool(np.isfinite(runs.separator_seconds[runs.combine == place]).any())
    if told and learned.factor_from[place] != LearnedFrom.DEFAULT:
        return FieldHours(HoursBy.OWN_RATIO, float(learned.factor[place]))
    ratio = _farm_ratio(farm)
    if ratio is not None:
        return FieldHours(HoursBy.FARM_RATIO, ratio)
    return FieldHours(HoursBy.USUAL_RATIO, ENGINE_PER_SEPARATOR)


def field_hours_at(farm: Farm, place: int, basis: FieldHours, at: Ints) -> Floats:
    """Return the hours of use since a machine was new at instants, replaced counters run on.

    Parameters
    ----------
    at : (n,) int64
        Microseconds since 1970 UTC.
    """
    kind = MeterKind.SEPARATOR_HOURS if basis.ratio is None else MeterKind.ENGINE_HOURS
    return farm.lines.run_on(kind, place, at) / 3600 / (basis.ratio or 1.0)


def _farm_ratio(farm: Farm) -> float | None:
    """Engine seconds to one of the separator, over the times in which both counters of a combine were read."""
    engine = separator = 0.0
    for place in np.flatnonzero(farm.histories.machines.kind == code_of(MachineKind.COMBINE)).tolist():
        both = [_read(farm, kind, place) for kind in (MeterKind.ENGINE_HOURS, MeterKind.SEPARATOR_HOURS)]
        if min(one.size for one in both) < 2:
            continue
        start, end = max(int(one.min()) for one in both), min(int(one.max()) for one in both)
        if start < end:
            engine += float(farm.lines.usage(MeterKind.ENGINE_HOURS, [place], start, end)[0])
            separator += float(farm.lines.usage(MeterKind.SEPARATOR_HOURS, [place], start, end)[0])
    return engine / separator if separator >= _ENOUGH and engine > 0 else None


def _read(farm: Farm, kind: MeterKind, place: int) -> Ints:
    """When a counter of a machine was read, up to now."""
    rows = farm.histories.readings
    mine = (rows.machine == place) & (rows.meter_kind == code_of(kind)) & (rows.at <= farm.now_microseconds)
    return np.asarray(rows.at[mine])
