"""Fields, crops, seasons, what was cut, and why it stood still."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from wearlog.facts.closed_lists import Condition, CropState, CutHeight, Ground, StopReason
from wearlog.facts.fact import Fact


@dataclass(frozen=True, slots=True, kw_only=True)
class Field(Fact):
    name: str
    area_square_metres: int
    ground: Ground


@dataclass(frozen=True, slots=True, kw_only=True)
class Crop(Fact):
    """`bushel_grams` is the test weight of one bushel, for those who count in bushels.

    `seed_milligrams_per_thousand` is the weight of a thousand kernels; `price_minor_per_tonne` what a tonne brings;
    `loss_per_day_millionths` the share of the crop that a day of delay costs.
    """

    name: str
    bushel_grams: int | None = None
    seed_milligrams_per_thousand: int | None = None
    price_minor_per_tonne: int | None = None
    loss_per_day_millionths: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Season(Fact):
    """A harvest year, [starts_on, ends_on): the calendar year unless the farm says otherwise."""

    harvest_year: int
    starts_on: date
    ends_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Run(Fact):
    """A stretch of cutting, spread evenly over [started_at, ended_at). A whole-season total is one long run.

    `header_id` None means whatever header was hitched then; `separator_seconds` None means that nobody wrote the hours.
    """

    combine_id: UUID
    header_id: UUID | None = None
    field_id: UUID | None = None
    crop_id: UUID | None = None
    started_at: datetime
    ended_at: datetime
    area_square_metres: int
    separator_seconds: int | None = None
    cut_height: CutHeight | None = None
    crop_state: CropState | None = None
    yield_grams_per_hectare: int | None = None
    conditions: tuple[Condition, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Stoppage(Fact):
    """A time when the machine stood although it could have cut; open while `ended_at` is None."""

    machine_id: UUID
    started_at: datetime
    ended_at: datetime | None = None
    reason: StopReason
    repair_id: UUID | None = None
    note: str = ""
