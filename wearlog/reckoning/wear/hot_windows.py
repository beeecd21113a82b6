"""Where along a component stones hit more than they should: a scan of its positions. Says where to look, not what is bent."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wearlog.facts.closed_lists import Cause
from wearlog.facts.wearing import Component
from wearlog.reckoning.farm.whole_farm import Farm
from wearlog.store.histories import NONE, Ints, code_of
from wearlog.wear.scan import HotWindow, scan_positions

#: fewer positions are no row along which hits could bunch
FEWEST_POSITIONS = 8
#: fewer hits can bunch by chance anywhere
FEWEST_HITS = 4
#: enough even spreads to tell a chance of 1 in 2,000
SIMULATIONS = 1999
#: a window is called hot below this chance, shared among the rows looked at
HOT = 0.05


@dataclass(frozen=True, slots=True)
class HotPlace:
    """The strongest window of one component.

    Attributes
    ----------
    component : Component
    kind : str
        What its part is called.
    window : HotWindow
    hits : int
        Events by impact along the whole component; one stone that breaks three neighbours is one hit.
    looked_at : int
        How many components of the kinds asked for have enough hits, on whatever machine: one is hot beside all of them.
    """

    component: Component
    kind: str
    window: HotWindow
    hits: int
    looked_at: int

    @property
    def is_hot(self) -> bool:
        """Whether chance alone is unlikely to show this on any of the components looked at."""
        return self.window.p_value * self.looked_at < HOT


def hot_windows(farm: Farm, number: int = NONE, machine: int = NONE) -> tuple[HotPlace, ...]:
    """Scan the components of a kind, of a machine, or all of them.

    Parameters
    ----------
    number, machine : int
        Place of a part kind and of a machine in the histories; NONE for all.

    Returns
    -------
    tuple of HotPlace
        Every component with enough positions and hits, the surest first.
    """
    components = farm.histories.components
    asked = np.flatnonzero(
        (components.positions >= FEWEST_POSITIONS) & ((components.part_kind == number) | (number == NONE))
    )
    hits = _hits_by_position(farm, asked)
    rows = [(int(place), counts) for place, counts in zip(asked, hits, strict=True) if counts.sum() >= FEWEST_HITS]
    found = [
        _scanned(farm, place, counts, len(rows))
        for place, counts in rows
        if machine in (NONE, int(components.machine[place]))
    ]
    return tuple(sorted(found, key=lambda one: (one.window.p_value, -one.window.ratio)))


def _scanned(farm: Farm, place: int, counts: Ints, looked_at: int) -> HotPlace:
    component = farm.components[place]
    # seeded by the component, so that the same log gives the same answer on every laptop
    rng = np.random.default_rng(component.id.int)
    window = scan_positions(counts, rng, simulations=SIMULATIONS)
    kind = farm.part_kinds[int(farm.histories.components.part_kind[place])]
    return HotPlace(component, kind.name, window, int(counts.sum()), looked_at)


def _hits_by_position(farm: Farm, places: Ints) -> list[Ints]:
    """Count the events by impact at each position, each event once, at the middle of the positions it broke."""
    breakages, positions = farm.histories.breakages, farm.histories.components.positions
    found = {int(place): np.zeros(int(positions[place]), dtype=np.int64) for place in places}
    by_impact = (breakages.cause == code_of(Cause.IMPACT)) & (breakages.at <= farm.now_microseconds)
    for row in np.flatnonzero(by_impact & np.isin(breakages.component, places)).tolist():
        counts = found[int(breakages.component[row])]
        broken = [position for position in breakages.positions[row] if position <= counts.size]
        if broken:
            counts[broken[len(broken) // 2] - 1] += 1
    return [found[int(place)] for place in places]
