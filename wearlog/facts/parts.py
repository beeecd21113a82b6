"""Kinds of part with their starting guesses, the parts on the shelf, and what came on and went off the shelf."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
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
