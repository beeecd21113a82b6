"""Positions where something broke and the failed part still runs: left in service and not replaced or mended since."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

import numpy as np

from wearlog.facts.closed_lists import Action
from wearlog.facts.wearing import Component
from wearlog.reckoning.farm import Farm
from wearlog.store.histories import code_of


@dataclass(frozen=True, slots=True)
class LeftInService:
    """`positions` ascending; `since` is when the earliest of them broke, in microseconds since 1970."""

    component: Component
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
    found = [_still_on(farm, component, since) for component, since in open_since.items() if since]
    return tuple(sorted((one for one in found if one is not None), key=lambda one: one.since))


def _still_on(farm: Farm, component: int, since: dict[int, int]) -> LeftInService | None:
    """Drop the positions where another part was fitted afterwards."""
    fittings = farm.histories.fittings
    mine = fittings.component == component
    newest: dict[int, int] = {}
    for position, at in zip(fittings.position[mine].tolist(), fittings.fitted_at[mine].tolist(), strict=True):
        newest[position] = max(newest.get(position, np.iinfo(np.int64).min), at)
    still = {position: at for position, at in since.items() if newest.get(position, at) <= at}
    if not still:
        return None
    return LeftInService(farm.components[component], tuple(sorted(still)), min(still.values()))
