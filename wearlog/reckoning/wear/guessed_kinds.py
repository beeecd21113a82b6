"""What stands in for records while a farm has none: the kinds that are fitted and that the trade has a starting guess for."""

from __future__ import annotations

from dataclasses import dataclass

from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.parts import PartKind
from wearlog.reckoning.farm import Farm
from wearlog.wear.prior import SHAPE_LIMITS, Prior, starting_guess

_LEAST_ROOM = 1.05


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


def guess_of(kind: PartKind) -> Prior:
    """Return the starting guess of a kind as the maths takes it.

    A guess that leaves no room (its two ends are one) is taken 5 % wide on either side, a shape beyond what parts do is brought
    back to that.
    """
    life, shape = None, None
    if kind.life_low_usage is not None and kind.life_high_usage is not None:
        low, high = float(kind.life_low_usage), float(kind.life_high_usage)
        life = (low, high) if low < high else (low / _LEAST_ROOM, high * _LEAST_ROOM)
    if kind.shape_low_thousandths is not None and kind.shape_high_thousandths is not None:
        flattest, steepest = SHAPE_LIMITS
        low, high = (
            min(max(one / 1000, flattest), steepest)
            for one in (kind.shape_low_thousandths, kind.shape_high_thousandths)
        )
        shape = (low, high)
    return starting_guess(life, shape)
