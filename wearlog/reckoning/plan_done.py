"""Which choices by hand are done: another part was put on after the choice was entered. It changes no choice."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from uuid import UUID

from wearlog.facts.closed_lists import Choice
from wearlog.facts.planning import PlanChoice
from wearlog.facts.wearing import Fitting
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all

#: the version of ids that are made when something is entered, in the order of time (RFC 9562, 5.7)
_ENTERED = 7


def done_by_hand(connection: Connection, choices: Iterable[PlanChoice]) -> Mapping[UUID, frozenset[int]]:
    """Return the positions whose choice to replace them is done, by component.

    What counts is what was entered first, the choice or the fitting, not the day that was written beside it: work is often entered
    days later. Imported rows count as entered before all others.
    """
    wanted: dict[UUID, dict[int, PlanChoice]] = defaultdict(dict)
    for choice in sorted(choices, key=lambda one: one.id):
        if choice.choice is Choice.REPLACE:
            wanted[choice.component_id].update(dict.fromkeys(choice.positions, choice))
    found = {}
    for component_id, by_position in wanted.items():
        on = {
            one.position: one
            for one in find_all(connection, Fitting, component_id=component_id)
            if one.removed_at is None
        }
        found[component_id] = frozenset(
            position
            for position, choice in by_position.items()
            if position in on and _entered_after(on[position].id, choice.id)
        )
    return found


def _entered_after(later: UUID, earlier: UUID) -> bool:
    return later.version == _ENTERED and (earlier.version != _ENTERED or later.int > earlier.int)
