"""The wear screen in words: kinds in the order of threat, and of one kind its parts, hot places and measurements as rows."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import format_positions
from wearlog.present.component_names import component_name
from wearlog.present.digits import NOTHING, Measures, number, percent
from wearlog.present.kind_page import chance_text, hot_sentence, life_sentences
from wearlog.present.measured_words import crossing_text
from wearlog.present.wear_words import (
    breakage_rate,
    expected_text,
    lasting,
    rests_on_briefly,
    rough,
    season_sentence,
    way_of_failing,
)
from wearlog.present.words import counted
from wearlog.reckoning.age_groups import AgeGroup
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.kind_view import KindView
from wearlog.reckoning.wear_outlook import ComponentOutlook, KindOutlook, WearOutlook


@dataclass(frozen=True, slots=True)
class KindRow:
    """A kind in words; `cells` are those of the list, `expected` and `name` what it is ordered by."""

    kind_id: UUID
    name: str
    expected: float
    breakages: int
    cells: tuple[str, ...]
    about: str
    failed: int


@dataclass(frozen=True, slots=True)
class WearPage:
    """The kinds, the most threatened first. `machines` are (id, name) of those something sits on."""

    about: str
    kinds: tuple[KindRow, ...]


def wear_page(outlook: WearOutlook, measures: Measures) -> WearPage:
    """Say all kinds."""
    names = {machine.id: machine.name for machine in outlook.farm.machines}
    return WearPage(
        season_sentence(outlook.ahead, measures), tuple(_kind_row(one, names, measures) for one in outlook.kinds)
    )


def _kind_row(row: KindOutlook, names: dict[UUID, str], measures: Measures) -> KindRow:
    life, meter = row.life, row.life.kind.meter_kind
    failed = sum(len(group.positions) for one in row.components for group in one.groups if group.failed)
    worst = [one.worst for one in row.components if one.worst is not None]
    b10 = life.b10
    state = f"{failed} FAILED" if failed else percent(min(worst)) if worst else NOTHING
    return KindRow(
        kind_id=life.kind.id,
        name=one_line(life.kind.name),
        expected=row.expected,
        breakages=row.breakages,
        cells=(
            one_line(life.kind.name),
            expected_text(row.expected),
            state,
            lasting(meter, life.median_life, measures),
            NOTHING if b10 is None else rough(measures.usage_number(meter, b10.median)),
            way_of_failing(life),
            breakage_rate(row, measures),
            rests_on_briefly(life),
        ),
        about=_about(row, names, measures),
        failed=failed,
    )


def _about(row: KindOutlook, names: dict[UUID, str], measures: Measures) -> str:
    if not row.components:
        return "It sits on no machine yet."
    one = row.components[0]
    where = f"{names.get(one.machine_id, '')}, {component_name(one.place, row.life.kind.name)}"
    pieces = [f"{expected_text(one.expected)} expected to break ({expected_text(one.expected_impacts)} by stones)"]
    if one.oldest is not None:
        pieces.append(f"oldest {measures.usage(row.life.kind.meter_kind, one.oldest)}")
    if one.unknown:
        pieces.append(f"{one.unknown} of unknown age")
    pieces.append(f"broke {counted(one.breakages, 'time')} so far")
    more = f"; {counted(len(row.components) - 1, 'other component')}" if len(row.components) > 1 else ""
    return one_line(f"Most on {where}: {', '.join(pieces)}{more}.")


@dataclass(frozen=True, slots=True)
class PlaceRow:
    """A row about one component; `key` tells rows apart."""

    key: tuple[UUID, int]
    machine_id: UUID
    cells: tuple[str, ...]
    alarm: bool = False


@dataclass(frozen=True, slots=True)
class KindPage:
    """One kind: sentences, and rows for the lists of its sections. `places` are the components of several positions."""

    kind_id: UUID
    title: str
    life: tuple[str, ...]
    total: str
    parts: tuple[PlaceRow, ...]
    hot: tuple[str, ...]
    places: tuple[PlaceRow, ...]
    measured: tuple[PlaceRow, ...]


def kind_page_of(view: KindView, farm: Farm, measures: Measures) -> KindPage:
    """Say one kind."""
    names = {machine.id: machine.name for machine in farm.machines}
    heading, *life = life_sentences(view, measures)
    row = view.row
    wear = sum(one.expected_wear for one in row.components)
    stones = sum(one.expected_impacts for one in row.components)
    return KindPage(
        kind_id=row.life.kind.id,
        title=one_line(heading),
        life=tuple(one_line(sentence) for sentence in life),
        total=f"{season_sentence(view.ahead, measures)} Expected to break: {expected_text(row.expected)} "
        f"({expected_text(wear)} by wear, {expected_text(stones)} by stones).",
        parts=tuple(cells for one in row.components for cells in _part_rows(one, view, names, measures)),
        hot=tuple(one_line(hot_sentence(place, names)) for place in view.hot if place.is_hot),
        places=tuple(_place_row(one, view, names) for one in row.components if one.positions > 1),
        measured=tuple(_measured_row(view, place, farm, measures) for place in range(len(view.measured))),
    )


def _part_rows(one: ComponentOutlook, view: KindView, names: dict[UUID, str], measures: Measures) -> list[PlaceRow]:
    head = (one_line(names.get(one.machine_id, NOTHING)), one_line(one.place))
    rows = [
        PlaceRow(
            (one.component_id, place), one.machine_id, (*head, *_group_cells(one, group, view, measures)), group.failed
        )
        for place, group in enumerate(one.groups)
    ]
    if not one.groups:
        rows.append(PlaceRow((one.component_id, 0), one.machine_id, (*head, "nothing fitted", NOTHING, "", "")))
    return rows


def _group_cells(one: ComponentOutlook, group: AgeGroup, view: KindView, measures: Measures) -> tuple[str, ...]:
    where = "all" if len(group.positions) == one.positions > 1 else format_positions(group.positions)
    by_wear = 0.0 if group.survives is None else len(group.positions) * (1 - group.survives)
    said = "FAILED, still runs" if group.failed else chance_text(group)
    return (where, measures.usage(view.row.life.kind.meter_kind, group.age), said, expected_text(by_wear))


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
    chance = part.chance
    season = "PAST" if part.past_limit else NOTHING if chance is None else percent(chance)
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
            season,
        ),
        alarm=part.past_limit,
    )
