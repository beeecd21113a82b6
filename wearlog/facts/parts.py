"""Kinds of part with their starting guesses, the parts on the shelf and what moved them, and where parts come from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import (
    Dimension,
    Evidence,
    Hazard,
    MeterKind,
    StockChange,
    Subsystem,
    WarrantyCover,
    WarrantyFrom,
)
from wearlog.facts.fact import Fact


@dataclass(frozen=True, slots=True, kw_only=True)
class PartKind(Fact):
    """A kind of part and what is believed of it before the farm has records of its own.

    `life_low_usage` and `life_high_usage` are the 10 % and 90 % points of the kind's median life, in the units of `meter_kind`
    (seconds or square metres); the shape range likewise, in thousandths. Impacts are counted per million square kilometres of
    cut area, by ground. `words` are what people call it: the quick line listens for them. `endangers_people` says that a failure
    in work can hurt somebody; `hazard` is the danger of working on it.
    """

    name: str
    words: tuple[str, ...] = ()
    subsystem: Subsystem
    meter_kind: MeterKind
    life_low_usage: int | None = None
    life_high_usage: int | None = None
    shape_low_thousandths: int | None = None
    shape_high_thousandths: int | None = None
    impacts_clean: int = 0
    impacts_few_stones: int = 0
    impacts_stony: int = 0
    impacts_very_stony: int = 0
    guess_evidence: Evidence = Evidence.COMMON_PRACTICE
    dimension: Dimension = Dimension.NONE
    new_micrometres: int | None = None
    limit_micrometres: int | None = None
    pitch_micrometres: int | None = None
    pitches: int | None = None
    usual_labour_seconds: int | None = None
    hazard: Hazard | None = None
    endangers_people: bool = False

    def is_past_limit(self, micrometres: float) -> bool:
        """Tell whether a part that measures so much has met its limit; never where none is known."""
        if self.limit_micrometres is None:
            return False
        if self.dimension is Dimension.THICKNESS:
            return micrometres <= self.limit_micrometres
        return micrometres >= self.limit_micrometres


@dataclass(frozen=True, slots=True, kw_only=True)
class Part(Fact):
    """An article with a part number. `keep_on_hand` is the count below which it is low; it comes in packs of `pack_size`.

    The warranty: months and usage (on the meter of its kind) from fitting or from receipt, whichever is over first; either may be
    missing. Pro rata pays the share of the term that was left.
    """

    number: str
    name: str
    price_minor: int | None = None
    pack_size: int = 1
    lead_time_days: int | None = None
    supplier: str = ""
    keep_on_hand: int = 0
    warranty_months: int | None = None
    warranty_usage: int | None = None
    warranty_covers: WarrantyCover | None = None
    warranty_from: WarrantyFrom | None = None
    warranty_pro_rata: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PartFit(Fact):
    """This part can be fitted where that kind sits (on one machine, or on every one when `machine_id` is None)."""

    part_id: UUID
    part_kind_id: UUID
    machine_id: UUID | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StockMove(Fact):
    """Parts that came, went or were counted. `unit_cost_minor` is what one cost when it came."""

    part_id: UUID
    at: datetime
    change: StockChange
    quantity: int
    unit_cost_minor: int | None = None
    repair_id: UUID | None = None
    breakage_id: UUID | None = None
    note: str = ""
    part_order_id: UUID | None = None
    service_done_id: UUID | None = None


#: begins the note of pieces that broke in a season, which day and where nobody knows
ROUGHLY: Final = "broke, day and place not known"


def roughly_note(harvest_year: int) -> str:
    """Return the note of such pieces."""
    return f"{ROUGHLY}: {harvest_year}"


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
    had_it: bool = False


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
