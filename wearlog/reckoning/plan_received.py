"""What came in already of the orders of a season's plan: that money is spent. It does not say what is still to come."""

from __future__ import annotations

from wearlog.facts.closed_lists import StockChange
from wearlog.facts.parts import StockMove
from wearlog.facts.planning import order_mark, order_note
from wearlog.facts.work import Season
from wearlog.reckoning.part_choice import PartChoices
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all


def received_minor(connection: Connection, parts: PartChoices, season: Season | None) -> int:
    """Return what was paid for deliveries on orders of this season's plan, in whole minor units.

    A piece whose cost nobody wrote counts at the price of its part, and for nothing where there is none. What was bought beside the
    plan's orders is not of its budget.
    """
    if season is None:
        return 0
    ours = order_note(order_mark(season.harvest_year, ""))
    prices = {one.part.id: one.price_minor or 0 for one in parts.parts}
    return sum(
        move.quantity * (prices.get(move.part_id, 0) if move.unit_cost_minor is None else move.unit_cost_minor)
        for move in find_all(connection, StockMove, change=StockChange.RECEIVED)
        if move.note.startswith(ours)
    )
