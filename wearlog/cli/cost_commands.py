"""cost: what an acre costs, the farm's own repair curve beside the published one, and the age to which a combine is cheapest."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from wearlog.cli.options import answer, command, local_now, with_db, with_json
from wearlog.errors import NotFoundError, UsageError
from wearlog.logbook.doors import opened

if TYPE_CHECKING:
    from wearlog.facts.work import Season
    from wearlog.reckoning.farm import Farm


@command(
    "cost",
    examples=(
        "wearlog cost",
        "wearlog cost --by season",
        "wearlog cost --by crop --season 2026 --json",
        "wearlog cost --curve",
        "wearlog cost --economic-life --interest 6",
    ),
)
@click.option(
    "--by",
    type=click.Choice(["machine", "subsystem", "part", "season", "crop", "field"]),
    default="machine",
    show_default=True,
    help="What to split the costs by.",
)
@click.option("--season", "season", type=int, help="Only this harvest year.")
@click.option(
    "--curve", is_flag=True, help="Repairs by hours in the field: the farm's own curve beside the published one."
)
@click.option("--economic-life", is_flag=True, help="The age to which each combine is cheapest to keep.")
@click.option(
    "--interest",
    type=click.FloatRange(0, 50),
    default=0.0,
    metavar="PERCENT",
    help="Interest a year on what is tied up, for --economic-life.",
)
@with_json
@with_db
def cost_command(
    *, by: str, season: int | None, curve: bool, economic_life: bool, interest: float, as_json: bool, db: str
) -> None:
    """Show what an acre costs: parts at the cost of the stock they came from, labour, service, downtime."""
    if curve or economic_life:
        if season is not None:
            raise UsageError("A curve is of all seasons.", "Leave out --season.")
        _show_curves(db, economic_life=economic_life, interest=interest, as_json=as_json)
        return
    from wearlog.present.cost_words import cost_json, cost_lines
    from wearlog.present.digits import Measures
    from wearlog.reckoning.costs import Split, cost_table
    from wearlog.reckoning.farm import farm_from

    with opened(db) as store, store.reading() as connection:
        farm = farm_from(connection, local_now())
        table = cost_table(connection, farm, Split(by), _season(farm, season))
    measures = Measures(farm.settings)
    answer(cost_lines(table, measures), as_json, lambda: cost_json(table, measures))


def _season(farm: Farm, harvest_year: int | None) -> Season | None:
    if harvest_year is None:
        return None
    chosen = next((one for one in farm.seasons if one.harvest_year == harvest_year), None)
    if chosen is None:
        years = ", ".join(str(one.harvest_year) for one in farm.seasons) or "none yet"
        raise NotFoundError(f"There is no season {harvest_year}.", f"There are: {years}.")
    return chosen


def _show_curves(db: str, *, economic_life: bool, interest: float, as_json: bool) -> None:
    from wearlog.present.digits import Measures
    from wearlog.present.own_cost_words import curves_json, curves_lines, lives_json, lives_lines
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.own_costs import economic_lives, own_curves

    with opened(db) as store, store.reading() as connection:
        farm = farm_from(connection, local_now())
        curves = own_curves(connection, farm)
    measures = Measures(farm.settings)
    if not economic_life:
        answer(curves_lines(curves, measures), as_json, lambda: curves_json(curves, measures))
        return
    lives = economic_lives(farm, curves, yearly_rate=interest / 100)
    answer(lives_lines(lives, measures, interest), as_json, lambda: lives_json(lives, measures, interest))
