"""What looks entered twice, as pairs to be offered: rows of one name, and what two laptops told of the same place and time.

Nothing is joined here. What one laptop entered twice was asked about when it was entered, so what people tell of is looked for
among entries of different laptops alone. A pair that a person kept apart, or parted again, is offered no more.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import timedelta
from typing import Any, Final
from uuid import UUID

from wearlog.facts.fact import Fact
from wearlog.facts.papers import SameAs
from wearlog.logbook.twins.alike import LOOKS, NAMED
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_voided
from wearlog.store.journal import entered_when, entering_devices
from wearlog.store.schema import TABLE_OF_FACT

_NAME: Final = "the same name"
#: nothing that looks alike lies further apart: runs are hours long
_FARTHEST: Final = timedelta(days=2)


@dataclass(frozen=True, slots=True)
class Twins:
    """Two rows that look like one thing, the one that was entered first (and would be kept) first, and where each was entered."""

    kept: Fact
    twin: Fact
    devices: tuple[str, str]
    why: str


def find_twins(connection: Connection) -> tuple[Twins, ...]:
    """Return what looks entered twice, in the order of the tables; linear in the rows but for those of one place and day."""
    parted = {(one.row_id, one.kept_row_id) for one in find_voided(connection, SameAs)}
    pairs = [*_of_one_name(connection), *_told_of_twice(connection)]
    when = entered_when(connection, {row.id for one, other, _ in pairs for row in (one, other)})
    devices = entering_devices(connection, when)
    found: list[Twins] = []
    for one, other, why in pairs:
        kept, twin = sorted((one, other), key=lambda row: when[row.id])
        here, there = devices[kept.id], devices[twin.id]
        if (twin.id, kept.id) not in parted and (why == _NAME or here != there):
            found.append(Twins(kept, twin, (here, there), why))
    return tuple(found)


def _of_one_name(connection: Connection) -> Iterator[tuple[Fact, Fact, str]]:
    for fact_type in TABLE_OF_FACT:
        words = NAMED.get(fact_type)
        if words is None:
            continue
        first: dict[tuple[object, ...], Fact] = {}
        for row in find_all(connection, fact_type):
            other = first.setdefault(words(row), row)
            if other is not row:
                yield other, row, _NAME


def _told_of_twice(connection: Connection) -> Iterator[tuple[Fact, Fact, str]]:
    for fact_type, (shared, when, look) in LOOKS.items():
        groups: dict[UUID, list[Any]] = defaultdict(list)
        for row in find_all(connection, fact_type):
            groups[getattr(row, shared)].append(row)
        for rows in groups.values():
            yield from _near(sorted(rows, key=lambda row: (getattr(row, when), row.id)), when, look)


def _near(rows: list[Any], when: str, look: Callable[[Any, Any], str]) -> Iterator[tuple[Fact, Fact, str]]:
    for place, row in enumerate(rows):
        for other in rows[place + 1 :]:
            if getattr(other, when) - getattr(row, when) > _FARTHEST:
                break
            why = look(row, other)
            if why:
                yield row, other, why
