"""What lies on the shelf, what it cost, and what is low."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from uuid import UUID

from wearlog.costs.stock_cost import UNKNOWN_COST, StockCosts, StockMoves, first_in_first_out
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.parts import Part, PartFit, StockMove
from wearlog.reckoning.named_things import kind_names
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_in_order, settings_of
from wearlog.store.opening import Store


@dataclass(frozen=True, slots=True)
class Shelf:
    """One part: how many are on hand, what they cost (those whose cost is known), how many to order in whole packs.

    `on_hand` is as the book says; `short` counts pieces that were used although the book showed none: time to count.
    """

    part: Part
    kind_ids: tuple[UUID, ...]
    on_hand: int
    worth_minor: int
    short: int
    order: int

    @property
    def is_low(self) -> bool:
        return self.on_hand < self.part.keep_on_hand


@dataclass(frozen=True, slots=True)
class CostedMoves:
    """All stock moves in the order of time with what each cost."""

    moves: tuple[StockMove, ...]
    parts: tuple[Part, ...]
    costs: StockCosts


def costed_moves(connection: Connection) -> CostedMoves:
    """Read all stock moves and cost them first in, first out."""
    parts = tuple(find_all(connection, Part))
    number = {part.id: place for place, part in enumerate(parts)}
    moves = tuple(move for move in find_in_order(connection, StockMove, "at") if move.part_id in number)
    as_arrays = StockMoves(
        part=[number[move.part_id] for move in moves],
        change=[move.change for move in moves],
        quantity=[move.quantity for move in moves],
        unit_cost_minor=[UNKNOWN_COST if move.unit_cost_minor is None else move.unit_cost_minor for move in moves],
    )
    return CostedMoves(moves, parts, first_in_first_out(as_arrays))


def shelves(connection: Connection) -> tuple[Shelf, ...]:
    """Return every part, the low ones first, then by number."""
    costed = costed_moves(connection)
    kinds: dict[UUID, list[UUID]] = defaultdict(list)
    for fit in find_all(connection, PartFit):
        kinds[fit.part_id].append(fit.part_kind_id)
    short: dict[UUID, int] = defaultdict(int)
    for move, units in zip(costed.moves, costed.costs.short_units, strict=True):
        short[move.part_id] += int(units)
    found = []
    # a part without a move has no place in the arrays of the moves when there are none at all
    on_hand, worth = costed.costs.on_hand, costed.costs.on_hand_minor
    for place, part in enumerate(costed.parts):
        here = int(on_hand[place]) if place < len(on_hand) else 0
        value = int(worth[place]) if place < len(worth) else 0
        found.append(Shelf(part, tuple(kinds[part.id]), here, value, short[part.id], _order(part, here)))
    return tuple(sorted(found, key=lambda shelf: (not shelf.is_low, shelf.part.number)))


@dataclass(frozen=True, slots=True)
class ShelfView:
    """Every part, and what it takes to say them: the names of the kinds that they fit, the farm's settings."""

    shelves: tuple[Shelf, ...]
    kind_names: Mapping[UUID, str]
    settings: FarmSettings


def shelf_view(store: Store) -> ShelfView:
    """Return the shelf of a log."""
    with store.reading() as connection:
        return ShelfView(shelves(connection), kind_names(connection), settings_of(connection))


def _order(part: Part, on_hand: int) -> int:
    """Pieces to order so that there are as many as should be kept, in whole packs."""
    missing = part.keep_on_hand - on_hand
    return 0 if missing <= 0 else -(-missing // part.pack_size) * part.pack_size
