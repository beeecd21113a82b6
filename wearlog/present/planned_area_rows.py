"""The areas to cut of a season as rows and sentences for a screen, and one area while it is entered. Draws nothing."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from uuid import UUID

from wearlog.facts.closed_lists import Ground
from wearlog.facts.plain_text import one_line
from wearlog.facts.planning import PlannedArea
from wearlog.logbook.areas_to_cut import AreaToCut, PlannedAreas
from wearlog.present.digits import NOTHING, Measures
from wearlog.present.words import counted, listed, word

#: a difference of less, in the farm's unit of area, is not worth a word
_CLOSE = 0.01


@dataclass(frozen=True, slots=True)
class AreaRow:
    """A planned area: `cells` are area, field, ground, crop, cut by; `about` a sentence where its field has another size."""

    area_id: UUID
    cells: tuple[str, ...]
    about: str


@dataclass(frozen=True, slots=True)
class AreaPage:
    """All areas of the season in words, by field; `sum` adds them up, `empty` says what to do while there is none."""

    rows: tuple[AreaRow, ...]
    sum: str
    empty: str


def area_page(known: PlannedAreas) -> AreaPage:
    """Return the areas in words."""
    measures = Measures(known.settings)
    begins = "" if known.has_plan else " and begins the plan"
    return AreaPage(
        rows=tuple(sorted((_row(known, area, measures) for area in known.areas), key=_by_field)),
        sum=_sum(known, measures) if known.areas else "",
        empty=f"Nothing to cut is planned for {known.harvest_year}; a adds the first area{begins}.",
    )


def _row(known: PlannedAreas, area: PlannedArea, measures: Measures) -> AreaRow:
    field = known.field(area.field_id)
    return AreaRow(
        area_id=area.id,
        cells=(
            area_words(area.area_square_metres, measures),
            one_line(field.name) if field is not None else NOTHING,
            word(known.ground_of(area)),
            next((one_line(one.name) for one in known.crops if one.id == area.crop_id), NOTHING),
            cut_by(known, area),
        ),
        about=_against_field(known, area.field_id, known.planned_of(area.field_id), measures) if area.field_id else "",
    )


def _by_field(row: AreaRow) -> tuple[bool, str]:
    """Fields by name, then what is planned by ground alone in the order in which it was entered."""
    field = row.cells[1]
    return field == NOTHING, field.casefold()


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


def _against_field(known: PlannedAreas, field_id: UUID, planned: int, measures: Measures) -> str:
    """Say where more or less of a field is planned than it has."""
    field = known.field(field_id)
    if field is None or abs(measures.area_number(planned - field.area_square_metres)) < _CLOSE:
        return ""
    whole, part = area_words(field.area_square_metres, measures), area_words(planned, measures)
    return f"On {one_line(field.name)} {part} are planned; it has {whole}."


def area_sentence(known: PlannedAreas, wanted: AreaToCut, *, harvest_year: int, area_id: UUID | None = None) -> str:
    """Return what would be planned, in words, before it is saved."""
    measures = Measures(known.settings)
    field = known.field(wanted.field_id)
    crop = next((one_line(one.name) for one in known.crops if one.id == wanted.crop_id), "")
    pieces = [
        f"{area_words(wanted.area_square_metres, measures)}{f' on {one_line(field.name)}' if field is not None else ''}",
        word(known.ground_of(wanted)),
        *([crop] if crop else []),
        f"cut by {cut_by(known, wanted)}" if wanted.combine_id or wanted.header_id else "shared over all machines",
    ]
    said = f"{', '.join(pieces)}, in {harvest_year}."
    if field is None:
        return said
    planned = known.planned_of(field.id, but_for=area_id) + wanted.area_square_metres
    return f"{said} {_against_field(known, field.id, planned, measures)}".rstrip()
