"""Which part goes onto a component, what it costs today and how many lie on the shelf. It decides nothing about buying."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from enum import StrEnum, unique
from uuid import UUID

from wearlog.facts.closed_lists import StockChange
from wearlog.facts.parts import Part, PartFit
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.stock import CostedMoves, costed_moves
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all


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
    paid = [
        move.unit_cost_minor
        for move in costed.moves
        if move.part_id == part.id and move.change is StockChange.RECEIVED and move.unit_cost_minor is not None
    ]
    if paid:
        return ShelfPart(part, paid[-1], PriceSource.LAST_RECEIPT, max(here, 0))
    return ShelfPart(part, None, PriceSource.MISSING, max(here, 0))
