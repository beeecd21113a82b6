"""The areas to cut of a season as an answer: by field, their sum by ground; and one area in words while it is entered."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from uuid import UUID

from wearlog.facts.closed_lists import Ground
from wearlog.facts.plain_text import one_line
from wearlog.facts.work import PlannedArea
from wearlog.logbook.deed_sentences import area_sentence
from wearlog.logbook.plan.areas_to_cut import AreaToCut, PlannedAreas
from wearlog.logbook.said.measures import FarmSpeaker
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data
from wearlog.present.digits import NOTHING, Measures
from wearlog.present.json_form import rounded
from wearlog.present.words import counted, listed, word

#: a difference of less, in the farm's unit of area, is not worth a word
_CLOSE = 0.01


def planned_area_sheet(known: PlannedAreas) -> AnswerSheet[PlannedArea]:
    """Return the answer, fields by name, then what is planned by ground alone in the order in which it was entered."""
    measures = Measures(known.settings)
    rows = sorted(known.areas, key=lambda area: _by_field(known, area))
    return AnswerSheet(
        name="areas",
        columns=_columns(known, {area.id: number for number, area in enumerate(rows, 1)}),
        rows=rows,
        measures=measures,
        headline=_sum(known, measures) if rows else "",
        empty=f"Nothing to cut is planned for {known.harvest_year}; 'wearlog plan area 640ac --ground stony' plans some.",
        beside={"season": known.harvest_year},
        key_of=lambda area: area.id,
        about=lambda area, measures: _about(known, area, measures),
    )


def _by_field(known: PlannedAreas, area: PlannedArea) -> tuple[bool, str]:
    field = known.field(area.field_id)
    return field is None, "" if field is None else field.name.casefold()


def _columns(known: PlannedAreas, numbers: dict[UUID, int]) -> tuple[AnswerColumn[PlannedArea], ...]:
    """The columns; by its number a command takes an area out."""

    def name(id_of: Callable[[PlannedArea], UUID | None]) -> Callable[[PlannedArea, Measures], str | None]:
        return lambda area, _: known.names.get(found) if (found := id_of(area)) is not None else None

    field, crop = name(lambda area: area.field_id), name(lambda area: area.crop_id)
    return (
        AnswerColumn(
            "no.",
            lambda area, _: str(numbers[area.id]),
            "number",
            lambda area, _: numbers[area.id],
            least=3,
            most=3,
            figures=True,
            gives=3,
        ),
        AnswerColumn(
            "area",
            lambda area, measures: area_words(area.area_square_metres, measures),
            "{acres}",
            lambda area, measures: rounded(measures.area_number(area.area_square_metres), 1),
            least=9,
            most=11,
            figures=True,
        ),
        AnswerColumn("field", lambda area, _: field(area, _) or NOTHING, "field", field, least=10, most=30),
        AnswerColumn(
            "ground",
            lambda area, _: word(known.ground_of(area)),
            "ground",
            lambda area, _: known.ground_of(area),
            least=10,
            most=12,
        ),
        AnswerColumn("crop", lambda area, _: crop(area, _) or NOTHING, "crop", crop, least=11, most=18, gives=1),
        AnswerColumn("cut by", lambda area, _: cut_by(known, area), least=16, most=36, gives=2),
        data("combine", name(lambda area: area.combine_id)),
        data("header", name(lambda area: area.header_id)),
    )


def area_words(square_metres: float, measures: Measures) -> str:
    """Return 640 ac or 846.5 ac."""
    figure, unit = measures.area(square_metres, 1).rsplit(" ", 1)
    return f"{figure.removesuffix('.0')} {unit}"


def cut_by(known: PlannedAreas, area: PlannedArea | AreaToCut) -> str:
    """Return which machines an area is left to."""
    names = [one_line(one.name) for one in known.combines if one.id == area.combine_id]
    names += [one_line(one.name) for one in known.headers if one.id == area.header_id]
    return ", ".join(names) or "all as they work"


def _sum(known: PlannedAreas, measures: Measures) -> str:
    by_ground: Counter[Ground] = Counter()
    for area in known.areas:
        by_ground[known.ground_of(area)] += area.area_square_metres
    parts = [f"{area_words(by_ground[ground], measures)} {word(ground)}" for ground in Ground if by_ground[ground]]
    together = f"{counted(len(known.areas), 'area')}, together {area_words(by_ground.total(), measures)}"
    return f"{together}: {listed(parts)}." if len(parts) > 1 else f"{together}, all {word(next(iter(by_ground)))}."


def _about(known: PlannedAreas, area: PlannedArea, measures: Measures) -> str:
    return _against_field(known, area.field_id, known.planned_of(area.field_id), measures) if area.field_id else ""


def _against_field(known: PlannedAreas, field_id: UUID, planned: int, measures: Measures) -> str:
    """Say where more or less of a field is planned than it has."""
    field = known.field(field_id)
    if field is None or abs(measures.area_number(planned - field.area_square_metres)) < _CLOSE:
        return ""
    whole, part = area_words(field.area_square_metres, measures), area_words(planned, measures)
    return f"On {one_line(field.name)} {part} are planned; it has {whole}."


def area_ahead(known: PlannedAreas, wanted: AreaToCut, *, harvest_year: int, area_id: UUID | None = None) -> str:
    """Return the sentence that will be kept, before it is saved, and where it makes more or less than the field."""
    said = area_sentence(
        FarmSpeaker(known.settings),
        wanted,
        known.names,
        before=known.area(area_id),
        began=None if known.has_plan else harvest_year,
    )
    field = known.field(wanted.field_id)
    if field is None:
        return said
    planned = known.planned_of(field.id, but_for=area_id) + wanted.area_square_metres
    against = _against_field(known, field.id, planned, Measures(known.settings))
    return f"{said}. {against}" if against else said
