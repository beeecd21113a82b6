"""cost: what an acre costs, the farm's own repair curve beside the published one, and the age to which a combine is cheapest."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from wearlog.cli.figures import WHOLE, NumberBetween
from wearlog.cli.options import answer_sheet, command, local_now, opened, with_db, with_json, with_save
from wearlog.errors import NotFoundError, UsageError

if TYPE_CHECKING:
    from wearlog.facts.work import Season
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.reckoning.costs.own_costs import MachineCurve, MachineLife
    from wearlog.reckoning.farm import Farm


@command(
    "cost",
    examples=(
        "wearlog cost",
        "wearlog cost --by season",
        "wearlog cost --by crop --season 2026 --json",
        "wearlog cost --curve",
        "wearlog cost --economic-life --interest 6",
        "wearlog cost --curve --price-rise 3",
        "wearlog cost --hour --yield 40 --grain-price 6.00",
        "wearlog cost --hour --custom-rate 20-20-20 --yield 35",
        "wearlog cost --published",
    ),
)
@click.option(
    "--by",
    type=click.Choice(["machine", "subsystem", "part", "season", "crop", "field"]),
    default="machine",
    show_default=True,
    help="What to split the costs by.",
)
@click.option("--season", "season", type=WHOLE, help="Only this harvest year.")
@click.option(
    "--curve", is_flag=True, help="Repairs by hours in the field: the farm's own curve beside the published one."
)
@click.option("--economic-life", is_flag=True, help="The age to which each combine is cheapest to keep.")
@click.option(
    "--interest",
    type=NumberBetween(0, 50),
    default=0.0,
    metavar="PERCENT",
    help="Interest a year on what is tied up, for --economic-life.",
)
@click.option(
    "--price-rise",
    type=NumberBetween(0, 30),
    default=0.0,
    metavar="PERCENT",
    help="List prices in the log are of the model year, and rose so much a year since; for --curve and --economic-life.",
)
@click.option("--hour", is_flag=True, help="What an hour of standing is worth, in every way that is known.")
@click.option("--yield", "grain", type=NumberBetween(min=0), help="For --hour: bushels an acre (metric: t/ha).")
@click.option("--grain-price", default="", help="For --hour: money a bushel (metric: a tonne).")
@click.option("--people", type=NumberBetween(min=0), default=1.0, show_default=True, help="For --hour: how many wait.")
@click.option(
    "--custom-rate",
    default="",
    help="For --hour: what having it cut costs an acre (metric: a hectare); 20-20-20 is base, cents a bushel hauled, cents a "
    "bushel above so many.",
)
@click.option("--published", is_flag=True, help="Published rates, repairs and values, the farm's own beside them.")
@with_save
@with_json
@with_db
def cost_command(
    *,
    by: str,
    season: int | None,
    curve: bool,
    economic_life: bool,
    interest: float,
    price_rise: float,
    hour: bool,
    grain: float | None,
    grain_price: str,
    people: float,
    custom_rate: str,
    published: bool,
    as_json: bool,
    save: str,
    db: str,
) -> None:
    """Show what an acre costs: parts at the cost of the stock they came from, labour, service, downtime."""
    if sum((curve or economic_life, hour, published)) > 1:
        raise UsageError("Those are different answers.", "Ask for one, then for the other.")
    if hour:
        _show_hour(db, grain, grain_price, people, custom_rate, as_json=as_json, save=save)
        return
    if published:
        _show_published(db, as_json=as_json, save=save)
        return
    if curve or economic_life:
        if season is not None:
            raise UsageError("A curve is of all seasons.", "Leave out --season.")
        _show_curves(
            db, economic_life=economic_life, interest=interest, price_rise=price_rise, as_json=as_json, save=save
        )
        return
    from wearlog.present.costs.cost_sheet import cost_sheet
    from wearlog.present.digits import Measures
    from wearlog.reckoning.costs.costs import Split, cost_table
    from wearlog.reckoning.farm import farm_from

    with opened(db) as store, store.reading() as connection:
        farm = farm_from(connection, local_now())
        table = cost_table(connection, farm, Split(by), _season(farm, season))
    answer_sheet(cost_sheet(table, Measures(farm.settings), season), as_json=as_json, save=save)


def _season(farm: Farm, harvest_year: int | None) -> Season | None:
    if harvest_year is None:
        return None
    chosen = next((one for one in farm.seasons if one.harvest_year == harvest_year), None)
    if chosen is None:
        years = ", ".join(str(one.harvest_year) for one in farm.seasons) or "none yet"
        raise NotFoundError(f"There is no season {harvest_year}.", f"There are: {years}.")
    return chosen


def _show_hour(db: str, grain: float | None, price: str, people: float, rate: str, *, as_json: bool, save: str) -> None:
    from wearlog.logbook.said.amounts import custom_rate
    from wearlog.logbook.said.measures import money
    from wearlog.present.costs.hour_sheet import hour_sheet
    from wearlog.present.digits import Measures
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.harvest.hour_value import AskedHour, HiringRate, hour_worth
    from wearlog.units import ACRE_SQUARE_METRES, HECTARE_SQUARE_METRES

    with opened(db) as store, store.reading() as connection:
        farm = farm_from(connection, local_now())
        each = float(HECTARE_SQUARE_METRES if farm.settings.is_metric else ACRE_SQUARE_METRES)
        said = custom_rate(rate) if rate else None
        asked = AskedHour(
            grain_per_area=None if grain is None else grain / each,
            grain_minor=float(money(price)) if price else None,
            people=people,
            hiring=said and HiringRate(said.base_minor / each, said.haul_minor, said.haul_minor, said.threshold / each),
        )
        worth = hour_worth(connection, farm, asked)
    answer_sheet(hour_sheet(worth, Measures(farm.settings)), as_json=as_json, save=save)


def _show_published(db: str, *, as_json: bool, save: str) -> None:
    from wearlog.present.costs.hour_sheet import published_sheet
    from wearlog.present.digits import Measures
    from wearlog.reckoning.costs.costs import Split, cost_table
    from wearlog.reckoning.costs.own_costs import own_curves
    from wearlog.reckoning.costs.published_beside import published_beside
    from wearlog.reckoning.farm import farm_from

    with opened(db) as store, store.reading() as connection:
        farm = farm_from(connection, local_now())
        rows = published_beside(
            farm.settings, cost_table(connection, farm, Split.MACHINE), own_curves(connection, farm).fleet
        )
    answer_sheet(published_sheet(rows, Measures(farm.settings)), as_json=as_json, save=save)


def _show_curves(db: str, *, economic_life: bool, interest: float, price_rise: float, as_json: bool, save: str) -> None:
    from wearlog.present.costs.life_cost_sheet import life_sheet
    from wearlog.present.costs.own_cost_sheet import curve_sheet
    from wearlog.present.digits import Measures
    from wearlog.reckoning.costs.own_costs import at_todays_prices, economic_lives, own_curves
    from wearlog.reckoning.farm import farm_from

    with opened(db) as store, store.reading() as connection:
        farm = at_todays_prices(farm_from(connection, local_now()), price_rise / 100)
        curves = own_curves(connection, farm)
    measures = Measures(farm.settings)
    if economic_life:
        lives = life_sheet(economic_lives(farm, curves, yearly_rate=interest / 100), measures, interest)
        answer_sheet(lives, as_json=as_json, save=save, lines=lambda: _lives_lines(lives))
        return
    sheet = curve_sheet(curves, measures)
    answer_sheet(sheet, as_json=as_json, save=save, lines=lambda: _curves_lines(sheet))


def _curves_lines(sheet: AnswerSheet[MachineCurve]) -> list[str]:
    """All combines, each season by season, and what the curves are."""
    from wearlog.present.costs.own_cost_sheet import season_cost_sheet
    from wearlog.present.sheet_faces import answer_lines, said_under, table_lines
    from wearlog.present.tables import folded

    lines = table_lines(sheet)
    for curve in sheet.rows:
        one = season_cost_sheet(curve, sheet.measures)
        lines += ["", one.headline, *(f"  {line}" for line in answer_lines(one) if line)]
    return [*lines, "", *folded(said_under(sheet))] if sheet.rows else lines


def _lives_lines(sheet: AnswerSheet[MachineLife]) -> list[str]:
    """The table, each combine in sentences, and what it rests on."""
    from wearlog.present.costs.life_cost_sheet import life_lines
    from wearlog.present.sheet_faces import said_under, table_lines
    from wearlog.present.tables import folded

    lines = table_lines(sheet)
    for life in sheet.rows:
        head, *said = life_lines(life, sheet.measures)
        lines += ["", head, *folded(said, indent="  ")]
    return [*lines, "", *folded(said_under(sheet))] if sheet.rows else lines
