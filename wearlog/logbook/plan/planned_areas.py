"""The areas to cut of the season that is planned: reading them, entering one, changing one. Reckons nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from uuid import UUID

from wearlog.errors import RefusedError
from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.machines import Machine
from wearlog.facts.work import Crop, Field, PlannedArea, Season, coming_season, is_over, next_harvest
from wearlog.logbook.deed_sentences import area_sentence, named_in
from wearlog.logbook.names import known_names
from wearlog.logbook.plan.areas_to_cut import AreaToCut, PlannedAreas
from wearlog.logbook.plan.planning import last_day_cut, plan_or_new, planned_seasons, season_plan_of
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.logbook.saving import Done, save
from wearlog.store.finding import find_all, find_by_id, settings_of
from wearlog.store.opening import Store


def planned_areas(store: Store, today: date, harvest_year: int | None = None) -> PlannedAreas:
    """Read them; without a year those of the season that plans are for now."""
    with store.reading() as connection:
        last_cut = last_day_cut(connection)
        # the same season as the plan itself is reckoned for
        season = coming_season(find_all(connection, Season), today, last_cut, planned_seasons(connection))
        year = harvest_year or (season.harvest_year if season is not None else None)
        found = season_plan_of(connection, year) if year is not None else None
        machines = _by_name(find_all(connection, Machine))
        return PlannedAreas(
            settings=settings_of(connection),
            harvest_year=year or next_harvest(today, last_cut),
            has_plan=found is not None,
            areas=tuple(find_all(connection, PlannedArea, season_plan_id=found[1].id)) if found is not None else (),
            fields=tuple(sorted(find_all(connection, Field), key=lambda field: field.name.casefold())),
            crops=tuple(sorted(find_all(connection, Crop), key=lambda crop: crop.name.casefold())),
            combines=tuple(one for one in machines if one.kind is MachineKind.COMBINE),
            headers=tuple(one for one in machines if one.kind is MachineKind.HEADER),
        )


def _by_name(machines: Sequence[Machine]) -> list[Machine]:
    return sorted(machines, key=lambda machine: machine.name.casefold())


def enter_area(store: Store, harvest_year: int, wanted: AreaToCut, *, today: date) -> Done:
    """Plan an area; a plan, or a season, that is not there yet comes along in the same deed.

    Raises
    ------
    RefusedError
        When the season is over, or the area has neither a field nor a ground, or no size that can be true.
    """
    with store.writing() as connection:
        season, plan, new = plan_or_new(connection, harvest_year)
        if is_over(season, today, last_day_cut(connection)):
            raise RefusedError(f"The season {harvest_year} is over.", "Plan one that is still to come.")
        area = _with(PlannedArea(season_plan_id=plan.id, area_square_metres=0), wanted)
        known = known_names(connection)
        began = harvest_year if plan in new else None
        said = area_sentence(FarmSpeaker(known.farm), area, named_in(known), began=began)
        return save(store, connection, said, new=[*new, area], known=known)


def change_area(store: Store, area_id: UUID, wanted: AreaToCut) -> Done:
    """Save a planned area with another size, field, ground, crop or machine.

    Raises
    ------
    NotFoundError, RefusedError
        When it is not planned any more; when nothing would change, or the area cannot be true.
    """
    with store.writing() as connection:
        before = find_by_id(connection, PlannedArea, area_id)
        area = _with(before, wanted)
        if area == before:
            raise RefusedError("Nothing of this area was changed.", "Write another size, or choose otherwise.")
        known = known_names(connection)
        said = area_sentence(FarmSpeaker(known.farm), area, named_in(known), before=before)
        return save(store, connection, said, changed=[area], known=known)


def _with(area: PlannedArea, wanted: AreaToCut) -> PlannedArea:
    return replace(
        area,
        area_square_metres=wanted.area_square_metres,
        field_id=wanted.field_id,
        ground=wanted.ground,
        crop_id=wanted.crop_id,
        combine_id=wanted.combine_id,
        header_id=wanted.header_id,
    )
