"""Entering parts and what comes on and goes off the shelf; how many are on hand."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final
from uuid import UUID

from wearlog.errors import NotFoundError, RefusedError
from wearlog.facts.closed_lists import StockChange
from wearlog.facts.fact import Fact
from wearlog.facts.parts import Part, PartFit, PartKind, StockMove, roughly_note
from wearlog.facts.wearing import Component
from wearlog.facts.work import order_note
from wearlog.logbook.deed_sentences import part_sentence, stock_sentence
from wearlog.logbook.names import known_names, pick
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.logbook.saving import Done, save
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_by_id, find_in_order
from wearlog.store.opening import Store
from wearlog.store.shelf import OnShelf, on_shelf, parts_fitting


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
        said = part_sentence(part, kinds, on_hand=on_hand)
        return save(store, connection, said, new=new, known=known_names(connection))


def change_part(store: Store, part: Part, kinds: Sequence[PartKind]) -> Done:
    """Enter a part that is there already as it is now called, priced, packed and kept, and what it fits.

    A kind it fits on one machine only stays as it is.
    """
    with store.writing() as connection:
        find_by_id(connection, Part, part.id)
        fits = find_all(connection, PartFit, part_id=part.id)
        wanted = {kind.id for kind in kinds}
        gone = [fit for fit in fits if fit.part_kind_id not in wanted and fit.machine_id is None]
        there = {fit.part_kind_id for fit in fits}
        new = [PartFit(part_id=part.id, part_kind_id=kind.id) for kind in kinds if kind.id not in there]
        said = part_sentence(part, kinds, on_hand=None)
        known = known_names(connection)
        return save(store, connection, said, new=new, changed=[part], gone=gone, known=known)


def off_shelf_named(parts: Sequence[Part], text: str) -> tuple[Part, int]:
    """Read FI-2 or FI-2x3: the part, by its number, its name or a beginning of them, and how many of it.

    Raises
    ------
    NotFoundError, UsageError
        When no part is called so, or more than one.
    """
    name, times, count = text.strip().rpartition("x")
    number, pieces = (name, int(count)) if times and name and count.isdigit() else (text, 1)
    return pick(parts, lambda row: f"{row.number} {row.name}", number, "part"), pieces


def all_off_shelf_named(parts: Sequence[Part], text: str) -> tuple[tuple[Part, int], ...]:
    """Read several of them with commas between: FI-2, KS-3x4. Nothing is none. Errors as `off_shelf_named`."""
    return tuple(off_shelf_named(parts, one) for one in text.split(",") if one.strip())


def move_stock(store: Store, move: StockMove) -> Done:
    """Enter parts received, returned, used or counted."""
    with store.writing() as connection:
        part = find_by_id(connection, Part, move.part_id)
        known = known_names(connection)
        done = save(store, connection, stock_sentence(FarmSpeaker(known.farm), part, move), new=[move], known=known)
        left = on_hand(find_in_order(connection, StockMove, "at", part_id=part.id))
        return Done(done.deed, done.said, done.facts, (f"{left} on hand now",))


def enter_roughly(store: Store, part: int, quantity: int, *, harvest_year: int, at: datetime) -> Done:
    """Enter pieces that broke in a season, which day and where nobody knows.

    Parameters
    ----------
    part : int
        Its place among the parts in the order of their ids.
    at : datetime
        Before the count that found them gone.

    Raises
    ------
    RefusedError
        When there are none.
    """
    if quantity < 1:
        raise RefusedError("Nothing is missing.", "Write how many broke, like 12.")
    with store.reading() as connection:
        part_id = sorted(one.id for one in find_all(connection, Part))[part]
    note = roughly_note(harvest_year)
    return move_stock(store, StockMove(part_id=part_id, at=at, change=StockChange.USED, quantity=quantity, note=note))


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


#: a part that nobody entered a move of
_NONE_THERE: Final = OnShelf(0, None)


def _on_shelf_for(connection: Connection, kind_id: UUID, machine_id: UUID) -> tuple[Part, OnShelf] | None:
    """Return the part to take for a kind on a machine and what lies there: one made for the machine first, then most."""
    fits = parts_fitting(connection, kind_id, machine_id)
    if not fits:
        return None
    shelf = on_shelf(connection, {part_id for part_id, _ in fits})

    def rank(fit: tuple[UUID, bool]) -> tuple[bool, bool, int]:
        part_id, made_for_it = fit
        left = shelf.get(part_id, _NONE_THERE).pieces
        # what lies there goes before what fits better: only it can be put on now
        return left > 0, made_for_it, left

    best, _ = max(fits, key=rank)
    return find_by_id(connection, Part, best), shelf.get(best, _NONE_THERE)


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
        there = on_shelf(connection, [part_id]).get(part_id, _NONE_THERE)
    else:
        found = _on_shelf_for(connection, component.part_kind_id, component.machine_id)
        if found is None:
            return None, ("no part number is known for it, so nothing came off stock",)
        part, there = found
    move = StockMove(
        part_id=part.id,
        at=taking.at,
        change=StockChange.USED,
        quantity=taking.count,
        repair_id=taking.repair_id,
        breakage_id=taking.breakage_id,
    )
    return move, (_what_is_left(part, there, move),)


def _what_is_left(part: Part, there: OnShelf, move: StockMove) -> str:
    used, left = move.quantity, there.pieces
    if there.counted_at is not None and move.at < there.counted_at:
        # counted since: what was used before the count is in it already
        return f"{part.number}: {used} used before it was counted again, {left} on hand as counted"
    after = left - used
    if after < 0:
        return f"{part.number}: {used} used but the log knew of {max(left, 0)} only; count them"
    low = f", below the {part.keep_on_hand} to keep" if after < part.keep_on_hand else ""
    return f"{part.number}: {used} used, {after} left{low}"


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
        known = known_names(connection)
        when = FarmSpeaker(known.farm).time_said(at)
        said = f"received {pieces:,} pieces of {len({line.part_id for line in came})} parts, {when}"
        also = [f"{line.quantity} x {parts[line.part_id].number} {parts[line.part_id].name}" for line in came]
        return save(store, connection, said, new=moves, known=known, also=also)
