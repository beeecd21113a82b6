"""What decisions rest on beside wear: what must be opened to reach a part, and what is offered for a machine."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from wearlog.facts.fact import Fact


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUp(Fact):
    """What must be done once before work on some kinds of part of a machine (header off, feeder open), and how long it takes."""

    machine_id: UUID
    name: str
    labour_seconds: int
    one_person: bool = False
    part_kind_ids: tuple[UUID, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TradeOffer(Fact):
    """A machine offered against one of the farm's: its price, what is allowed for the old one, and what it is."""

    machine_id: UUID
    title: str
    price_minor: int
    allowance_minor: int | None = None
    separator_seconds: int | None = None
    engine_seconds: int | None = None
    model_year: int | None = None
    list_price_minor: int | None = None
    warranty_seconds: int | None = None
    warranty_months: int | None = None
    offered_at: datetime
    note: str = ""
