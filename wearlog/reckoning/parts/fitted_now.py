"""What is fitted: the age of every fitting, read off the meter line that wears it, and what was left in service broken."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from wearlog.facts.closed_lists import Action, MeterKind
from wearlog.facts.wearing import Component
from wearlog.reckoning.farm import Farm, FleetLines
from wearlog.store.histories import NONE, OPEN, Bools, Floats, Ints, LogHistories, code_of


@dataclass(frozen=True, slots=True, eq=False)
class FittingAges:
    """One row for each fitting of the histories, in their order.

    Attributes
    ----------
    entry : (n,) float64
        Age when fitted, in seconds or square metres of the kind's meter; NaN where nobody knows.
    exit : (n,) float64
        Age at its removal, or now; NaN where the entry is not known.
    used : (n,) float64
        Usage on this position, known for every fitting.
    on : (n,) bool
        Still fitted.
    machine, meter_kind : (n,) int64
    """

    entry: Floats
    exit: Floats
    used: Floats
    on: Bools
    machine: Ints
    meter_kind: Ints


def fitting_ages(histories: LogHistories, lines: FleetLines, now: int) -> FittingAges:
    """Read the age of every fitting off the meter lines.

    Parameters
    ----------
    now : int
        Microseconds since 1970 UTC. A fitting that is still on is as old as it is now; one fitted later has not begun.
    """
    fittings, components = histories.fittings, histories.components
    machine = components.machine[fittings.component]
    meter_kind = histories.part_kinds.meter_kind[components.part_kind[fittings.component]]
    end = np.minimum(fittings.removed_at, now)
    start = np.minimum(fittings.fitted_at, end)
    used = np.zeros(machine.size)
    for kind in MeterKind:
        worn = meter_kind == code_of(kind)
        used[worn] = lines.usage(kind, machine[worn], start[worn], end[worn])
    return FittingAges(
        entry=fittings.age_when_fitted,
        exit=fittings.age_when_fitted + used,
        used=used,
        on=(fittings.removed_at == OPEN) | (fittings.removed_at > now),
        machine=machine,
        meter_kind=meter_kind,
    )


@dataclass(frozen=True, slots=True)
class LeftInService:
    """`kind` is what its part is called, `positions` ascending, `since` when the earliest broke, in microseconds since 1970."""

    component: Component
    kind: str
    positions: tuple[int, ...]
    since: int


def left_in_service(farm: Farm) -> tuple[LeftInService, ...]:
    """Return what still runs broken, the earliest first."""
    breakages = farm.histories.breakages
    left = code_of(Action.LEFT)
    open_since: dict[int, dict[int, int]] = defaultdict(dict)
    # breakages come in the order of time: the last word about a position counts
    for place, (component, at, action) in enumerate(
        zip(breakages.component.tolist(), breakages.at.tolist(), breakages.action.tolist(), strict=True)
    ):
        if at > farm.now_microseconds:
            break
        for position in breakages.positions[place]:
            if action == left:
                open_since[component].setdefault(position, at)
            else:
                open_since[component].pop(position, None)
    broken = {component: since for component, since in open_since.items() if since}
    newest = _fitted_last(farm, list(broken))
    found = [_still_on(farm, component, since, newest) for component, since in broken.items()]
    return tuple(sorted((one for one in found if one is not None), key=lambda one: one.since))


def _fitted_last(farm: Farm, components: Sequence[int]) -> dict[tuple[int, int], int]:
    """Return when the newest part was fitted on each position of some components, by component and position."""
    fittings = farm.histories.fittings
    asked = np.zeros(len(farm.components), dtype=bool)
    asked[list(components)] = True
    rows = np.flatnonzero(asked[fittings.component])
    component, position, at = fittings.component[rows], fittings.position[rows], fittings.fitted_at[rows]
    order = np.lexsort((at, position, component))
    component, position, at = component[order], position[order], at[order]
    last = np.r_[(component[1:] != component[:-1]) | (position[1:] != position[:-1]), True][: rows.size]
    columns = (component[last].tolist(), position[last].tolist(), at[last].tolist())
    return {(one, place): newest for one, place, newest in zip(*columns, strict=True)}


def _still_on(
    farm: Farm, component: int, since: dict[int, int], newest: Mapping[tuple[int, int], int]
) -> LeftInService | None:
    """Drop the positions where another part was fitted afterwards."""
    still = {position: at for position, at in since.items() if newest.get((component, position), at) <= at}
    if not still:
        return None
    kind = farm.part_kinds[int(farm.histories.components.part_kind[component])]
    return LeftInService(farm.components[component], kind.name, tuple(sorted(still)), min(still.values()))


class NewParts:
    """When new parts were put on, whatever shelf they came from, by kind."""

    def __init__(self, farm: Farm) -> None:
        fittings = farm.histories.fittings
        new = (fittings.age_when_fitted == 0) & (fittings.component != NONE)
        kind, at = farm.histories.components.part_kind[fittings.component[new]], fittings.fitted_at[new]
        order = np.lexsort((at, kind))
        kind, at = kind[order], at[order]
        numbers = np.unique(kind)
        bounds = [*np.searchsorted(kind, numbers).tolist(), kind.size]
        self._at = {one: at[first:last] for one, (first, last) in zip(numbers.tolist(), pairwise(bounds), strict=True)}

    def between(self, kind: int, begins: int, ends: int) -> int:
        """Return how many were put on after one instant and not after another."""
        if kind not in self._at:
            return 0
        first, last = np.searchsorted(self._at[kind], (begins, ends), "right").tolist()
        return max(int(last - first), 0)
