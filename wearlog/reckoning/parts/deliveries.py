"""What orders of parts really took: which delivery came of which order, how many days that was, and what is still to come."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import StockChange
from wearlog.facts.parts import Part, PartOrder, StockMove, Supplier, Supply
from wearlog.facts.plain_text import folded
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all

_DAY_SECONDS: Final = 86_400.0


@dataclass(frozen=True, slots=True)
class Delivery:
    """An order that came: the calendar days from the order to the first of it that came, above 0."""

    order: PartOrder
    days: float


@dataclass(frozen=True, slots=True)
class OnOrder:
    """An order that is not all there yet."""

    order: PartOrder
    missing: int


@dataclass(frozen=True, slots=True)
class PartTimes:
    """What is known of how long a part takes.

    Attributes
    ----------
    quoted : int or None
        Days that are quoted: by its supplier for this part, else as written with the part.
    taken : tuple of float
        Days that its deliveries took.
    """

    quoted: int | None
    taken: tuple[float, ...] = ()


def deliveries(orders: Iterable[PartOrder], moves: Iterable[StockMove]) -> tuple[list[Delivery], list[OnOrder]]:
    """Find what came of each order.

    A receipt that names its order fills that; any other fills the oldest order of its part that was made before it and is not all
    there. What came in two counts by the first. A receipt before its order tells no time.
    """
    missing: dict[UUID, int] = {}
    first: dict[UUID, Delivery] = {}
    of_part: dict[UUID, list[PartOrder]] = defaultdict(list)
    by_id = {one.id: one for one in orders}
    for order in sorted(by_id.values(), key=lambda one: (one.ordered_at, one.id.int)):
        missing[order.id] = order.quantity
        of_part[order.part_id].append(order)
    came = [one for one in moves if one.change is StockChange.RECEIVED]
    # those that name their order go before those that look for one
    for move in sorted(came, key=lambda one: (one.part_order_id is None, one.at, one.id.int)):
        left = move.quantity
        named = by_id.get(move.part_order_id) if move.part_order_id else None
        wanted = of_part[move.part_id] if move.part_order_id is None else [] if named is None else [named]
        for order in wanted:
            stopped = order.cancelled_at is not None and order.cancelled_at <= move.at
            if left <= 0 or (named is None and (order.ordered_at > move.at or not missing[order.id] or stopped)):
                continue
            here = min(left, missing[order.id])
            left, missing[order.id] = left - here, missing[order.id] - here
            days = (move.at - order.ordered_at).total_seconds() / _DAY_SECONDS
            known = first.get(order.id)
            if days > 0 and (known is None or days < known.days):
                first[order.id] = Delivery(order, days)
    open_ones = [one for one in by_id.values() if missing[one.id] and one.cancelled_at is None]
    return list(first.values()), [OnOrder(one, missing[one.id]) for one in open_ones]


def part_times(connection: Connection) -> Mapping[UUID, PartTimes]:
    """Return what is known of every part, by its id: of deliveries those by the supplier that is written with the part.

    An order that names no supplier counts as his; where the part names none all of its deliveries count.
    """
    parts = find_all(connection, Part)
    names = {one.id: folded(one.name) for one in find_all(connection, Supplier)}
    quoted: dict[tuple[UUID, str], int] = {
        (one.part_id, names.get(one.supplier_id, "")): one.quoted_lead_days
        for one in find_all(connection, Supply)
        if one.quoted_lead_days is not None
    }
    came, _ = deliveries(find_all(connection, PartOrder), find_all(connection, StockMove, change=StockChange.RECEIVED))
    found = {}
    for part in parts:
        own = folded(part.supplier)
        taken = tuple(
            one.days
            for one in came
            if one.order.part_id == part.id
            and (not own or one.order.supplier_id is None or names.get(one.order.supplier_id) == own)
        )
        found[part.id] = PartTimes(quoted.get((part.id, own), part.lead_time_days), taken)
    return found
