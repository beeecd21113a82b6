"""Entering parts and what comes on and goes off the shelf; how many are on hand."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime
from uuid import UUID

from wearlog.facts.closed_lists import StockChange
from wearlog.facts.fact import Fact
from wearlog.facts.parts import Part, PartFit, PartKind, StockMove
from wearlog.logbook.deed_sentences import stock_sentence
from wearlog.logbook.names import known_names
from wearlog.logbook.said_measures import farm_speaker
from wearlog.logbook.saving import Done, save
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_by_id, find_in_order
from wearlog.store.opening import Store


def add_part(store: Store, part: Part, kinds: Sequence[PartKind], *, on_hand: int = 0, at: datetime) -> Done:
    """Enter a part, what it fits, and how many lie on the shelf."""
    new: list[Fact] = [part, *(PartFit(part_id=part.id, part_kind_id=kind.id) for kind in kinds)]
    if on_hand:
        new.append(
            StockMove(
                part_id=part.id, at=at, change=StockChange.COUNTED, quantity=on_hand, unit_cost_minor=part.price_minor
            )
        )
    with store.writing() as connection:
        said = f"added the part {part.number} {part.name}"
        return save(store, connection, said, new=new, known=known_names(connection))


def change_part(store: Store, part: Part, kinds: Sequence[PartKind]) -> Done:
    """Enter a part that is there already as it is now called, priced, packed and kept, and what it fits.

    A kind it fits on one machine only stays as it is.
    """
    with store.writing() as connection:
        find_by_id(connection, Part, part.id)
        fits = find_all(connection, PartFit, part_id=part.id)
        wanted = {kind.id for kind in kinds}
        gone = [replace(fit, voided=True) for fit in fits if fit.part_kind_id not in wanted and fit.machine_id is None]
        there = {fit.part_kind_id for fit in fits}
        new = [PartFit(part_id=part.id, part_kind_id=kind.id) for kind in kinds if kind.id not in there]
        said = f"changed the part {part.number} {part.name}"
        known = known_names(connection)
        return save(store, connection, said, new=new, changed=[part, *gone], known=known)


def move_stock(store: Store, move: StockMove) -> Done:
    """Enter parts received, returned, used or counted."""
    with store.writing() as connection:
        part = find_by_id(connection, Part, move.part_id)
        known = known_names(connection)
        done = save(store, connection, stock_sentence(farm_speaker(known), part, move), new=[move], known=known)
        left = on_hand(find_in_order(connection, StockMove, "at", part_id=part.id))
        return Done(done.deed, done.said, done.facts, (f"{left} on hand now",))


def on_hand(moves: Iterable[StockMove]) -> int:
    """Return how many pieces of one part there are after its moves, in the order of time.

    A count states how many there are. The log can come out below zero when more were used than were ever entered; that is
    told as it is, so that somebody counts.
    """
    quantity = 0
    for move in moves:
        if move.change is StockChange.COUNTED:
            quantity = move.quantity
        elif move.change is StockChange.USED:
            quantity -= move.quantity
        else:
            quantity += move.quantity
    return quantity


def part_for(connection: Connection, kind_id: UUID, machine_id: UUID) -> tuple[Part, int] | None:
    """Return the part to take for a kind on a machine and how many are on hand: one made for the machine first, then most."""
    fits = [
        fit
        for fit in find_all(connection, PartFit, part_kind_id=kind_id)
        if fit.machine_id is None or fit.machine_id == machine_id
    ]
    best: tuple[tuple[bool, bool, int], Part, int] | None = None
    for fit in fits:
        left = on_hand(find_in_order(connection, StockMove, "at", part_id=fit.part_id))
        rank = (left > 0, fit.machine_id is not None, left)
        if best is None or rank > best[0]:
            best = (rank, find_by_id(connection, Part, fit.part_id), left)
    return None if best is None else (best[1], best[2])
