"""Taking parts off the shelf when they are put on a machine: which part, how many are left, what to say. Saves nothing itself."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from wearlog.facts.closed_lists import StockChange
from wearlog.facts.parts import Part, StockMove
from wearlog.facts.wearing import Component
from wearlog.logbook.stocking import on_hand, part_for
from wearlog.store.connection import Connection
from wearlog.store.finding import find_by_id, find_in_order


@dataclass(frozen=True, slots=True)
class Taking:
    """How many pieces are put on, when, and for which repair or breakage."""

    count: int
    at: datetime
    repair_id: UUID | None = None
    breakage_id: UUID | None = None


def take_off_shelf(
    connection: Connection, component: Component, taking: Taking, part_id: UUID | None = None
) -> tuple[StockMove | None, tuple[str, ...]]:
    """Return the move that takes the part off the shelf, and what to say: what is left, or that nothing was taken.

    Parameters
    ----------
    part_id : UUID, optional
        By default the part that fits the component.
    """
    if part_id is not None:
        part = find_by_id(connection, Part, part_id)
    else:
        found = part_for(connection, component.part_kind_id, component.machine_id)
        if found is None:
            return None, ("no part number is known for it, so nothing came off stock",)
        part = found[0]
    move = StockMove(
        part_id=part.id,
        at=taking.at,
        change=StockChange.USED,
        quantity=taking.count,
        repair_id=taking.repair_id,
        breakage_id=taking.breakage_id,
    )
    moves = find_in_order(connection, StockMove, "at", part_id=part.id)
    return move, (_what_is_left(part, moves, move),)


def _what_is_left(part: Part, moves: list[StockMove], move: StockMove) -> str:
    used, left = move.quantity, on_hand(moves)
    after = on_hand(sorted([*moves, move], key=lambda one: one.at))
    if after == left:
        # counted since: what was used before the count is in it already
        return f"{part.number}: {used} used before it was counted again, {after} on hand as counted"
    if after < 0:
        return f"{part.number}: {used} used but the log knew of {max(left, 0)} only; count them"
    low = f", below the {part.keep_on_hand} to keep" if after < part.keep_on_hand else ""
    return f"{part.number}: {used} used, {after} left{low}"
