"""Questions of the cost screen: every split with its bars, the repair curves, the economic lives. They run in threads."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any, Final

from wearlog.tui.section import Picture, Section

if TYPE_CHECKING:
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.present.digits import Measures
    from wearlog.reckoning.costs.costs import CostTable
    from wearlog.reckoning.costs.own_costs import FleetCurves, MachineLife
    from wearlog.tui.door import Door

# what the sections mean, for the page of keys and words
_HOUR: Final = (
    "what standing still is worth by the crop that waits, by people, by hiring; with which one all costs reckon is a setting of "
    "the farm."
)
_RATES: Final = "published pay, repairs and values with a source, the farm's own beside them."
_CURVE: Final = (
    "what an hour of use cost in each season, the published curve beside it and the farm's own; 'grows as h^' is the power of the "
    "hours with which its repairs so far grow: above 1 an hour costs more, the older it is."
)
_LIFE: Final = "the years to which a combine is cheapest on the mean, and whether one more year still pays."


@dataclass(frozen=True, slots=True)
class CostsShown:
    """Everything on the screen. `years` are those that can be chosen, `year` the chosen one, None for all.

    `sheets` are the answers that the sections show, one for each; `answer` is what an acre cost, in sentences.
    """

    sheets: tuple[AnswerSheet[Any], ...]
    sections: tuple[Section, ...]
    years: tuple[int, ...]
    year: int | None
    about: str
    answer: tuple[str, ...] = ()


def costs(door: Door, year: int | None, interest: float) -> CostsShown:
    """Reckon all splits, of all seasons or of one; `interest` is per cent a year on what is tied up."""
    from wearlog.present.costs.cost_answer import cost_answer
    from wearlog.present.costs.cost_sheet import cost_sheet, costs_of
    from wearlog.present.costs.hour_sheet import hour_sheet, published_sheet
    from wearlog.present.costs.life_cost_sheet import life_sheet
    from wearlog.present.costs.own_cost_sheet import curve_sheet
    from wearlog.present.digits import Measures
    from wearlog.reckoning.costs.costs import Split, cost_tables
    from wearlog.reckoning.costs.own_costs import economic_lives, own_curves
    from wearlog.reckoning.costs.published_beside import published_beside
    from wearlog.reckoning.harvest.hour_value import hour_worth
    from wearlog.tui.section import sheet_section

    with door.log.reading() as connection:
        farm = door.farm(connection)
        season = next((one for one in farm.seasons if one.harvest_year == year), None)
        tables = cost_tables(connection, farm, Split, season)
        curves = own_curves(connection, farm)
        worth = hour_worth(connection, farm)
    lives = economic_lives(farm, curves, yearly_rate=interest / 100)
    measures = Measures(farm.settings)
    shown = season.harvest_year if season else None
    splits = [cost_sheet(table, measures, shown) for table in tables]
    machines, ages = curve_sheet(curves, measures), life_sheet(lives, measures, interest)
    hours = hour_sheet(worth, measures)
    published = published_sheet(published_beside(farm.settings, tables[0], curves.fleet), measures)
    sections = (
        *(
            sheet_section(table.by.value.capitalize(), sheet, picture=partial(_bars, table, measures), picture_lines=9)
            for table, sheet in zip(tables, splits, strict=True)
        ),
        sheet_section("Hour", hours, about=_HOUR),
        sheet_section("Rates", published, about=_RATES),
        sheet_section("Repair curve", machines, picture=partial(_curve_picture, curves, measures), about=_CURVE),
        sheet_section("Economic life", ages, picture=partial(_life_picture, tuple(lives), measures), about=_LIFE),
    )
    begun = tuple(one.harvest_year for one in farm.seasons if one.starts_on <= farm.now.date())
    seasons = next(table for table in tables if table.by is Split.SEASON)
    return CostsShown(
        (*splits, machines, ages, hours, published),
        sections,
        begun,
        shown,
        costs_of(tables[0], measures, shown),
        cost_answer(seasons, measures),
    )


def _bars(table: CostTable, measures: Measures, _: Hashable | None) -> Picture | None:
    from wearlog.present.costs.cost_charts import cost_bars

    return Picture(None, drawn_in=partial(_bars_in, table, measures)) if cost_bars(table, measures, 80, 1) else None


def _bars_in(table: CostTable, measures: Measures, wide: int, high: int) -> Sequence[str]:
    from wearlog.present.costs.cost_charts import cost_bars

    return cost_bars(table, measures, wide, max(3, high - 2))


def _curve_picture(curves: FleetCurves, measures: Measures, key: Hashable | None) -> Picture | None:
    from wearlog.present.costs.cost_charts import repair_chart
    from wearlog.present.costs.own_cost_sheet import season_cost_sheet
    from wearlog.present.sheet_faces import answer_lines

    one = next((one for one in curves.machines if id(one) == key), None)
    if one is None:
        return None
    table = tuple(answer_lines(season_cost_sheet(one, measures), 76))
    return Picture(repair_chart(one, curves.published, curves.fleet, measures), table, table)


def _life_picture(lives: Sequence[MachineLife], measures: Measures, key: Hashable | None) -> Picture | None:
    from wearlog.present.costs.cost_charts import life_chart
    from wearlog.present.costs.life_cost_sheet import life_lines, years_kept_sheet
    from wearlog.present.sheet_faces import table_lines
    from wearlog.present.tables import folded

    one = next((one for one in lives if id(one) == key), None)
    if one is None:
        return None
    said = folded(life_lines(one, measures), width=76)
    return Picture(life_chart(one, measures), (*table_lines(years_kept_sheet(one, measures)), "", *said), tuple(said))
