"""What lies on the shelf, what it cost, and what is low."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum, unique
from uuid import UUID

import numpy as np

from wearlog.costs.stock_cost import UNKNOWN_COST, StockCosts, StockMoves, first_in_first_out
from wearlog.facts.closed_lists import StockChange
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.parts import Part, PartFit
from wearlog.reckoning.farm import Farm, kind_names
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, settings_of
from wearlog.store.histories import NONE, code_of
from wearlog.store.opening import Store
from wearlog.store.paid_rows import MoveRows, moves
from wearlog.store.plain_reader import PlainReader

_RECEIVED = code_of(StockChange.RECEIVED)


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
    """All stock moves in the order of time with what each cost; `moves.part` numbers `parts`."""

    moves: MoveRows
    parts: tuple[Part, ...]
    costs: StockCosts


def costed_moves(connection: Connection) -> CostedMoves:
    """Read all stock moves and cost them first in, first out."""
    parts = tuple(find_all(connection, Part))
    rows = moves(PlainReader(connection), {part.id.bytes: place for place, part in enumerate(parts)})
    changes = list(StockChange)
    as_lists = StockMoves(
        part=rows.part.tolist(),
        change=[changes[one] for one in rows.change.tolist()],
        quantity=rows.quantity.tolist(),
        unit_cost_minor=np.where(rows.unit_cost_minor == NONE, UNKNOWN_COST, rows.unit_cost_minor).tolist(),
    )
    return CostedMoves(rows, parts, first_in_first_out(as_lists))


def shelves(connection: Connection, costed: CostedMoves | None = None) -> tuple[Shelf, ...]:
    """Return every part, the low ones first, then by number; `costed` are the moves where they are read already."""
    costed = costed or costed_moves(connection)
    kinds: dict[UUID, list[UUID]] = defaultdict(list)
    for fit in find_all(connection, PartFit):
        kinds[fit.part_id].append(fit.part_kind_id)
    short = np.zeros(len(costed.parts), dtype=np.int64)
    np.add.at(short, costed.moves.part, costed.costs.short_units)
    found = []
    # a part without a move has no place in the arrays of the moves when there are none at all
    on_hand, worth = costed.costs.on_hand, costed.costs.on_hand_minor
    for place, part in enumerate(costed.parts):
        here = int(on_hand[place]) if place < len(on_hand) else 0
        value = int(worth[place]) if place < len(worth) else 0
        found.append(Shelf(part, tuple(kinds[part.id]), here, value, int(short[place]), _order(part, here)))
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


@unique
class PriceSource(StrEnum):
    """Where a price comes from."""

    LIST = "part_list"
    LAST_RECEIPT = "last_receipt"
    MISSING = "missing"


@dataclass(frozen=True, slots=True)
class ShelfPart:
    """A part, its price in whole minor units (None: nobody wrote one) and how many are on hand, never below zero."""

    part: Part
    price_minor: int | None
    price_source: PriceSource
    on_hand: int


@dataclass(frozen=True, slots=True)
class PartChoices:
    """Every part of the log by its place, and which one each component takes (by component id; absent: none fits)."""

    parts: tuple[ShelfPart, ...]
    of_component: dict[UUID, int]

    def part_of(self, component_id: UUID) -> ShelfPart | None:
        """Return the part that a component takes."""
        place = self.of_component.get(component_id)
        return None if place is None else self.parts[place]


def part_choices(connection: Connection, farm: Farm) -> PartChoices:
    """Read the parts and choose one for each component.

    Of several that fit: one made for the machine first, then one that has a price, then the one of which most are on hand.
    """
    costed = costed_moves(connection)
    parts = tuple(_shelf_part(costed, place) for place in range(len(costed.parts)))
    place_of = {one.part.id: place for place, one in enumerate(parts)}
    fits: dict[UUID, list[PartFit]] = defaultdict(list)
    for fit in find_all(connection, PartFit):
        if fit.part_id in place_of:
            fits[fit.part_kind_id].append(fit)
    chosen = {}
    for component in farm.components:
        found = [fit for fit in fits[component.part_kind_id] if fit.machine_id in (None, component.machine_id)]
        if found:
            chosen[component.id] = place_of[
                max(found, key=lambda fit: _rank(fit, parts[place_of[fit.part_id]])).part_id
            ]
    return PartChoices(parts, chosen)


def _rank(fit: PartFit, shelf: ShelfPart) -> tuple[bool, bool, int, str]:
    return (fit.machine_id is not None, shelf.price_minor is not None, shelf.on_hand, shelf.part.number)


def _shelf_part(costed: CostedMoves, place: int) -> ShelfPart:
    part = costed.parts[place]
    on_hand = costed.costs.on_hand
    here = int(on_hand[place]) if place < on_hand.size else 0
    if part.price_minor is not None:
        return ShelfPart(part, part.price_minor, PriceSource.LIST, max(here, 0))
    moves = costed.moves
    paid = np.flatnonzero((moves.part == place) & (moves.change == _RECEIVED) & (moves.unit_cost_minor != NONE))
    if paid.size:
        return ShelfPart(part, int(moves.unit_cost_minor[paid[-1]]), PriceSource.LAST_RECEIPT, max(here, 0))
    return ShelfPart(part, None, PriceSource.MISSING, max(here, 0))
