"""Machines, which header hangs on which combine, and their meters. What was cut with them is in work.py."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
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
