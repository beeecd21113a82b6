"""Questions of the areas to cut: all of the season that is planned, and entering, changing and taking out one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING
from uuid import UUID

from wearlog.present.saved_words import saved_line

if TYPE_CHECKING:
    from wearlog.facts.planning import PlannedArea
    from wearlog.logbook.areas_to_cut import AreaToCut, PlannedAreas
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.tui.door import Door


@dataclass(frozen=True, slots=True)
class AreasShown:
    """The areas of a season with what they are chosen from, and the same as an answer."""

    known: PlannedAreas
    sheet: AnswerSheet[PlannedArea]


def areas_now(door: Door) -> AreasShown:
    """Read the areas; nothing is reckoned, so they are there at once."""
    from wearlog.logbook.planned_areas import planned_areas
    from wearlog.present.planned_area_sheet import planned_area_sheet

    known = planned_areas(door.log, door.farm_now().date())
    return AreasShown(known, planned_area_sheet(known))


def save_area(door: Door, harvest_year: int, wanted: AreaToCut, area_id: UUID | None) -> str:
    """Save a new area, or another content of one that is planned."""
    from wearlog.logbook.planned_areas import change_area, enter_area

    if area_id is None:
        return saved_line(enter_area(door.log, harvest_year, wanted, today=door.farm_now().date()))
    return saved_line(change_area(door.log, area_id, wanted))


def take_out(door: Door, area: PlannedArea) -> str:
    """Take an area out of the plan."""
    from wearlog.logbook.planning import drop_areas

    return saved_line(drop_areas(door.log, [area]))
