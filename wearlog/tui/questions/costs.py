"""Questions of the cost screen: every split with its bars, the repair curves, the economic lives. They run in threads."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Final

from wearlog.tui.section import Picture, Section
from wearlog.tui.widgets.list_rows import ListColumn, ListRow

if TYPE_CHECKING:
    from wearlog.present.digits import Measures
    from wearlog.reckoning.costs import CostTable
    from wearlog.reckoning.own_costs import FleetCurves, MachineLife
    from wearlog.tui.door import Door

_MACHINES: Final = (
    ListColumn("combine", 10, 18),
    ListColumn("hours", 8, 9, figures=True),
    ListColumn("seasons", 7, 7, figures=True, weight=1),
    ListColumn("paid", 8, 10, figures=True),
    ListColumn("published", 9, 10, figures=True),
    ListColumn("times", 5, 6, figures=True),
    ListColumn("own exponent", 15, 16, weight=2),
)
_LIVES: Final = (
    ListColumn("combine", 8, 12),
    ListColumn("age", 5, 6, figures=True),
    ListColumn("by published", 14, 16),
    ListColumn("by own records", 15, 18),
    ListColumn("one more year", 22, 44),
)
#: what a list shows beside the key, in the order in which columns go when the screen is narrow
_WEIGHTS: Final = (0, 0, 0, 0, 1, 3, 2, 4, 5)


@dataclass(frozen=True, slots=True)
class CostsShown:
    """Everything on the screen. `years` are those that can be chosen, `year` the chosen one, None for all."""

    sections: tuple[Section, ...]
    years: tuple[int, ...]
    year: int | None
    about: str


def costs(door: Door, year: int | None, interest: float) -> CostsShown:
    """Reckon all splits, of all seasons or of one; `interest` is per cent a year on what is tied up."""
    from wearlog.present.digits import Measures
    from wearlog.reckoning.costs import Split, cost_table
    from wearlog.reckoning.own_costs import economic_lives, own_curves

    with door.log.reading() as connection:
        farm = door.farm(connection)
        season = next((one for one in farm.seasons if one.harvest_year == year), None)
        tables = [cost_table(connection, farm, by, season) for by in Split]
        curves = own_curves(connection, farm)
    lives = economic_lives(farm, curves, yearly_rate=interest / 100)
    measures = Measures(farm.settings)
    sections = [_split(table, measures) for table in tables]
    sections += [_curves(curves, measures), _lives(lives, measures, interest)]
    begun = tuple(one.harvest_year for one in farm.seasons if one.starts_on <= farm.now.date())
    shown = season.harvest_year if season else None
    total = measures.money(tables[0].total.total_minor, cents=False)
    about = f"{'all seasons' if shown is None else f'season {shown}'}: {total}"
    return CostsShown(tuple(sections), begun, shown, about)


def _split(table: CostTable, measures: Measures) -> Section:
    from wearlog.present.cost_page import cost_cells, shown_rows, table_notes

    titles = (
        *(table.by.value, f"per {measures.area_unit}", "total", "parts", "labour", "service", "downtime"),
        *(measures.area_unit, "published"),
    )
    least = (14, 8, 9, 8, 8, 8, 9, 7, 9)
    columns = tuple(
        ListColumn(title, wide, 30 if not place else wide + 2, figures=place > 0, weight=_WEIGHTS[place])
        for place, (title, wide) in enumerate(zip(titles, least, strict=True))
    )
    rows = tuple(ListRow(place, cost_cells(row, measures)) for place, row in enumerate(shown_rows(table)))
    return Section(
        table.by.value.capitalize(),
        columns=columns,
        rows=rows,
        empty="No cost is on record yet.",
        picture=partial(_bars, table, measures),
        after=table_notes(table, measures),
        picture_lines=9,
    )


def _bars(table: CostTable, measures: Measures, _: Hashable | None) -> Picture | None:
    from wearlog.present.cost_page import cost_bars

    return Picture(None, drawn_in=partial(_bars_in, table, measures)) if cost_bars(table, measures, 80, 1) else None


def _bars_in(table: CostTable, measures: Measures, wide: int, high: int) -> Sequence[str]:
    from wearlog.present.cost_page import cost_bars

    return cost_bars(table, measures, wide, max(3, high - 2))


def _curves(curves: FleetCurves, measures: Measures) -> Section:
    from wearlog.present.cost_page import curve_cells
    from wearlog.present.own_cost_words import curves_lines

    notes = [
        "paid: repairs since the log began (parts, labour, service); published: what the curve expects of the same hours."
    ]
    return Section(
        "Repair curve",
        columns=_MACHINES,
        rows=tuple(ListRow(place, curve_cells(one)) for place, one in enumerate(curves.machines)),
        empty="There is no combine yet.",
        picture=partial(_curve_picture, curves, measures),
        after=(*notes, *curves_lines(curves, measures)[-3:]) if curves.machines else (),
    )


def _curve_picture(curves: FleetCurves, measures: Measures, key: Hashable | None) -> Picture | None:
    from wearlog.present.cost_charts import repair_chart
    from wearlog.present.cost_page import season_lines

    if not isinstance(key, int) or key >= len(curves.machines):
        return None
    one = curves.machines[key]
    table = tuple(season_lines(one))
    return Picture(repair_chart(one, curves.published, curves.fleet, measures), table, table)


def _lives(lives: Sequence[MachineLife], measures: Measures, interest: float) -> Section:
    from wearlog.present.cost_page import life_cells
    from wearlog.present.own_cost_words import lives_lines

    return Section(
        "Economic life",
        columns=_LIVES,
        rows=tuple(ListRow(place, life_cells(one)) for place, one in enumerate(lives)),
        empty="There is no combine yet.",
        picture=partial(_life_picture, tuple(lives), measures),
        after=tuple(lives_lines(lives, measures, interest)[-2:]) if lives else (),
    )


def _life_picture(lives: Sequence[MachineLife], measures: Measures, key: Hashable | None) -> Picture | None:
    from wearlog.present.cost_charts import life_chart
    from wearlog.present.cost_page import year_lines

    if not isinstance(key, int) or key >= len(lives):
        return None
    return Picture(life_chart(lives[key], measures), tuple(year_lines(lives[key])))
