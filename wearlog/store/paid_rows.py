"""What repairs and services took, and which component each breakage was on, as columns that point into the histories."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

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


def broken_components(reader: PlainReader, component: Mapping[Any, int]) -> dict[bytes, int]:
    """Return the place of the component that each breakage was on, by the id of the breakage."""
    rows = reader.rows("SELECT {id:id}, {id:component_id} FROM breakage WHERE {stands}")
    return {breakage: component.get(one, NONE) for breakage, one in rows}
