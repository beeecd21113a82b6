"""Where parts come from: suppliers, their prices and hours, orders, what they had when asked, and claims under warranty."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from wearlog.facts.fact import Fact


@dataclass(frozen=True, slots=True, kw_only=True)
class Supplier(Fact):
    """A place that sells parts. The fee is what opening after hours costs."""

    name: str
    distance_metres: int | None = None
    phone: str = ""
    after_hours_phone: str = ""
    after_hours_fee_minor: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplierHours(Fact):
    """Open on a day of the week (0 is Monday), in seconds since midnight of the farm's clock: [opens, closes)."""

    supplier_id: UUID
    weekday: int
    opens_seconds: int
    closes_seconds: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply(Fact):
    """What a supplier asks for a part and how many days it says that takes; `their_number` is its own number for it."""

    part_id: UUID
    supplier_id: UUID
    price_minor: int | None = None
    quoted_lead_days: int | None = None
    their_number: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartOrder(Fact):
    """Parts on order. What arrived points at it; an order that will not come was cancelled."""

    part_id: UUID
    supplier_id: UUID | None = None
    quantity: int
    ordered_at: datetime
    unit_price_minor: int | None = None
    cancelled_at: datetime | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyAsked(Fact):
    """Somebody asked a supplier for a part, and it had it or not."""

    supplier_id: UUID
    part_id: UUID
    at: datetime
    had_it: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class WarrantyClaim(Fact):
    """A claim for a part that failed within its terms: sent, then settled with what was paid."""

    breakage_id: UUID
    sent_at: datetime
    settled_at: datetime | None = None
    paid_minor: int | None = None
    note: str = ""


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
