"""The plan for a coming season: what will be cut with what, and what was chosen to be replaced."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from wearlog.facts.closed_lists import Choice, Ground
from wearlog.facts.fact import Fact


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
