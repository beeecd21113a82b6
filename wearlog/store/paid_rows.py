"""What repairs and services took, the stops, and which component each breakage was on: columns that point into the histories."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from wearlog.facts.closed_lists import Action, StockChange, StopReason
from wearlog.harvest.by_line import Ints
from wearlog.store.plain_reader import NONE, PlainReader, pointing


@dataclass(frozen=True, slots=True, eq=False)
class WorkRows:
    """Repairs or services done; `component` is NONE where none is named. What nobody wrote of labour and pay is 0."""

    ids: tuple[bytes, ...]
    machine: Ints
    component: Ints
    at: Ints
    labour_seconds: Ints
    paid_minor: Ints


@dataclass(frozen=True, slots=True, eq=False)
class StopRows:
    """Stops by their ids; `ended_at` is OPEN while one goes on, `repair` None where none is named."""

    machine: Ints
    repair: tuple[bytes | None, ...]
    started_at: Ints
    ended_at: Ints
    reason: Ints  #: index into StopReason


@dataclass(frozen=True, slots=True, eq=False)
class MoveRows:
    """Moves of the shelf in the order of time; `breakage`, `repair` and `service_done` say what took it, None where none is named.

    `unit_cost_minor` is NONE where nobody wrote it.
    """

    part: Ints
    at: Ints
    change: Ints  #: index into StockChange
    quantity: Ints
    unit_cost_minor: Ints
    breakage: tuple[bytes | None, ...]
    repair: tuple[bytes | None, ...]
    service_done: tuple[bytes | None, ...]


def repairs(reader: PlainReader, machine: Mapping[Any, int], component: Mapping[Any, int]) -> WorkRows:
    """Read the repairs; places of machines and components by their ids."""
    rows = reader.rows(
        "SELECT {id:id}, {id:machine_id}, {id:component_id}, {us:started_at}, COALESCE(labour_seconds, 0), "
        "COALESCE(hired_minor, 0) FROM repair WHERE {stands} ORDER BY id"
    )
    ids, machines, components, at, labour, hired = zip(*rows, strict=True) if rows else ((),) * 6
    return WorkRows(
        ids,
        pointing(machines, machine),
        pointing(components, component),
        *(np.array(column, dtype=np.int64) for column in (at, labour, hired)),
    )


def services(reader: PlainReader, machine: Mapping[Any, int]) -> WorkRows:
    """Read the services done of which the item stands; places of machines by their ids."""
    items = dict(reader.rows("SELECT {id:id}, {id:machine_id} FROM service_item WHERE {stands}"))
    rows = reader.rows(
        "SELECT {id:id}, {id:service_item_id}, {us:at}, COALESCE(labour_seconds, 0), COALESCE(cost_minor, 0) "
        "FROM service_done WHERE {stands} ORDER BY id"
    )
    rows = [row for row in rows if row[1] in items]
    ids, of, at, labour, paid = zip(*rows, strict=True) if rows else ((),) * 5
    return WorkRows(
        ids,
        pointing([items[one] for one in of], machine),
        np.full(len(ids), NONE, dtype=np.int64),
        *(np.array(column, dtype=np.int64) for column in (at, labour, paid)),
    )


def services_at(reader: PlainReader) -> dict[bytes, list[int]]:
    """Return when each service was done, in microseconds, by the id of its item."""
    found: dict[bytes, list[int]] = defaultdict(list)
    for item, at in reader.rows("SELECT {id:service_item_id}, {us:at} FROM service_done WHERE {stands} ORDER BY id"):
        found[item].append(at)
    return found


def broken_components(reader: PlainReader, component: Mapping[Any, int]) -> dict[bytes, int]:
    """Return the place of the component that each breakage was on, by the id of the breakage."""
    rows = reader.rows("SELECT {id:id}, {id:component_id} FROM breakage WHERE {stands}")
    return {breakage: component.get(one, NONE) for breakage, one in rows}


def positions_replaced(reader: PlainReader) -> dict[bytes, int]:
    """Return how many broken positions were replaced in each repair, by its id; no repair without any."""
    rows = reader.rows(
        "SELECT {id:b.repair_id}, COUNT(*) FROM breakage b JOIN breakage_position p ON p.breakage_id = b.id "  # noqa: S608 - names of ours
        f"WHERE {{stands}} AND b.repair_id IS NOT NULL AND b.action = '{Action.REPLACED.value}' GROUP BY b.repair_id",
        alias="b",
    )
    return dict(rows)


def stops(reader: PlainReader, machine: Mapping[Any, int]) -> StopRows:
    """Read the stops; places of machines by their ids."""
    rows = reader.rows(
        "SELECT {id:machine_id}, {id:repair_id}, {us:started_at}, {us:ended_at}, reason FROM stoppage WHERE {stands} ORDER BY id"
    )
    machines, mended, started, ended, reasons = zip(*rows, strict=True) if rows else ((),) * 5
    code = {reason.value: place for place, reason in enumerate(StopReason)}
    return StopRows(
        pointing(machines, machine),
        mended,
        *(np.array(column, dtype=np.int64) for column in (started, ended, [code[one] for one in reasons])),
    )


def moves(reader: PlainReader, part: Mapping[Any, int]) -> MoveRows:
    """Read the moves of the parts that stand, whose places `part` gives by their ids."""
    rows = reader.rows(
        "SELECT {id:part_id}, {us:at}, change, quantity, unit_cost_minor, "
        "{id:breakage_id}, {id:repair_id}, {id:service_done_id} "
        "FROM stock_move WHERE {stands} ORDER BY at, id"
    )
    rows = [row for row in rows if row[0] in part]
    parts, at, change, quantity, cost, breakage, repair, service = zip(*rows, strict=True) if rows else ((),) * 8
    code = {one.value: place for place, one in enumerate(StockChange)}
    return MoveRows(
        pointing(parts, part),
        np.array(at, dtype=np.int64),
        np.array([code[one] for one in change], dtype=np.int64),
        np.array(quantity, dtype=np.int64),
        np.array([NONE if one is None else one for one in cost], dtype=np.int64),
        breakage,
        repair,
        service,
    )
