"""Entering a delivery: all lines of an order received into stock as one deed. Reading order files is in exchange/."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from wearlog.errors import NotFoundError, RefusedError
from wearlog.facts.closed_lists import StockChange
from wearlog.facts.parts import Part, StockMove
from wearlog.facts.planning import order_note
from wearlog.logbook.names import known_names
from wearlog.logbook.saving import Done, save
from wearlog.store.finding import find_all
from wearlog.store.opening import Store


@dataclass(frozen=True, slots=True)
class Delivered:
    """One line of a delivery: how many pieces came, and what one cost (None: nobody wrote it).

    `order` is the mark of the order it came from; it is kept with the entry, so that one order is not received twice.
    """

    part_id: UUID
    quantity: int
    unit_cost_minor: int | None
    order: str = ""


def receive_order(store: Store, lines: Sequence[Delivered], *, at: datetime, again: bool = False) -> Done:
    """Put a delivery into stock: one deed, one undo.

    Parameters
    ----------
    lines : sequence of Delivered
        Lines of nothing are passed over: what did not come is entered when it comes.
    again : bool
        Receive it although some of it was received before (the rest of a delivery in two parts).

    Raises
    ------
    RefusedError
        When nothing came, a quantity is negative, or this order was received before.
    NotFoundError
        When a part is not in the log.
    """
    came = [line for line in lines if line.quantity]
    if not came:
        raise RefusedError("Nothing came with this order.", "Write how many pieces of each part came.")
    if any(line.quantity < 0 for line in came):
        raise RefusedError("Less than nothing cannot come.", "Write 0 for what did not come.")
    orders = sorted({line.order for line in came if line.order})
    with store.writing() as connection:
        parts = {part.id: part for part in find_all(connection, Part)}
        if any(line.part_id not in parts for line in came):
            raise NotFoundError("A part of this order is not in the log.", "Enter it first: wearlog add part.")
        for order in orders:
            if not again and find_all(connection, StockMove, change=StockChange.RECEIVED, note=order_note(order)):
                raise RefusedError(
                    f"Order {order} was received before.",
                    "'wearlog undo' takes that back; --again receives it again.",
                )
        moves = [
            StockMove(
                part_id=line.part_id,
                at=at,
                change=StockChange.RECEIVED,
                quantity=line.quantity,
                unit_cost_minor=line.unit_cost_minor,
                note=order_note(line.order),
            )
            for line in came
        ]
        pieces = sum(line.quantity for line in came)
        said = f"received {pieces:,} pieces of {len({line.part_id for line in came})} parts"
        also = [f"{line.quantity} x {parts[line.part_id].number} {parts[line.part_id].name}" for line in came]
        return save(store, connection, said, new=moves, known=known_names(connection), also=also)
