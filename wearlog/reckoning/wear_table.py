"""How often each kind of part broke and how old what is fitted now is. Life and its uncertainty are reckoned elsewhere."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

import numpy as np

from wearlog.facts.closed_lists import Cause, MeterKind
from wearlog.facts.parts import PartKind
from wearlog.reckoning.ages import FittingAges, fitting_ages
from wearlog.reckoning.farm import Farm
from wearlog.store.histories import Floats, Histories, Ints, code_of


@dataclass(frozen=True, slots=True)
class ComponentWear:
    """A component as it stands now; ages in seconds or square metres of the kind's meter.

    `oldest` and `middle` (the median) are over the positions whose age is known, None when there is none; `unknown` counts the
    others. `breakages` counts broken positions; `last_breakage` is in microseconds since 1970, None when nothing broke.
    """

    component_id: UUID
    machine_id: UUID
    place: str
    positions: int
    oldest: float | None
    middle: float | None
    unknown: int
    breakages: int
    last_breakage: int | None


@dataclass(frozen=True, slots=True)
class KindWear:
    """What the log holds of one kind of part.

    Attributes
    ----------
    breakages, impacts : int
        Broken positions, and how many of them were broken by impact.
    lives : int
        Fittings there have been.
    area : float
        Square metres cut by the machines it sits on, while it sat there.
    exposure : float
        Usage added over all positions, on the kind's own meter.
    """

    kind_id: UUID
    name: str
    meter_kind: MeterKind
    breakages: int
    impacts: int
    lives: int
    area: float
    exposure: float
    components: tuple[ComponentWear, ...]


def wear_table(farm: Farm) -> tuple[KindWear, ...]:
    """Return the kinds that sit on the fleet, those that break most per area first."""
    histories = farm.histories
    ages = fitting_ages(histories, farm.lines, farm.now_microseconds)
    area = _area_of_components(farm)
    broken = _positions_broken(histories)
    table = [
        _kind_wear(farm, ages, area, broken, number, kind)
        for number, kind in enumerate(farm.part_kinds)
        if (histories.components.part_kind == number).any()
    ]
    return tuple(sorted(table, key=lambda row: (-breakages_per_area(row), row.name)))


def breakages_per_area(row: KindWear) -> float:
    """Return breakages per square metre; 0 where nothing was cut."""
    return row.breakages / row.area if row.area > 0 else 0.0


def _positions_broken(histories: Histories) -> Ints:
    return np.array([len(positions) for positions in histories.breakages.positions], dtype=np.int64)


def _area_of_components(farm: Farm) -> Floats:
    """Square metres cut by each component's machine since its first part was fitted."""
    histories = farm.histories
    first = np.full(len(histories.components.ids), farm.now_microseconds, dtype=np.int64)
    np.minimum.at(first, histories.fittings.component, histories.fittings.fitted_at)
    return farm.lines.usage(MeterKind.AREA, histories.components.machine, first, farm.now_microseconds)


def _kind_wear(farm: Farm, ages: FittingAges, area: Floats, broken: Ints, number: int, kind: PartKind) -> KindWear:
    histories = farm.histories
    mine = histories.components.part_kind == number
    fitted = mine[histories.fittings.component]
    events = mine[histories.breakages.component]
    impacts = events & (histories.breakages.cause == code_of(Cause.IMPACT))
    return KindWear(
        kind_id=kind.id,
        name=kind.name,
        meter_kind=kind.meter_kind,
        breakages=int(broken[events].sum()),
        impacts=int(broken[impacts].sum()),
        lives=int(fitted.sum()),
        area=float(area[mine].sum()),
        exposure=float(ages.used[fitted].sum()),
        components=tuple(_component_wear(farm, ages, broken, int(place)) for place in np.flatnonzero(mine)),
    )


def _component_wear(farm: Farm, ages: FittingAges, broken: Ints, number: int) -> ComponentWear:
    histories, component = farm.histories, farm.components[number]
    on = (histories.fittings.component == number) & ages.on
    known = ages.exit[on & ~np.isnan(ages.exit)]
    events = histories.breakages.component == number
    return ComponentWear(
        component_id=component.id,
        machine_id=component.machine_id,
        place=component.place,
        positions=component.positions,
        oldest=float(known.max()) if known.size else None,
        middle=float(np.median(known)) if known.size else None,
        unknown=int((on & np.isnan(ages.exit)).sum()),
        breakages=int(broken[events].sum()),
        last_breakage=int(histories.breakages.at[events].max()) if events.any() else None,
    )
