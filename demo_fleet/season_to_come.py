"""The plan for the season after the story: what will be cut, the budget, what is already decided. Nothing has happened yet."""

from __future__ import annotations

from decimal import Decimal

from wearlog.facts.closed_lists import Choice
from wearlog.facts.work import PlanChoice, PlannedArea, SeasonPlan
from wearlog.units import to_stored

from .farm_land import FIELDS, PLANNED_YEAR
from .harvest_seasons import crop_of_field
from .machine_states import MachineState
from .records import Records

_BUDGET_DOLLARS = 6000
_SHOP_HOURS = 60
#: fields that only the narrow headers go to: field -> combine and header
_SETTLED = {"Stone Pile": ("Alder", "Plover"), "Gravel Pit": ("Juniper", "Wren")}


def write_plan(records: Records, states: dict[str, MachineState]) -> None:
    """Enter the plan: every field with its crop, two of them with their machines, and two choices."""
    plan = SeasonPlan(
        id=records.id_of("season_plan", str(PLANNED_YEAR)),
        season_id=records.shared_id("season", str(PLANNED_YEAR)),
        name=records.named("winter list"),
        budget_minor=_BUDGET_DOLLARS * 100,
        shop_seconds=_SHOP_HOURS * 3600,
    )
    records.add(plan)
    for place, (field, acres, _) in enumerate(FIELDS):
        combine, header = _SETTLED.get(field, (None, None))
        records.add(
            PlannedArea(
                id=records.id_of("planned_area", field),
                season_plan_id=plan.id,
                area_square_metres=to_stored(Decimal(acres), "ac"),
                field_id=records.id_of("field", field),
                crop_id=records.shared_id("crop", crop_of_field(place, PLANNED_YEAR).name),
                combine_id=states[combine].id if combine else None,
                header_id=states[header].id if header else None,
            )
        )
    for machine, kind, choice in (
        ("Alder", "rasp bars", Choice.REPLACE),
        ("Kestrel", "draper belt", Choice.RUN),
    ):
        component = states[machine].set_of(kind).component
        records.add(
            PlanChoice(
                id=records.id_of("plan_choice", f"{machine} {kind}"),
                season_plan_id=plan.id,
                component_id=component.id,
                positions=tuple(range(1, component.positions + 1)),
                choice=choice,
            )
        )
