"""Questions of the wear screen: all kinds, one kind in sections, the bar of a component. They run in threads of the gateway."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Final
from uuid import UUID

from wearlog.errors import NotFoundError
from wearlog.tui.section import Picture, Section, one_liners, sheet_section

if TYPE_CHECKING:
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.present.digits import Measures
    from wearlog.present.parts.strip_geometry import StripPicture
    from wearlog.present.wear.kind_page import KindPage
    from wearlog.reckoning.farm import Farm
    from wearlog.reckoning.parts.shelf_shares import RoughPlace
    from wearlog.reckoning.wear.parts_compared import PartsCompared
    from wearlog.reckoning.wear.repairs_again import RepairsAgain
    from wearlog.reckoning.wear.wear_outlook import KindOutlook
    from wearlog.tui.door import Door

#: a sentence above a table fits the narrowest screen
_NARROW: Final = 44


@dataclass(frozen=True, slots=True, eq=False)
class WearShown:
    """The answer of all kinds, and what the charts are drawn from."""

    sheet: AnswerSheet[KindOutlook]
    #: the same with the lives as strips
    listed: AnswerSheet[KindOutlook]

    def row(self, key: Hashable | None) -> KindOutlook | None:
        """Return a kind by its id."""
        return next((one for one in self.sheet.rows if one.life.kind.id == key), None)

    def picture(self, key: Hashable | None) -> Picture | None:
        """The survival of the kind under the cursor; called in a thread."""
        from wearlog.present.wear.wear_charts import survival_chart

        row = self.row(key)
        return None if row is None else Picture(survival_chart(row, self.sheet.measures))


def wear(door: Door, *, every: bool = False) -> WearShown:
    """Reckon what the coming acres threaten; `every`: the kinds that sit on no machine too."""
    from wearlog.present.digits import Measures
    from wearlog.present.wear.wear_list import with_strips
    from wearlog.present.wear.wear_sheet import wear_sheet
    from wearlog.present.wear.wear_words import is_known
    from wearlog.reckoning.wear.wear_outlook import wear_outlook

    with door.log.reading() as connection:
        outlook = wear_outlook(connection, door.farm(connection), every=every)
    farm = outlook.farm
    sheet = wear_sheet(outlook.kinds, farm.machines, outlook.ahead, Measures(farm.settings))
    return WearShown(sheet, with_strips(sheet, known=is_known(outlook.ahead)))


@dataclass(frozen=True, slots=True, eq=False)
class KindShown:
    """One kind in sections. `machines` are those it sits on, `machine_id` the one it is about (None: the whole fleet).

    `machine_of` says on which machine each of its components sits, the most threatened first; `answer` how long it lasts.
    """

    page: KindPage
    sections: tuple[Section, ...]
    machines: tuple[tuple[UUID, str], ...]
    machine_id: UUID | None
    machine_of: Mapping[UUID, UUID]
    answer: tuple[str, str]


def kind(door: Door, kind_id: UUID, machine_id: UUID | None = None) -> KindShown:
    """Reckon one kind, of the fleet or of one machine. NotFoundError when it is gone."""
    from wearlog.present.digits import Measures
    from wearlog.present.wear.kind_answer import kind_answer
    from wearlog.present.wear.kind_page import kind_page
    from wearlog.reckoning.wear.kind_view import kind_view
    from wearlog.reckoning.wear.parts_compared import parts_compared
    from wearlog.reckoning.wear.repairs_again import repairs_again
    from wearlog.reckoning.wear.replacement_age import replacement_age

    with door.log.reading() as connection:
        farm = door.farm(connection)
        number = next((place for place, one in enumerate(farm.part_kinds) if one.id == kind_id), None)
        if number is None:
            raise NotFoundError("This kind of part is not in the log any more.")
        known = machine_id in [one.id for one in farm.machines]
        # the view of the whole fleet says on which machines it sits
        view = kind_view(connection, farm, number)
        ids = {one.machine_id for one in view.row.components}
        if machine_id is not None and known:
            view = kind_view(connection, farm, number, farm.machine_number(machine_id))
        age = replacement_age(connection, farm, view.row)
        numbers = parts_compared(connection, farm, number, at_least=2)
    carriers = dict.fromkeys(one.kind for one in farm.machines if one.id in ids)
    again = [found for one in carriers if (found := repairs_again(farm, one, number)) is not None]
    page = kind_page(view, age, farm, Measures(farm.settings))
    machines = tuple((one.id, one.name) for one in farm.machines if one.id in ids)
    machine_of = {one.component_id: one.machine_id for one in view.row.components}
    return KindShown(
        page, _sections(page, again, numbers), machines, machine_id if known else None, machine_of, kind_answer(page)
    )


def set_aside(door: Door, kind_id: UUID) -> str:
    """Set aside what is reckoned beyond the plain model of a kind, or take it up again where anything was set aside."""
    from wearlog.logbook.farm.farm_setting import set_aside as keep
    from wearlog.present.wear.departure_words import aside_said
    from wearlog.reckoning.wear.kind_life import fleet_lives, kind_life

    with door.log.reading() as connection:
        farm = door.farm(connection)
        number = next((place for place, one in enumerate(farm.part_kinds) if one.id == kind_id), None)
        if number is None:
            raise NotFoundError("This kind of part is not in the log any more.")
        life = kind_life(fleet_lives(farm), number)
    if life.aside or life.beyond:
        keep(door.log, life.kind.name, frozenset() if life.aside else life.beyond)
    return aside_said(life)


def missing_places(door: Door, kind_id: UUID) -> tuple[RoughPlace, ...]:
    """Return the seasons of a kind that were counted, with how many are missing in each. RefusedError where there is none."""
    from wearlog.reckoning.parts.shelf_shares import rough_place, rough_places

    with door.log.reading() as connection:
        farm = door.farm(connection)
    number = _number_of(farm, kind_id)
    rough_place(farm, number)
    return rough_places(farm, number)


def enter_missing(door: Door, kind_id: UUID, harvest_year: int, quantity: int) -> str:
    """Save pieces of a kind that broke in a season, day and place not known."""
    from wearlog.logbook.parts.stocking import enter_roughly
    from wearlog.present.words import saved_line
    from wearlog.reckoning.parts.shelf_shares import rough_place

    with door.log.reading() as connection:
        farm = door.farm(connection)
    place = rough_place(farm, _number_of(farm, kind_id), harvest_year)
    return saved_line(enter_roughly(door.log, place.part, quantity, harvest_year=harvest_year, at=place.at))


def _number_of(farm: Farm, kind_id: UUID) -> int:
    number = next((place for place, one in enumerate(farm.part_kinds) if one.id == kind_id), None)
    if number is None:
        raise NotFoundError("This kind of part is not in the log any more.")
    return number


# what the sections of a kind mean, for the page of keys and words
_LIFE: Final = (
    "the share of new ones still whole at an age; dots are the 90 % interval, upright lines the oldest part of each component "
    "today."
)
_PARTS: Final = "positions by age, each with its chance to last the season by wear; stones come on top."
_NUMBERS: Final = (
    "part numbers of this kind beside each other: how long each lasts and what it costs for the work it does."
)
_WHERE: Final = (
    "the bar of the component under the cursor with every position in its place, and where breakages bunch; Tab goes onto "
    "it."
)
_MEASURED: Final = "readings, the limit, and the age at which it is met."
_SEASONS: Final = "breakages counted up."
_WHY: Final = "which lives it rests on, what was left out, and what would make it surer."


def _sections(page: KindPage, again: Sequence[RepairsAgain], numbers: PartsCompared | None) -> tuple[Section, ...]:
    from wearlog.present.wear.kind_explained import explained
    from wearlog.present.wear.repair_sheet import repair_sheet

    # the first sentence is the answer of the screen
    life = one_liners(page.life)[1:]
    found = [
        Section("Life", life[:1], picture=partial(_survival, page), after=life[1:], about=_LIFE),
        sheet_section("Parts now", page.parts, after=(page.parts.headline,), about=_PARTS),
    ]
    if numbers is not None:
        from wearlog.present.wear.parts_compared_sheet import parts_compared_sheet

        compared = parts_compared_sheet(numbers, numbers.kind.name, page.measures)
        found.append(sheet_section("Numbers", compared, before=compared.said, about=_NUMBERS))
    if page.where.rows:
        found.append(sheet_section("Where", page.where, before=page.where.sentences, after=(), about=_WHERE))
    if page.measured.rows:
        picture = partial(_measured, page)
        said = page.measured.sentences
        found.append(sheet_section("Measured", page.measured, after=said, picture=picture, about=_MEASURED))
    seasons = repair_sheet(again, page.measures, none="No machine that carries it has worked yet.")
    if seasons.rows:
        counted = partial(_counted_up, again, page.measures)
        found.append(sheet_section("Seasons", seasons, after=seasons.sentences, picture=counted, about=_SEASONS))
    else:
        found.append(Section("Seasons", (seasons.empty,), about=_SEASONS))
    found.append(Section("Why", _unfolded(explained(page.view, page.measures)), about=_WHY))
    return tuple(found)


def _unfolded(lines: Sequence[str]) -> tuple[str, ...]:
    """Return sentences that were folded for a command as one line each: the screen folds them to its own width."""
    found: list[str] = []
    for line in lines:
        if line.startswith("    ") and found:
            found[-1] = f"{found[-1]} {line.strip()}"
        else:
            found.append(line)
    return tuple(found)


def _survival(page: KindPage, _: Hashable | None) -> Picture | None:
    from wearlog.present.sheet_faces import table_lines
    from wearlog.present.wear.wear_charts import survival_chart
    from wearlog.present.wear.wear_tables import survival_sheet

    chart = survival_chart(page.view.row, page.measures)
    if chart is None:
        return None
    return Picture(chart, tuple(table_lines(survival_sheet(page.view.row, page.machine_names, page.measures))))


def _measured(page: KindPage, key: Hashable | None) -> Picture | None:
    from wearlog.present.sheet_faces import table_lines
    from wearlog.present.tables import folded
    from wearlog.present.wear.wear_charts import measurement_chart
    from wearlog.present.wear.wear_tables import reading_sheet

    part = page.view.measured[key[1] if isinstance(key, tuple) else 0]
    sheet = reading_sheet(part, page.measures)
    table = (*folded(sheet.sentences, width=_NARROW), *table_lines(sheet))
    return Picture(measurement_chart(part, page.measures), table, table)


def _counted_up(again: Sequence[RepairsAgain], measures: Measures, key: Hashable | None) -> Picture | None:
    """Over usage as a chart, by season as bars and then over usage in figures (the table): the kind of machine under the cursor."""
    from wearlog.present.sheet_faces import table_lines
    from wearlog.present.wear.wear_charts import repairs_chart
    from wearlog.present.wear.wear_tables import mean_count_sheet, season_bars

    one = next((one for one in again if key in [row.machine.id for row in one.machines]), None)
    if one is None:
        return None
    counts = mean_count_sheet(one, measures)
    table = (*season_bars(one), "", *(table_lines(counts) if counts.rows else ()))
    return Picture(repairs_chart(one, measures), table, table)


def component_strip(door: Door, component_id: UUID, machine_id: UUID) -> StripPicture | None:
    """Return the bar of a component."""
    from wearlog.present.digits import Measures
    from wearlog.present.yard.machine_page import strip_picture
    from wearlog.reckoning.yard.machine_view import machine_view

    with door.log.reading() as connection:
        view = machine_view(connection, door.farm(connection), machine_id)
    found = next((one for one in view.components if one.component.id == component_id), None)
    return None if found is None else strip_picture(found, Measures(view.settings))
