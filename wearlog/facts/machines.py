"""Machines, which header hangs on which combine, and their meters. What was cut with them is in work.py."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from wearlog.facts.closed_lists import MachineKind, MeterKind
from wearlog.facts.fact import Fact


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine(Fact):
    """A machine of the farm. `cut_width_micrometres` is for headers; `list_price_minor` is today's list price.

    Machines of the same `type_name` share their circuit diagrams.
    """

    name: str
    kind: MachineKind
    cut_width_micrometres: int | None = None
    model_year: int | None = None
    list_price_minor: int | None = None
    bought_on: date | None = None
    note: str = ""
    serial_number: str = ""
    engine_number: str = ""
    type_name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hitch(Fact):
    """A header on a combine during [from_at, to_at); still on while `to_at` is None."""

    header_id: UUID
    combine_id: UUID
    from_at: datetime
    to_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Meter(Fact):
    machine_id: UUID
    kind: MeterKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading(Fact):
    """What a meter showed. `shown_usage` is in seconds (hour meters) or square metres (area meter).

    `new_leg` says that this is the first reading of a meter that was replaced: it may be lower than the one before.
    """

    meter_id: UUID
    at: datetime
    shown_usage: int
    new_leg: bool = False
    note: str = ""


def ends_as_they_stand(
    header: Sequence[Any], combine: Sequence[Any], start: Sequence[Any], end: Sequence[Any]
) -> list[Any]:
    """Return when each hitch ended: at its own end, or when the next one of its header or on its combine began.

    Parameters
    ----------
    header, combine : sequence, length n
        What names a machine: ids or numbers, anything that has an order.
    start, end : sequence, length n
        Instants that can be compared, in any order of rows; an end is None (or later than all) while nobody entered one.

    Returns
    -------
    list, length n
        The end of each hitch; None where it has none yet. Of two that begin at one instant the one whose header and combine come
        first in their order is over at once.
    """
    found = list(end)
    next_of: dict[tuple[bool, Any], Any] = {}
    for row in sorted(range(len(found)), key=lambda one: (start[one], header[one], combine[one]), reverse=True):
        for machine in ((True, header[row]), (False, combine[row])):
            following = next_of.get(machine)
            if following is not None and (found[row] is None or following < found[row]):
                found[row] = following
            next_of[machine] = start[row]
    return found


def standing(hitches: Iterable[Hitch], at: datetime | None = None) -> list[Hitch]:
    """Return the hitches that hold at an instant; without one, those that hold after the last entry of all."""
    rows = list(hitches)
    ends = ends_as_they_stand(
        [one.header_id for one in rows],
        [one.combine_id for one in rows],
        [one.from_at for one in rows],
        [one.to_at for one in rows],
    )
    return [
        one
        for one, end in zip(rows, ends, strict=True)
        if (end is None if at is None else one.from_at <= at and (end is None or at < end))
    ]


def partners(hitches: Iterable[Hitch], at: datetime | None = None) -> dict[UUID, UUID]:
    """Return what hangs on what then, header to combine and combine to header; `at` as `standing` takes it."""
    found: dict[UUID, UUID] = {}
    for one in standing(hitches, at):
        found[one.header_id], found[one.combine_id] = one.combine_id, one.header_id
    return found
