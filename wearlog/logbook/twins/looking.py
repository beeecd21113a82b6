"""What looks entered twice, as pairs to be offered: rows of one name, and what two laptops told of the same place and time.

Nothing is joined here. What one laptop entered twice was asked about when it was entered, so what people tell of is looked for
among entries of different laptops alone. A pair that a person kept apart, or parted again, is offered no more.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, fields, replace
from datetime import datetime, timedelta
from types import MappingProxyType
from typing import Any, Final
from uuid import UUID

from wearlog.facts.bookkeeping import Person, SameAs
from wearlog.facts.closed_lists import StockChange
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Hitch, Machine, ServiceDone
from wearlog.facts.parts import PartKind, StockMove, Supplier
from wearlog.facts.plain_text import folded
from wearlog.facts.wearing import Breakage, Component, Fitting, Repair
from wearlog.facts.work import Run, Stoppage
from wearlog.logbook.checks.doubts import same_time
from wearlog.logbook.checks.soundness import OWN_NAMES, NameOf
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_among, find_voided
from wearlog.store.journal import entered_when, entering_devices
from wearlog.store.schema import TABLE_OF_FACT
from wearlog.store.screening import near_in_time

_NAME: Final = "the same name"

#: nothing that looks alike lies further apart: runs are hours long
_FARTHEST: Final = timedelta(days=2)

#: entries of one part or machine within two days that a row is laid beside, and those that it is offered with: a farm has a few,
#: and a bundle that holds thousands at one instant must not keep a laptop busy for hours
_LAID_BESIDE: Final = 100
_OFFERED_WITH: Final = 5


@dataclass(frozen=True, slots=True)
class Twins:
    """Two rows that look like one thing, the one that was entered first (and would be kept) first, and where each was entered."""

    kept: Fact
    twin: Fact
    devices: tuple[str, str]
    why: str


def find_twins(connection: Connection) -> tuple[Twins, ...]:
    """Return what looks entered twice, in the order of the tables; the database looks which lie close together."""
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
        until, within, where = _NEAR[fact_type]
        table = TABLE_OF_FACT[fact_type].name
        near = near_in_time(connection, table, shared, when, until=until, within=within, where=where)
        groups: dict[UUID, list[Any]] = defaultdict(list)
        for row in find_among(connection, fact_type, shared, near):
            groups[getattr(row, shared)].append(row)
        for rows in groups.values():
            yield from near_pairs(sorted(rows, key=lambda row: (getattr(row, when), row.id)), when, look)


def near_pairs(rows: list[Any], when: str, look: Callable[[Any, Any], str]) -> Iterator[tuple[Fact, Fact, str]]:
    """Give the pairs among rows in the order of time that look alike; each is laid beside a hundred at most."""
    for place, row in enumerate(rows):
        offered = 0
        for other in rows[place + 1 : place + 1 + _LAID_BESIDE]:
            if getattr(other, when) - getattr(row, when) > _FARTHEST:
                break
            why = look(row, other)
            if why:
                yield row, other, why
                offered += 1
            if offered == _OFFERED_WITH:
                break


#: two people tell of one breakage by their own watches; common practice, no source
APART_AT_MOST: Final = timedelta(hours=3)

#: one brought the box in, the other found it on the bench; common practice, no source
DELIVERED_WITHIN: Final = timedelta(hours=36)

_SERVED_WITHIN: Final = timedelta(hours=12)


def _machine(row: Any) -> tuple[object, ...]:
    return folded(row.name), row.kind


def _component(row: Any) -> tuple[object, ...]:
    return row.machine_id, folded(row.place), row.part_kind_id


#: rows that a name tells apart -> the words; a header and a combine of one name are two machines
NAMED: Final[Mapping[type[Fact], NameOf]] = MappingProxyType(
    {
        **{kind: words for kind, (words, _, _) in OWN_NAMES.items() if "key" not in kind.__dataclass_fields__},
        Machine: _machine,
        Component: _component,
        Supplier: lambda row: (folded(row.name),),
        Person: lambda row: (folded(row.name),),
    }
)

#: what people tell of, each a thing by itself: it is joined when a person says so, never along with another
TOLD: Final = (Breakage, Repair, Run, Stoppage, StockMove, ServiceDone)

_PASSED_OVER: Final = frozenset({"id", "voided", "removal"})


def joined_along_by(fact: Fact) -> tuple[object, ...] | None:
    """Return the words by which a row is joined along when what it hangs on is joined; None: never unasked."""
    if isinstance(fact, (*TOLD, Fitting)):
        return None
    words = NAMED.get(type(fact))
    if words is not None:
        return words(fact)
    if isinstance(fact, Hitch):
        # a header that hangs there now hangs there once
        return fact.header_id, fact.combine_id, fact.from_at if fact.to_at else None
    return tuple(getattr(fact, field.name) for field in fields(fact) if field.name != "id")


def _breakages(one: Breakage, other: Breakage) -> str:
    same = one.component_id == other.component_id and one.positions == other.positions
    return "the same place" if same and abs(one.at - other.at) <= APART_AT_MOST else ""


def _runs(one: Run, other: Run) -> str:
    if one.combine_id != other.combine_id:
        return ""
    return _overlapping(one.started_at, one.ended_at, other.started_at, other.ended_at)


def _stops(one: Stoppage, other: Stoppage) -> str:
    if (
        (one.machine_id, one.reason) != (other.machine_id, other.reason)
        or one.ended_at is None
        or other.ended_at is None
    ):
        return ""
    return _overlapping(one.started_at, one.ended_at, other.started_at, other.ended_at)


def _overlapping(start: datetime, end: datetime, other_start: datetime, other_end: datetime) -> str:
    return "the same time" if same_time(start, end, other_start, other_end) else ""


def _deliveries(one: StockMove, other: StockMove) -> str:
    came = one.change is other.change is StockChange.RECEIVED
    same = came and one.part_id == other.part_id and one.quantity == other.quantity
    return "as many of one part" if same and abs(one.at - other.at) <= DELIVERED_WITHIN else ""


def _services(one: ServiceDone, other: ServiceDone) -> str:
    same = one.service_item_id == other.service_item_id and abs(one.at - other.at) <= _SERVED_WITHIN
    return "the same service" if same else ""


#: what is told of -> (what two of them must share, when, why two look like one)
LOOKS: Final[Mapping[type[Fact], tuple[str, str, Callable[[Any, Any], str]]]] = MappingProxyType(
    {
        Breakage: ("component_id", "at", _breakages),
        Run: ("combine_id", "started_at", _runs),
        Stoppage: ("machine_id", "started_at", _stops),
        StockMove: ("part_id", "at", _deliveries),
        ServiceDone: ("service_item_id", "at", _services),
    }
)

#: the same for the database, which knows no lists and no words: the end of such a row, how long after it the other may begin, and
#: what it must be. Without two rows so near nothing looks alike
_NEAR: Final[Mapping[type[Fact], tuple[str, timedelta, str]]] = MappingProxyType(
    {
        Breakage: ("", APART_AT_MOST, ""),
        Run: ("ended_at", timedelta(0), ""),
        Stoppage: ("ended_at", timedelta(0), ""),
        StockMove: ("", DELIVERED_WITHIN, f"change = '{StockChange.RECEIVED.value}'"),
        ServiceDone: ("", _SERVED_WITHIN, ""),
    }
)


def with_what_it_lacks(kept: Fact, twin: Fact) -> Fact:
    """Return the row that is kept with what only its twin says: empty fields are filled, notes and words put together.

    That something is not over (an end without a time) is said too, and stays.
    """
    taken: dict[str, Any] = {}
    for field in fields(kept):
        mine, other = getattr(kept, field.name), getattr(twin, field.name)
        if field.name in _PASSED_OVER or mine == other or other in (None, "", ()):
            continue
        if field.name == "note" and mine and other not in mine:
            taken["note"] = f"{mine}; {other}"
        elif mine in (None, "") and not field.name.endswith(("ed_at", "to_at", "_fitting_ids")):
            taken[field.name] = other
    if isinstance(kept, Component) and isinstance(twin, Component):
        taken["positions"] = max(kept.positions, twin.positions)
    if isinstance(kept, Hitch) and isinstance(twin, Hitch):
        taken["from_at"] = min(kept.from_at, twin.from_at)
    if isinstance(kept, PartKind) and isinstance(twin, PartKind):
        taken["words"] = tuple(dict.fromkeys((*kept.words, *twin.words)))
    return replace(kept, **taken) if taken else kept
