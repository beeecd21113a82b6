"""The wear screen in words: kinds in the order of threat, and of one kind its parts, hot places and measurements as rows."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import format_positions
from wearlog.present.digits import NOTHING, Measures, number
from wearlog.present.wear.kind_page import (
    chance_text,
    expected_sentence,
    group_expected,
    hot_sentence,
    life_sentences,
    shown_groups,
)
from wearlog.present.wear.measured_words import crossing_text, measured_notes, season_text
from wearlog.present.wear.wear_words import expected_text, season_sentence
from wearlog.reckoning.farm.whole_farm import Farm
from wearlog.reckoning.wear.age_groups import AgeGroup
from wearlog.reckoning.wear.kind_view import KindView
from wearlog.reckoning.wear.replacement_age import NoAge, ReplacementAge
from wearlog.reckoning.wear.wear_outlook import ComponentOutlook


@dataclass(frozen=True, slots=True)
class PlaceRow:
    """A row about one component; `key` tells rows apart."""

    key: tuple[UUID, int]
    machine_id: UUID
    cells: tuple[str, ...]
    alarm: bool = False


@dataclass(frozen=True, slots=True)
class KindPage:
    """One kind: sentences, and rows for the lists of its sections.

    `places` are the components of several positions, `notes` what is to be said of the measurements.
    """

    kind_id: UUID
    title: str
    life: tuple[str, ...]
    total: str
    parts: tuple[PlaceRow, ...]
    hot: tuple[str, ...]
    places: tuple[PlaceRow, ...]
    measured: tuple[PlaceRow, ...]
    notes: tuple[str, ...]


def kind_page_of(view: KindView, age: ReplacementAge | NoAge, farm: Farm, measures: Measures) -> KindPage:
    """Say one kind; `age` is that at which replacing costs least."""
    names = {machine.id: machine.name for machine in farm.machines}
    heading, *life = life_sentences(view, age, measures)
    row = view.row
    return KindPage(
        kind_id=row.life.kind.id,
        title=one_line(heading),
        life=tuple(one_line(sentence) for sentence in life),
        total=f"{season_sentence(view.ahead, measures)} {expected_sentence(view)}".rstrip(),
        parts=tuple(cells for one in row.components for cells in _part_rows(one, view, names, measures)),
        hot=tuple(one_line(hot_sentence(place, names)) for place in view.hot if place.is_hot),
        places=tuple(_place_row(one, view, names) for one in row.components if one.positions > 1),
        measured=tuple(_measured_row(view, place, farm, measures) for place in range(len(view.measured))),
        notes=tuple(measured_notes(view.measured, measures)),
    )


def _part_rows(one: ComponentOutlook, view: KindView, names: dict[UUID, str], measures: Measures) -> list[PlaceRow]:
    head = (one_line(names.get(one.machine_id, NOTHING)), one_line(one.place))
    rows = [
        PlaceRow(
            (one.component_id, place), one.machine_id, (*head, *_group_cells(one, group, view, measures)), group.failed
        )
        for place, group in enumerate(shown_groups(one, view, measures))
    ]
    if not one.groups:
        rows.append(PlaceRow((one.component_id, 0), one.machine_id, (*head, "nothing fitted", NOTHING, "", "")))
    return rows


def _group_cells(one: ComponentOutlook, group: AgeGroup, view: KindView, measures: Measures) -> tuple[str, ...]:
    where = "all" if len(group.positions) == one.positions > 1 else format_positions(group.positions)
    said = "FAILED, still runs" if group.failed else chance_text(group, view.ahead)
    expected = expected_text(group_expected(group, view.ahead))
    return (where, measures.usage(view.row.life.kind.meter_kind, group.age), said, expected)


def _place_row(one: ComponentOutlook, view: KindView, names: dict[UUID, str]) -> PlaceRow:
    hot = next((place for place in view.hot if place.component.id == one.component_id and place.is_hot), None)
    return PlaceRow(
        (one.component_id, 0),
        one.machine_id,
        (
            one_line(names.get(one.machine_id, NOTHING)),
            one_line(one.place),
            number(one.positions),
            number(one.breakages),
            f"HOT {hot.window.first}-{hot.window.last}" if hot else "no place stands out",
        ),
        alarm=hot is not None,
    )


def _measured_row(view: KindView, place: int, farm: Farm, measures: Measures) -> PlaceRow:
    part = view.measured[place]
    component = farm.components[part.component]
    machine = next((one.name for one in farm.machines if one.id == component.machine_id), NOTHING)
    where = component.place if component.positions == 1 else f"{component.place} {part.position}"
    return PlaceRow(
        (component.id, place),
        component.machine_id,
        (
            one_line(machine),
            one_line(where),
            measures.small_length(float(part.micrometres[-1])),
            measures.small_length(part.limit),
            crossing_text(part, measures),
            season_text(part),
            f"{part.usage.size}, {len(part.outliers)} apart" if part.outliers else number(part.usage.size),
        ),
        alarm=part.past_limit or part.past_by_line,
    )
