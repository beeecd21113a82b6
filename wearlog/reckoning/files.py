"""The history of the log: deeds as people did them, what each did row by row, pages of long lists, rows changed apart."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import datetime
from itertools import count
from types import MappingProxyType
from typing import Any, Final
from uuid import UUID

from wearlog.errors import NotFoundError
from wearlog.facts.closed_lists import Doing, MeterKind
from wearlog.facts.electrics import CircuitNode, Fault
from wearlog.facts.fact import Fact
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import Machine, Meter, ServiceItem
from wearlog.facts.parts import Part, PartFit, PartKind, Supplier
from wearlog.facts.positions import component_name, place_said
from wearlog.facts.wearing import Component
from wearlog.facts.work import Crop, Field, Season, SeasonPlan, Stoppage
from wearlog.store.connection import Connection
from wearlog.store.finding import find_all, find_many, settings_of
from wearlog.store.journal import (
    DeedLine,
    contents_of,
    deed_by_id,
    deed_lines,
    deed_of_version,
    fact_of_packed,
    parents_of,
)
from wearlog.store.ledger import rows_apart
from wearlog.store.long_lists import (
    ListQuery,
    breakage_query,
    count_rows,
    deed_query,
    page_from_end,
    page_of,
    place_of,
    run_query,
    version_query,
)
from wearlog.store.opening import Store
from wearlog.store.schema import table_of

__all__ = [
    "ListQuery",
    "RowApart",
    "RowChange",
    "RowNames",
    "RowsApart",
    "Side",
    "breakage_query",
    "count_rows",
    "deed_query",
    "deed_rows",
    "latest_rows",
    "page_from_end",
    "page_of",
    "place_of",
    "recent_deeds",
    "row_names",
    "rows_apart_view",
    "run_query",
    "said_of",
    "stood_seconds",
    "version_query",
    "whole_deed",
]


@dataclass(frozen=True, slots=True)
class Side:
    """What one side says of a row: the row as it would stand, and the entry that said so last."""

    version_id: UUID
    device: str
    at: datetime
    said: str
    fact: Fact


@dataclass(frozen=True, slots=True)
class RowApart:
    """A row of which two sides or more differ; the first is shown."""

    row_id: UUID
    table_name: str
    sides: tuple[Side, ...]


@dataclass(frozen=True, slots=True)
class RowsApart:
    """All such rows, the latest first, with what they point at by name and the farm's settings."""

    rows: tuple[RowApart, ...]
    names: RowNames
    settings: FarmSettings


def rows_apart_view(connection: Connection) -> RowsApart:
    """Return what is to be settled. ConflictError when a version was damaged."""
    found = rows_apart(connection)
    facts = contents_of(connection, [head.version_id for heads in found.values() for head in heads])
    rows = []
    for row_id, heads in found.items():
        sides = []
        for head in heads:
            deed = deed_of_version(connection, head.version_id)
            sides.append(Side(head.version_id, deed.device, deed.recorded_at, deed.said, facts[head.version_id]))
        rows.append(RowApart(row_id, table_of(sides[0].fact).name, tuple(sides)))
    rows.sort(key=lambda row: (row.sides[0].at, row.row_id), reverse=True)
    names = row_names(connection, [side.fact for row in rows for side in row.sides])
    return RowsApart(tuple(rows), names, settings_of(connection))


def recent_deeds(store: Store, most: int, before: DeedLine | None = None) -> tuple[tuple[DeedLine, ...], FarmSettings]:
    """Return the latest deeds (before a line, to page back) and the settings to show them with."""
    with store.reading() as connection:
        rows = tuple(deed_lines(connection, limit=most, before=before))
        return rows, settings_of(connection)


def latest_rows(store: Store, query: ListQuery, most: int) -> tuple[Sequence[Any], int, FarmSettings]:
    """Return the first `most` rows of a list, how many it has, and the settings to show them with."""
    with store.reading() as connection:
        return page_of(connection, query, 0, most), count_rows(connection, query), settings_of(connection)


def stood_seconds(connection: Connection, repair_id: UUID | None) -> float | None:
    """Return how long machines stood for one repair; None where nobody noted it, or the stop is not closed."""
    stops = [] if repair_id is None else find_all(connection, Stoppage, repair_id=repair_id)
    if not stops or any(one.ended_at is None for one in stops):
        return None
    return sum((one.ended_at - one.started_at).total_seconds() for one in stops if one.ended_at is not None)


def said_of(connection: Connection, deed_id: UUID | None) -> tuple[UUID, str]:
    """Return a deed (None: the latest) and its sentence. NotFoundError when there is none."""
    if deed_id is None:
        for line in deed_lines(connection, limit=1):
            return line.id, line.said
        raise NotFoundError("Nothing was entered yet.")
    deed = deed_by_id(connection, deed_id)
    return deed.id, deed.said


def whole_deed(
    connection: Connection, deed_id: UUID, most: int | None = None
) -> Iterator[tuple[tuple[RowChange, ...], RowNames]]:
    """Yield the rows of a deed, or its first `most`, piece by piece with the names they need: an import has tens of thousands."""
    for first in count(0, _PIECE):
        size = _PIECE if most is None else min(_PIECE, most - first)
        piece = deed_rows(connection, deed_id, "", first, size) if size > 0 else ()
        if not piece or not piece[0]:
            return
        yield piece


_PIECE: Final = 500

#: field that points at a row -> where the row is; pointers at rows that have no name of their own are left out
_POINTS_AT: Final[Mapping[str, type[Fact]]] = MappingProxyType(
    {
        "machine_id": Machine,
        "header_id": Machine,
        "combine_id": Machine,
        "meter_id": Meter,
        "component_id": Component,
        "part_kind_id": PartKind,
        "part_id": Part,
        "supplier_id": Supplier,
        "field_id": Field,
        "crop_id": Crop,
        "season_id": Season,
        "service_item_id": ServiceItem,
        "fault_id": Fault,
        "node_id": CircuitNode,
        "season_plan_id": SeasonPlan,
    }
)

#: in an order in which whatever is called after something else comes before it
_LOOKED_UP: Final[tuple[type[Fact], ...]] = (
    *(ServiceItem, Fault, CircuitNode, Component, Meter, SeasonPlan),
    *(Part, Supplier, PartKind, Machine, Field, Crop, Season),
)


@dataclass(frozen=True, slots=True)
class RowChange:
    """One row: `before` is None where the deed entered it."""

    version_id: UUID
    table_name: str
    doing: Doing
    now: Fact
    before: Fact | None


@dataclass(frozen=True, slots=True)
class RowNames:
    """What rows are called, by their ids, and which meter a component, a meter or the warranty of a part counts on."""

    names: Mapping[UUID, str]
    meters: Mapping[UUID, MeterKind]


def deed_rows(
    connection: Connection, deed_id: UUID, words: str, first: int, size: int
) -> tuple[tuple[RowChange, ...], RowNames]:
    """Return the rows of a deed from number `first` on, at most `size` of them, with the names they need."""
    found = page_of(connection, version_query(connection, deed_id, words), first, size)
    parents = parents_of(connection, [row.id for row in found])
    before = contents_of(connection, {parent for some in parents.values() for parent in some})
    changes = tuple(_change(row, parents.get(row.id, ()), before) for row in found)
    return changes, row_names(connection, [change.now for change in changes])


def _change(row: Any, parents: Sequence[UUID], before: Mapping[UUID, Fact]) -> RowChange:
    # after a merge a version may follow two; the last one is the one it was made from
    stood = before.get(parents[-1]) if parents else None
    return RowChange(
        row.id,
        row.table_name,
        row.doing,
        fact_of_packed(row.table_name, row.content, row.revision),
        stood,
    )


def row_names(connection: Connection, facts: Sequence[Fact]) -> RowNames:
    """Look up what the rows that these facts point at are called; rows that were taken back still have their names."""
    looked_up: dict[type[Fact], dict[UUID, Any]] = defaultdict(dict)
    pointed = _pointed(facts)
    for fact_type in _LOOKED_UP:
        _look_up(connection, fact_type, pointed, looked_up)
    kinds, machines = looked_up[PartKind], looked_up[Machine]
    names: dict[UUID, str] = {}
    for rows in looked_up.values():
        names.update((row_id, _name(row, machines, kinds)) for row_id, row in rows.items())
    meters = {row_id: row.kind for row_id, row in looked_up[Meter].items()}
    meters |= {
        row_id: kinds[row.part_kind_id].meter_kind
        for row_id, row in looked_up[Component].items()
        if row.part_kind_id in kinds
    }
    return RowNames(names, meters | _of_warranties(connection, facts))


def _of_warranties(connection: Connection, facts: Iterable[Fact]) -> dict[UUID, MeterKind]:
    """Return by what the warranties of parts count: by the meter of the kind that they fit."""
    if not any(isinstance(one, Part) and one.warranty_usage for one in facts):
        return {}
    fits = find_all(connection, PartFit)
    kinds = {row.id: row.meter_kind for row in find_many(connection, PartKind, {one.part_kind_id for one in fits})}
    return {one.part_id: kinds[one.part_kind_id] for one in fits if one.part_kind_id in kinds}


def _look_up(
    connection: Connection,
    fact_type: type[Fact],
    pointed: dict[type[Fact], set[UUID]],
    looked_up: dict[type[Fact], dict[UUID, Any]],
) -> None:
    rows = find_many(connection, fact_type, pointed[fact_type], voided_too=True)
    looked_up[fact_type] = {row.id: row for row in rows}
    # a component is called after its machine, a meter too: those are looked up next
    for further, ids in _pointed(rows).items():
        pointed[further] |= ids


def _pointed(facts: Iterable[Fact]) -> dict[type[Fact], set[UUID]]:
    found: dict[type[Fact], set[UUID]] = defaultdict(set)
    for fact in facts:
        for field in fields(fact):
            value = getattr(fact, field.name)
            if field.name in _POINTS_AT and value is not None:
                found[_POINTS_AT[field.name]].add(value)
    return found


def _name(row: Any, machines: Mapping[UUID, Machine], kinds: Mapping[UUID, PartKind]) -> str:
    if isinstance(row, Season):
        return str(row.harvest_year)
    if isinstance(row, Part):
        return f"{row.number} {row.name}"
    own = row.kind.value.replace("_", " ") if isinstance(row, Meter) else ""
    if isinstance(row, Component):
        own = component_name(row.place, kinds[row.part_kind_id].name if row.part_kind_id in kinds else "")
    own = own or getattr(row, "name", "") or getattr(row, "title", "")
    machine = machines.get(getattr(row, "machine_id", None))  # type: ignore[arg-type]
    return place_said(machine.name, own) if machine is not None and not isinstance(row, Machine) else own
