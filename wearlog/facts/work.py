"""The work of a farm: fields, crops, seasons, what was cut and why it stood still, and what is planned for a season to come."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import Choice, Condition, CropState, CutHeight, Ground, StopReason
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


#: after this day of its year a harvest is over, unless something was cut lately (common practice, no source)
LAST_HARVEST_DAY: Final = (9, 30)

#: what was cut so lately says that a late harvest still goes on
STILL_CUTTING: Final = timedelta(days=30)


def is_over(season: Season, today: date, last_cut: date | None) -> bool:
    """Tell whether nothing of a season is to come: its days are over, or its harvest is.

    Parameters
    ----------
    last_cut : date or None
        The last day on which anything was cut; None when nothing ever was.

    Notes
    -----
    A season that is the calendar year runs to New Year, but a plan made in November is for the next one. A season that begins
    only after September has its harvest over the turn of the year and ends by its days alone.
    """
    if season.ends_on <= today:
        return True
    harvest_ends = date(season.harvest_year, *LAST_HARVEST_DAY)
    if not season.starts_on <= harvest_ends < today:
        return False
    return last_cut is None or today - last_cut > STILL_CUTTING


def coming_season(
    seasons: Iterable[Season], today: date, last_cut: date | None, planned: Collection[UUID]
) -> Season | None:
    """Return the first season that is not over and has a plan, else the first that is not over, else None.

    Parameters
    ----------
    planned : collection of UUID
        Ids of the seasons that have a plan.
    """
    by_year = sorted(seasons, key=lambda season: season.harvest_year)
    to_come = [season for season in by_year if not is_over(season, today, last_cut)]
    return next((season for season in to_come if season.id in planned), next(iter(to_come), None))


def next_harvest(today: date, last_cut: date | None = None) -> int:
    """Return the year of the harvest to come where no season was entered for it."""
    this_year = Season(harvest_year=today.year, starts_on=date(today.year, 1, 1), ends_on=date(today.year + 1, 1, 1))
    return today.year + is_over(this_year, today, last_cut)


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonPlan(Fact):
    season_id: UUID
    name: str = ""
    budget_minor: int | None = None
    shop_seconds: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedArea(Fact):
    """Area to cut: by field, or by ground when the fields are not settled. Machines None: shared over all of them."""

    season_plan_id: UUID
    area_square_metres: int
    field_id: UUID | None = None
    ground: Ground | None = None
    crop_id: UUID | None = None
    combine_id: UUID | None = None
    header_id: UUID | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanChoice(Fact):
    season_plan_id: UUID
    component_id: UUID
    positions: tuple[int, ...]
    choice: Choice


def order_mark(harvest_year: int, digest: str) -> str:
    """Return the name of an order of a season's plan."""
    return f"{harvest_year}-{digest}"


def order_note(mark: str) -> str:
    """Return the note of what came with an order, by which it is found again; nothing where there is no order."""
    return f"order {mark}" if mark else ""
