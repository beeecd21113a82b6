"""What stands in for records while a farm has none: the kinds that are fitted and that the trade has a starting guess for."""

from __future__ import annotations

from dataclasses import dataclass

from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.parts import PartKind
from wearlog.reckoning.farm import Farm


@dataclass(frozen=True, slots=True)
class GuessedKind:
    """A kind that is fitted; `positions` on all machines together."""

    kind: PartKind
    positions: int


@dataclass(frozen=True, slots=True)
class GuessView:
    """The kinds, those with most positions first; none as soon as anything broke."""

    settings: FarmSettings
    kinds: tuple[GuessedKind, ...]


def guess_view(farm: Farm) -> GuessView:
    """Return what is guessed on a farm without a breakage."""
    if len(farm.histories.breakages.at):
        return GuessView(farm.settings, ())
    positions: dict[object, int] = {}
    for component in farm.components:
        positions[component.part_kind_id] = positions.get(component.part_kind_id, 0) + component.positions
    found = [
        GuessedKind(kind, positions[kind.id])
        for kind in farm.part_kinds
        if kind.id in positions and kind.life_low_usage is not None
    ]
    return GuessView(farm.settings, tuple(sorted(found, key=lambda one: -one.positions)))
