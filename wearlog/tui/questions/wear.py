"""Questions of the wear screen: all kinds, one kind in sections, the bar of a component. They run in threads of the gateway."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Final
from uuid import UUID

from wearlog.errors import NotFoundError
from wearlog.tui.section import Picture, Section
from wearlog.tui.widgets.list_rows import ListColumn, ListRow

if TYPE_CHECKING:
    from wearlog.facts.machines import Machine
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.present.digits import Measures
    from wearlog.present.parts.strip_geometry import StripPicture
    from wearlog.present.wear.wear_page import KindPage, PlaceRow
    from wearlog.reckoning.wear.kind_view import KindView
    from wearlog.reckoning.wear.repairs_again import RepairsAgain
    from wearlog.reckoning.wear.wear_outlook import KindOutlook
    from wearlog.tui.door import Door

PART_COLUMNS: Final = (
    ListColumn("machine", 8, 10, weight=3),
    ListColumn("place", 14, 28, weight=4),
    ListColumn("positions", 10, 30),
    ListColumn("age", 9, 10, figures=True),
    ListColumn("lasts season by wear", 22, 22),
    ListColumn("breaks", 10, 11, figures=True, weight=2),
)
_PLACES: Final = (
    ListColumn("machine", 8, 12),
    ListColumn("place", 16, 30),
    ListColumn("positions", 9, 9, figures=True),
    ListColumn("broke", 6, 6, figures=True),
    ListColumn("stones", 20, 20),
)
_MEASURED: Final = (
    ListColumn("machine", 8, 10),
    ListColumn("place", 12, 30),
    ListColumn("read", 9, 9, figures=True),
    ListColumn("limit", 9, 9, figures=True),
    ListColumn("meets its limit at", 23, 34),
    ListColumn("season", 9, 9, figures=True),
    ListColumn("readings", 11, 11, weight=1),
)


@dataclass(frozen=True, slots=True, eq=False)
class WearShown:
    """The answer of all kinds, and what the charts are drawn from."""

    sheet: AnswerSheet[KindOutlook]

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
    from wearlog.present.wear.wear_sheet import wear_sheet
    from wearlog.reckoning.wear.wear_outlook import wear_outlook

    with door.log.reading() as connection:
        outlook = wear_outlook(connection, door.farm(connection), every=every)
    farm = outlook.farm
    return WearShown(wear_sheet(outlook.kinds, farm.machines, outlook.ahead, Measures(farm.settings)))


@dataclass(frozen=True, slots=True, eq=False)
class KindShown:
    """One kind in sections. `machines` are those it sits on, `machine_id` the one it is about (None: the whole fleet)."""

    page: KindPage
    sections: tuple[Section, ...]
    machines: tuple[tuple[UUID, str], ...]
    machine_id: UUID | None


def kind(door: Door, kind_id: UUID, machine_id: UUID | None = None) -> KindShown:
    """Reckon one kind, of the fleet or of one machine. NotFoundError when it is gone."""
    from wearlog.present.digits import Measures
    from wearlog.present.wear.kind_explained import explained
    from wearlog.present.wear.wear_page import kind_page_of
    from wearlog.reckoning.wear.kind_view import kind_view
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
    carriers = dict.fromkeys(one.kind for one in farm.machines if one.id in ids)
    again = [found for one in carriers if (found := repairs_again(farm, one, number)) is not None]
    measures = Measures(farm.settings)
    page = kind_page_of(view, age, farm, measures)
    machines = tuple((one.id, one.name) for one in farm.machines if one.id in ids)
    why = _unfolded(explained(view, measures))
    sections = _sections(page, view, farm.machines, again, why, measures)
    return KindShown(page, sections, machines, machine_id if known else None)


def _sections(
    page: KindPage,
    view: KindView,
    machines: Sequence[Machine],
    again: Sequence[RepairsAgain],
    why: tuple[str, ...],
    measures: Measures,
) -> tuple[Section, ...]:
    found = [
        Section("Life", page.life[:3], picture=partial(_survival, view, machines, measures), after=page.life[3:]),
        Section(
            "Parts now",
            columns=PART_COLUMNS,
            rows=_rows(page.parts),
            empty="It sits on no machine yet.",
            after=(page.total,),
        ),
    ]
    if page.places:
        found.append(Section("Where", page.hot, columns=_PLACES, rows=_rows(page.places)))
    if page.measured:
        found.append(
            Section(
                "Measured",
                columns=_MEASURED,
                rows=_rows(page.measured),
                picture=partial(_measured, view, measures),
                after=page.notes,
            )
        )
    found.append(_seasons(again, measures))
    found.append(Section("Why", why))
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


def _rows(rows: Sequence[PlaceRow]) -> tuple[ListRow, ...]:
    return tuple(ListRow(one.key, one.cells, alarm=one.alarm) for one in rows)


def _survival(view: KindView, machines: Sequence[Machine], measures: Measures, _: Hashable | None) -> Picture | None:
    from wearlog.present.wear.wear_charts import survival_chart
    from wearlog.present.wear.wear_tables import survival_table

    chart = survival_chart(view.row, measures)
    if chart is None:
        return None
    return Picture(chart, tuple(survival_table(view.row, {one.id: one.name for one in machines}, measures)))


def _measured(view: KindView, measures: Measures, key: Hashable | None) -> Picture | None:
    from wearlog.present.wear.wear_charts import measurement_chart
    from wearlog.present.wear.wear_tables import measurement_table

    place = key[1] if isinstance(key, tuple) else 0
    part = view.measured[place]
    table = tuple(measurement_table(part, measures))
    return Picture(measurement_chart(part, measures), table, table)


def _seasons(again: Sequence[RepairsAgain], measures: Measures) -> Section:
    from wearlog.present.wear.repair_sheet import repair_sheet
    from wearlog.tui.widgets.sheet_rows import sheet_source

    sheet = repair_sheet(again, measures, none="No machine that carries it has worked yet.")
    if not sheet.rows:
        return Section("Seasons", (sheet.empty,))
    source = sheet_source(sheet)
    return Section(
        "Seasons",
        columns=source.columns,
        rows=source.rows,
        picture=partial(_counted_up, again, measures),
        after=tuple(sheet.sentences),
    )


def _counted_up(again: Sequence[RepairsAgain], measures: Measures, key: Hashable | None) -> Picture | None:
    """Over usage as a chart, by season as bars and then over usage in figures (the table): the kind of machine under the cursor."""
    from wearlog.present.wear.wear_charts import repairs_chart
    from wearlog.present.wear.wear_tables import mean_count_table, season_bars

    one = next((one for one in again if key in [row.machine.id for row in one.machines]), None)
    if one is None:
        return None
    table = (*season_bars(one), "", *mean_count_table(one, measures))
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
