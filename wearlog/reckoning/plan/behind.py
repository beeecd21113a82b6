"""What of a season's plan is behind already: choices that are done, orders that came in, shop hours that were worked."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, time
from uuid import UUID

from wearlog.facts.closed_lists import Choice, RepairKind, StockChange
from wearlog.facts.parts import StockMove
from wearlog.facts.planning import PlanChoice, order_mark, order_note
from wearlog.facts.wearing import Fitting, Repair
from wearlog.facts.work import Season
from wearlog.plan.budget import Limits
from wearlog.reckoning.farm.whole_farm import Farm
from wearlog.reckoning.parts.stock import PartChoices
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all
from wearlog.store.journal import entered_when
from wearlog.store.schema.types import microseconds


@dataclass(frozen=True, slots=True)
class Spent:
    """Money that went into deliveries on the plan's orders, and shop work done since the last acre was cut."""

    received_minor: int
    shop_seconds: int

    def left_of(self, limits: Limits) -> Limits:
        """Return what there still is of the limits: nothing, not less, where more was spent than there was."""
        return Limits(_left(limits.budget_minor, self.received_minor), _left(limits.shop_seconds, self.shop_seconds))


def spent(connection: Connection, farm: Farm, parts: PartChoices, season: Season | None) -> Spent:
    """Return what is behind of the plan for a season; nothing where there is no season to come."""
    if season is None:
        return Spent(0, 0)
    return Spent(_received_minor(connection, parts, season), _shop_seconds(connection, farm, season))


def _received_minor(connection: Connection, parts: PartChoices, season: Season) -> int:
    """What was paid for deliveries on orders of this season's plan.

    A piece whose cost nobody wrote counts at the price of its part, and for nothing where there is none. What was bought beside the
    plan's orders is not of its budget.
    """
    ours = order_note(order_mark(season.harvest_year, ""))
    prices = {one.part.id: one.price_minor or 0 for one in parts.parts}
    return sum(
        move.quantity * (prices.get(move.part_id, 0) if move.unit_cost_minor is None else move.unit_cost_minor)
        for move in find_all(connection, StockMove, change=StockChange.RECEIVED)
        if move.note.startswith(ours)
    )


def _shop_seconds(connection: Connection, farm: Farm, season: Season) -> int:
    """Man-time of planned work since the last acre before the season was cut: what this winter did already."""
    now = microseconds(farm.now)
    begins = microseconds(datetime.combine(season.starts_on, time.min, tzinfo=UTC))
    ends = farm.histories.runs.end
    behind = ends[ends <= min(now, begins)]
    if not behind.size:
        return 0
    last = int(behind.max())
    return sum(
        repair.labour_seconds or 0
        for repair in find_all(connection, Repair, kind=RepairKind.PLANNED)
        if last < microseconds(repair.started_at) <= now
    )


def _left(limit: int | None, gone: int) -> int | None:
    return None if limit is None else max(limit - gone, 0)


#: the version of ids that are made when something is entered (RFC 9562, 5.7); those of imported rows are derived
_ENTERED = 7


def in_order_of_entry(connection: Connection, choices: Iterable[PlanChoice]) -> list[PlanChoice]:
    """Return choices by the journal's own time: of two for one position (after a merge) the later stands, whatever clocks said."""
    known = list(choices)
    order = entered_when(connection, (one.id for one in known))
    return sorted(known, key=lambda one: order[one.id])


def done_by_hand(connection: Connection, choices: Iterable[PlanChoice]) -> Mapping[UUID, frozenset[int]]:
    """Return the positions whose choice to replace them is done, by component.

    What counts is what was entered first by the journal, the choice or the fitting, not the day that was written beside it: work is
    often entered days later. Imported rows count as entered before all others.

    Parameters
    ----------
    choices : iterable of PlanChoice
        In the order in which they were entered.
    """
    wanted: dict[UUID, dict[int, PlanChoice]] = defaultdict(dict)
    for choice in choices:
        if choice.choice is Choice.REPLACE:
            wanted[choice.component_id].update(dict.fromkeys(choice.positions, choice))
    on: dict[tuple[UUID, int], UUID] = {
        (component_id, one.position): one.id
        for component_id in wanted
        for one in find_all(connection, Fitting, component_id=component_id)
        if one.removed_at is None
    }
    chosen = {choice.id for by_position in wanted.values() for choice in by_position.values()}
    order = entered_when(connection, chosen.union(on.values()))
    return {
        component_id: frozenset(
            position
            for position, choice in by_position.items()
            if (fitting := on.get((component_id, position))) is not None and _is_later(fitting, choice.id, order)
        )
        for component_id, by_position in wanted.items()
    }


def _is_later(later: UUID, earlier: UUID, order: Mapping[UUID, tuple[datetime, UUID]]) -> bool:
    return later.version == _ENTERED and (earlier.version != _ENTERED or order[later] > order[earlier])
