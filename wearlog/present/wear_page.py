"""The wear screen in words: kinds in the order of threat, and of one kind its parts, hot places and measurements as rows."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from wearlog.facts.component_names import component_name
from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import format_positions
from wearlog.present.digits import NOTHING, Measures, number, percent
from wearlog.present.kind_page import (
    chance_text,
    expected_sentence,
    group_expected,
    hot_sentence,
    life_sentences,
    shown_groups,
)
from wearlog.present.measured_words import crossing_text, measured_notes, season_text
from wearlog.present.wear_words import (
    about_text,
    ahead_text,
    breakage_rate,
    expected_text,
    failures_text,
    is_known,
    lasting,
    rests_on_in_a_sentence,
    rests_on_in_a_word,
    rough,
    season_sentence,
    unknown_ages,
    way_of_failing,
)
from wearlog.present.words import counted
from wearlog.reckoning.age_groups import AgeGroup
from wearlog.reckoning.farm import Farm
from wearlog.reckoning.kind_view import KindView
from wearlog.reckoning.replacement_age import NoAge, ReplacementAge
from wearlog.reckoning.season_ahead import SeasonAhead
from wearlog.reckoning.wear_outlook import ComponentOutlook, KindOutlook, WearOutlook


@dataclass(frozen=True, slots=True)
class KindRow:
    """A kind in words; `cells` are those of the list, `threat`, `rate` and `name` what it is ordered by.

    `threat` counts parts of unknown age at the steady rate; `rate` is breakages per area, 0 where nothing was cut.
    """

    kind_id: UUID
    name: str
    threat: float
    rate: float
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
        season_sentence(outlook.ahead, measures),
        tuple(_kind_row(one, names, outlook.ahead, measures) for one in outlook.kinds),
    )


def _kind_row(row: KindOutlook, names: dict[UUID, str], ahead: SeasonAhead, measures: Measures) -> KindRow:
    life, meter = row.life, row.life.kind.meter_kind
    failed = sum(len(group.positions) for one in row.components for group in one.groups if group.failed)
    worst = [one.worst for one in row.components if one.worst is not None]
    b10 = life.b10
    state = f"{failed} FAILED" if failed else percent(min(worst)) if worst and is_known(ahead) else NOTHING
    return KindRow(
        kind_id=life.kind.id,
        name=one_line(life.kind.name),
        threat=row.threat,
        rate=row.breakages / life.area if life.area > 0 else 0.0,
        cells=(
            one_line(life.kind.name),
            ahead_text(row, ahead),
            state,
            lasting(meter, life.median_life, measures),
            NOTHING if b10 is None else rough(measures.usage_number(meter, b10.median)),
            way_of_failing(life),
            breakage_rate(row, measures),
            number(life.lives.count),
            rests_on_in_a_word(life),
        ),
        about=_about(row, names, ahead, measures),
        failed=failed,
    )


def _about(row: KindOutlook, names: dict[UUID, str], ahead: SeasonAhead, measures: Measures) -> str:
    """What the kind rests on, and where most of it is to break: what a narrow list has no room for."""
    life = row.life
    rests = f"Rests on {rests_on_in_a_sentence(life)}"
    if life.lives.left_out:
        rests = f"{rests} ({number(life.lives.left_out)} left out, age unknown)"
    if life.posterior is not None:
        rests = f"{rests}; {_FAILING[way_of_failing(life)]}"
    if not row.components:
        return one_line(f"{rests}. It sits on no machine yet.")
    one = row.components[0]
    pieces = []
    if is_known(ahead):
        stones = f" ({expected_text(one.expected_impacts)} by stones)" if one.expected_impacts else ""
        pieces.append(f"{expected_text(one.expected_known)} expected to break{stones}")
        if failures := failures_text(one, ahead):
            pieces.append(f"{failures} failures with successors")
    if one.oldest is not None:
        pieces.append(f"oldest {measures.usage(life.kind.meter_kind, one.oldest)}")
    if unknown_ages(one):
        more = (
            "" if one.expected_steady is None or not is_known(ahead) else f" ({about_text(one.expected_steady)} more)"
        )
        pieces.append(f"{number(unknown_ages(one))} of unknown age{more}")
    pieces.append(f"broke {counted(one.breakages, 'time')}" if one.breakages else "never broke")
    more = f"; {counted(len(row.components) - 1, 'other component')}" if len(row.components) > 1 else ""
    where = f"{names.get(one.machine_id, '')}, {component_name(one.place, life.kind.name)}"
    return one_line(f"Most on {where}: {', '.join(pieces)}{more}. {rests}.")


_FAILING = {
    "wear-out": "it wears out",
    "early": "it fails early",
    "chance": "age does not matter",
    "unclear": "whether age matters is unclear",
}


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
