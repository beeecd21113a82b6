"""Which sensors are due for a calibration: another crop, header or season since, or loads that part by more than they scatter."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from enum import StrEnum, unique
from typing import Final
from uuid import UUID

import numpy as np

from wearlog.facts.closed_lists import Sensor
from wearlog.facts.quality import Calibration
from wearlog.harvest.straight_line import t_quantile
from wearlog.reckoning.farm import Farm
from wearlog.store.histories import NONE, Bools
from wearlog.store.schema.types import instant, microseconds

#: sensors that are set by loads or stretches of known size; the other ones are looked at in other ways
_SET_BY_LOADS: Final = frozenset({Sensor.YIELD_LOAD, Sensor.GROUND_SPEED, Sensor.AREA_COUNT})
#: loads before the last one from which their scatter is known
_ENOUGH: Final = 3
#: a load beyond this interval of the next one parts from the others
_LEVEL: Final = 0.95


@unique
class DueFor(StrEnum):
    """Why a sensor is due."""

    SEASON = "another_season"
    CROP = "another_crop"
    HEADER = "another_header"
    APART = "loads_apart"


def due_for(
    farm: Farm, machine_id: UUID, sensor: Sensor, loads: Sequence[Calibration], crops: Collection[UUID]
) -> tuple[DueFor, ...]:
    """Return why a sensor is due; nothing where it is not, or nothing was cut since.

    Parameters
    ----------
    loads : sequence of Calibration
        Of its latest season, in the order of time.
    crops : collection of UUID
        Of which the yield sensor has loads in that season: it asks for some of each crop.
    """
    if sensor not in _SET_BY_LOADS:
        return ()
    found = []
    last, now = loads[-1].at, farm.now_microseconds
    runs, place = farm.histories.runs, farm.machine_number(machine_id)
    mine = (runs.combine == place) & (runs.start > microseconds(last)) & (runs.start <= now)
    years = {farm.harvest_year(instant(one)) for one in runs.start[mine].tolist()}
    if years - {farm.harvest_year(last)}:
        found.append(DueFor.SEASON)
    hung = runs.header[(runs.combine == place) & (runs.start <= microseconds(last)) & (runs.header != NONE)]
    since = runs.header[mine & (runs.header != NONE)]
    if hung.size and since.size and int(since[-1]) != int(hung[-1]):
        found.append(DueFor.HEADER)
    if sensor is Sensor.YIELD_LOAD and _cut_since(farm, mine, crops):
        found.append(DueFor.CROP)
    if _apart(loads):
        found.append(DueFor.APART)
    return tuple(found)


def _cut_since(farm: Farm, mine: Bools, crops: Collection[UUID]) -> bool:
    """Whether the last crop that was cut since is one without loads."""
    cut = farm.histories.runs.crop[mine]
    known = cut[cut != NONE]
    return bool(crops) and bool(known.size) and farm.histories.crops[int(known[-1])] not in crops


def parts_from(errors: Sequence[float]) -> bool:
    """Return whether the last of some errors lies outside what the others foretell of the next one.

    Parameters
    ----------
    errors : sequence of float
        In per cent, in the order of time.
    """
    *others, last = errors
    if len(others) < _ENOUGH:
        return False
    spread = float(np.std(others, ddof=1)) * (1 + 1 / len(others)) ** 0.5
    return bool(abs(last - float(np.mean(others))) > t_quantile(len(others) - 1, _LEVEL) * spread)


def _apart(loads: Sequence[Calibration]) -> bool:
    errors = [100 * (one.indicated_amount / one.reference_amount - 1) for one in loads if one.reference_amount > 0]
    return bool(errors) and parts_from(errors)
