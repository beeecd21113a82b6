"""What an age that is told roughly is reckoned with, and how old a part was when it was noted, from how old it is now."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from wearlog.facts.age_scale import USUAL_SEASON, AgeScale
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.wearing import Component, Fitting
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.wear.season_ahead import season_ahead, seasons_of_use
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.histories import code_of
from wearlog.store.schema.types import microseconds


def age_scale(
    connection: Connection, farm: Farm, machine_id: UUID, meter: MeterKind, at: datetime | None = None
) -> AgeScale:
    """Return what a season of a machine comes to on a meter as things stand, and its whole life until `at` (None: now)."""
    machine = farm.machine_number(machine_id)
    own = float(seasons_of_use(farm, season_ahead(connection, farm))[machine, code_of(meter)])
    season = own if own > 0 else USUAL_SEASON[meter]
    return AgeScale(season, _since_new(farm, machine_id, meter, season, at or farm.now), is_guess=own <= 0)


def _since_new(farm: Farm, machine_id: UUID, meter: MeterKind, season: float, at: datetime) -> float | None:
    """Return what its counter showed; without a counter a season for each year since it was built."""
    readings, machine = farm.histories.readings, farm.machine_number(machine_id)
    if ((readings.machine == machine) & (readings.meter_kind == code_of(meter))).any():
        return farm.lines.shown(meter, machine, microseconds(at))
    built = next((one.model_year for one in farm.machines if one.id == machine_id), None)
    return None if built is None else max(at.year - built, 0) * season


def ages_when_fitted(
    connection: Connection, farm: Farm, component: Component, positions: Sequence[int], age_now: int | None
) -> dict[Fitting, int | None]:
    """Return what is on a component now and how old each was when it was noted, if it is `age_now` old now.

    Parameters
    ----------
    connection : Connection
    farm : Farm
    component : Component
    positions : sequence of int
        The positions that are meant; none for those of which nobody knows the age.
    age_now : int or None
        In the units of the kind's meter; None: nobody knows.
    """
    meter = next(one.meter_kind for one in farm.part_kinds if one.id == component.part_kind_id)
    machine = farm.machine_number(component.machine_id)
    found: dict[Fitting, int | None] = {}
    for one in find_all(connection, Fitting, component_id=component.id):
        is_on = one.fitted_at <= farm.now and (one.removed_at is None or one.removed_at > farm.now)
        if is_on and (one.position in positions if positions else one.age_when_fitted_usage is None):
            used = farm.lines.usage(meter, [machine], [microseconds(one.fitted_at)], [farm.now_microseconds])
            found[one] = None if age_now is None else max(0, round(age_now - float(used[0])))
    return found
