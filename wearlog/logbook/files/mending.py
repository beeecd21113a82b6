"""Looking through a whole log for what does not go together, with what to do about it, for those above the logbook.

One laptop's entries are held against these rules when they are saved. What two laptops have together is looked at here, after a
merge and by `wearlog check`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final
from uuid import UUID

from wearlog.facts.closed_lists import StockChange
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Hitch, Reading
from wearlog.facts.parts import Part, StockMove
from wearlog.facts.wearing import Fitting
from wearlog.logbook.checks.doubts import meters_in_doubt
from wearlog.logbook.checks.row_checks import around
from wearlog.logbook.checks.soundness import OWN_NAMES, cross_findings
from wearlog.logbook.names import known_names
from wearlog.store.connection import Connection
from wearlog.store.finding import RestsOnGone, find_all, find_among, find_many, rests_on_gone
from wearlog.store.inspection import LogInspection, inspect_log
from wearlog.store.repair import Repaired, repair
from wearlog.store.schema import FACT_OF_TABLE
from wearlog.store.screening import near_in_time, used_twice

__all__ = [
    "LogFinding",
    "LogInspection",
    "Repaired",
    "inspect_log",
    "log_findings",
    "repair",
]


_SAME_NAME: Final = (
    "If the two are one, 'wearlog join' with their two numbers makes one of them; else give each its own name."
)


@dataclass(frozen=True, slots=True)
class LogFinding:
    """One thing that does not go together, and what to do about it."""

    message: str
    hint: str
    row_id: UUID


def log_findings(connection: Connection) -> tuple[LogFinding, ...]:
    """Return what does not go together in the log; the database looks through fittings, readings and uses of parts."""
    return (*_against_rules(connection), *_resting(connection), *_used_twice(connection))


def _against_rules(connection: Connection) -> Iterator[LogFinding]:
    known = known_names(connection)
    kinds: tuple[type[Fact], ...] = (*OWN_NAMES, Hitch)
    compared = [fact for kind in kinds for fact in find_all(connection, kind)]
    compared += find_among(connection, Reading, "meter_id", meters_in_doubt(connection))
    twice = near_in_time(connection, "fitting", "component_id", "fitted_at", until="removed_at", place="position")
    compared += find_among(connection, Fitting, "component_id", twice)
    at_hand = around((), known, known.farm, now=None, time_zone=None)
    for one in cross_findings(compared, known, at_hand):
        hint = _SAME_NAME if one.message.startswith("There is another ") else one.hint
        yield LogFinding(one.message, hint, one.fact_id)


def _resting(connection: Connection) -> Iterator[LogFinding]:
    found = list(rests_on_gone(connection))
    names = _names(connection, found)
    for one in found:
        gone = f"{_what(one.gone_table)}{names.get(one.gone_id, '')}"
        yield LogFinding(
            f"A {_what(one.table_name)} rests on the {gone}, which was taken away.",
            "Bring that back ('wearlog history' lists what took it away, 'undo --entry ID' undoes that) or take this away as well.",
            one.row_id,
        )


def _names(connection: Connection, found: list[RestsOnGone]) -> dict[UUID, str]:
    of_table: dict[str, set[UUID]] = defaultdict(set)
    for one in found:
        of_table[one.gone_table].add(one.gone_id)
    return {
        fact.id: f" '{name}'"
        for table, ids in of_table.items()
        for fact in find_many(connection, FACT_OF_TABLE[table], ids, voided_too=True)
        if (name := _name(fact))
    }


def _name(fact: Any) -> str:
    return str(getattr(fact, "name", "") or getattr(fact, "number", "") or getattr(fact, "place", ""))


def _what(table: str) -> str:
    return table.replace("_", " ")


def _used_twice(connection: Connection) -> Iterator[LogFinding]:
    """A part taken off the shelf twice for one breakage: each laptop noted it."""
    used: dict[tuple[UUID, UUID], list[StockMove]] = defaultdict(list)
    for move in find_among(connection, StockMove, "breakage_id", used_twice(connection), change=StockChange.USED):
        if move.breakage_id is not None:
            used[move.breakage_id, move.part_id].append(move)
    twice = {moves[-1].part_id for moves in used.values() if len(moves) > 1}
    parts = {part.id: part.number for part in find_many(connection, Part, twice, voided_too=True)}
    for (_, part_id), moves in used.items():
        for move in moves[1:]:
            yield LogFinding(
                f"'{parts[part_id]}' was taken off the shelf {len(moves)} times for one breakage.",
                "Take one of the two back: 'wearlog history' names the entries.",
                move.id,
            )
