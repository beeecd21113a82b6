"""plan make, area, replace, run, figures, receive: what people enter of a season's plan, and the delivery of its order."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final

import click

from wearlog.cli.figures import WHOLE, WholeBetween
from wearlog.cli.options import (
    answer_sheet,
    by_farms_clock,
    command,
    local_now,
    moment,
    opened,
    say,
    with_at,
    with_db,
    with_json,
    with_save,
)
from wearlog.errors import NotFoundError, UsageError
from wearlog.facts.closed_lists import Choice, Ground, MachineKind
from wearlog.present.words import saved_lines

if TYPE_CHECKING:
    from wearlog.facts.work import PlannedArea, SeasonPlan
    from wearlog.logbook.names import KnownNames
    from wearlog.logbook.open_log import Store

_with_season = click.option("--season", "season", type=WHOLE, help="The harvest year (else the next one planned).")


@command("make", examples=("wearlog plan make 2027", "wearlog plan make 2027 --budget 6000 --shop-hours 60"))
@click.argument("harvest_year", type=WholeBetween(1990, 2200))
@click.option("--budget", "budget", default="", metavar="AMOUNT", help="Money for parts; none: no limit.")
@click.option("--shop-hours", "shop_hours", default="", metavar="HOURS", help="Hours of shop work; none: no limit.")
@click.option("--name", "name", default="", help="What to call it.")
@with_db
def make_command(harvest_year: int, *, budget: str, shop_hours: str, name: str, db: str) -> None:
    """Begin the plan of a season, or change its money and shop hours."""
    from dataclasses import replace

    from wearlog.logbook.plan.planning import change_plan, make_plan, season_plan_of
    from wearlog.logbook.said.measures import hours, money

    money_minor = None if budget in ("", "none") else money(budget)
    seconds = None if shop_hours in ("", "none") else hours(shop_hours)
    with opened(db, start=True) as store:
        with store.reading() as connection:
            there = season_plan_of(connection, harvest_year)
        if there is None:
            done = make_plan(store, harvest_year, name=name, budget_minor=money_minor, shop_seconds=seconds)
        else:
            plan = there[1]
            done = change_plan(
                store,
                replace(
                    plan,
                    name=name or plan.name,
                    budget_minor=money_minor if budget else plan.budget_minor,
                    shop_seconds=seconds if shop_hours else plan.shop_seconds,
                ),
            )
    say(saved_lines(done))


@command(
    "area",
    examples=(
        "wearlog plan area --field 'north quarter' --crop wheat",
        "wearlog plan area 640ac --ground stony --crop wheat --combine kestrel",
        "wearlog plan area --list",
        "wearlog plan area --drop 2",
    ),
)
@click.argument("area", required=False, default="")
@click.option("--field", "field", default="", help="The field; without an area all of it.")
@click.option(
    "--ground", "ground", type=click.Choice([ground.value for ground in Ground]), help="Where there is no field."
)
@click.option("--crop", "crop", default="")
@click.option("--combine", "combine", default="", help="Only this combine cuts it.")
@click.option("--header", "header", default="", help="Only with this header.")
@click.option("--list", "show", is_flag=True, help="List the areas planned.")
@click.option("--drop", "drop", type=WholeBetween(min=1), help="Take the area of this number in the list out.")
@_with_season
@with_save
@with_json
@with_db
def area_command(
    area: str,
    *,
    show: bool,
    drop: int | None,
    season: int | None,
    as_json: bool,
    save: str,
    db: str,
    **given: str | None,
) -> None:
    """Plan an area to cut: by field, or by ground; shared over all machines unless one is named."""
    from wearlog.logbook.names import known_names
    from wearlog.logbook.plan.planning import plan_areas

    if (as_json or save) and not show:
        raise UsageError("--json and --save tell the areas planned.", "Write: wearlog plan area --list --json")
    with opened(db) as store:
        plan = _plan_of(store, season)
        if show or drop is not None:
            _areas(store, season, None if show else drop, as_json=as_json, save=save)
            return
        with store.reading() as connection:
            known = known_names(connection)
        say(saved_lines(plan_areas(store, [_planned(plan, known, area, given)])))


def _areas(store: Store, season: int | None, drop: int | None, *, as_json: bool, save: str) -> None:
    """List the areas planned, or take the one of this number out."""
    from wearlog.logbook.plan.planned_areas import planned_areas
    from wearlog.logbook.plan.planning import drop_areas
    from wearlog.present.plan.planned_area_sheet import planned_area_sheet
    from wearlog.present.sheet_faces import table_lines
    from wearlog.present.tables import folded

    sheet = planned_area_sheet(planned_areas(store, by_farms_clock(store, local_now()).date(), season))
    if drop is None:
        under = ["", *folded([sheet.headline])] if sheet.rows else []
        answer_sheet(sheet, as_json=as_json, save=save, lines=lambda: [*table_lines(sheet), *under])
    elif drop > len(sheet.rows):
        raise NotFoundError(f"There is no area {drop} in the plan.", "'wearlog plan area --list' numbers them.")
    else:
        say(saved_lines(drop_areas(store, [sheet.rows[drop - 1]])))


def _planned(plan: SeasonPlan, known: KnownNames, area: str, given: dict[str, str | None]) -> PlannedArea:
    from wearlog.facts.work import PlannedArea
    from wearlog.logbook.names import machine_named, pick
    from wearlog.logbook.said.measures import farm_reader

    field = pick(known.fields, lambda row: row.name, given["field"], "field") if given["field"] else None
    if not area and field is None:
        raise UsageError("How much is to be cut, and where?", "Write it like: wearlog plan area 640ac --ground stony")
    crop = pick(known.crops, lambda row: row.name, given["crop"], "crop") if given["crop"] else None
    combine, header = (
        machine_named(known, name, kind) if (name := given[kind.value]) else None
        for kind in (MachineKind.COMBINE, MachineKind.HEADER)
    )
    return PlannedArea(
        season_plan_id=plan.id,
        area_square_metres=farm_reader(known).area(area) if area else (field.area_square_metres if field else 0),
        field_id=field.id if field else None,
        ground=Ground(given["ground"]) if given["ground"] else None,
        crop_id=crop.id if crop else None,
        combine_id=combine.id if combine else None,
        header_id=header.id if header else None,
    )


@command(
    "replace", examples=("wearlog plan replace 'kestrel feeder chain'", "wearlog plan replace 'south guards' 11-20")
)
@click.argument("component")
@click.argument("positions", required=False, default="")
@_with_season
@with_db
def replace_command(component: str, positions: str, *, season: int | None, db: str) -> None:
    """Choose to replace a component (or some positions) before the season, whatever the figures say."""
    _choose(component, positions, Choice.REPLACE, season, db)


@command("run", examples=("wearlog plan run 'kestrel rasp bars'",))
@click.argument("component")
@click.argument("positions", required=False, default="")
@_with_season
@with_db
def run_command(component: str, positions: str, *, season: int | None, db: str) -> None:
    """Choose to run a component (or some positions) as it is."""
    _choose(component, positions, Choice.RUN, season, db)


@command("figures", examples=("wearlog plan figures 'kestrel rasp bars'",))
@click.argument("component")
@click.argument("positions", required=False, default="")
@_with_season
@with_db
def figures_command(component: str, positions: str, *, season: int | None, db: str) -> None:
    """Let the figures decide again on what was chosen by hand."""
    _choose(component, positions, None, season, db)


def _choose(component: str, positions: str, choice: Choice | None, season: int | None, db: str) -> None:
    from wearlog.facts.positions import component_name, parse_positions
    from wearlog.logbook.names import known_names, pick
    from wearlog.logbook.plan.planning import choose

    with opened(db) as store:
        plan = _plan_of(store, season)
        with store.reading() as connection:
            known = known_names(connection)
        machines = {machine.id: machine.name for machine in known.machines}
        kinds = {kind.id: kind.name for kind in known.part_kinds}
        found = pick(
            known.components,
            lambda row: f"{machines[row.machine_id]} {component_name(row.place, kinds[row.part_kind_id])}",
            component,
            "component",
        )
        done = choose(store, plan, found, parse_positions(positions), choice)
    say(saved_lines(done))


@command(
    "receive", examples=("wearlog plan receive order.xlsx", "wearlog plan receive orders/order-the-counter.csv --again")
)
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--again", is_flag=True, help="Although some of this order was received before.")
@with_at
@with_db
def receive_command(file: Path, *, again: bool, at: str, db: str) -> None:
    """Put a delivery into stock: FILE is an order list as wearlog wrote it, its pieces and prices corrected if need be."""
    from wearlog.exchange.order_files import read_delivery
    from wearlog.logbook.names import known_names
    from wearlog.logbook.parts.stocking import receive_order

    with opened(db) as store:
        with store.reading() as connection:
            known = known_names(connection)
        done = receive_order(store, read_delivery(file, known.parts), at=moment(at, store), again=again)
    say(saved_lines(done))


def _plan_of(store: Store, harvest_year: int | None) -> SeasonPlan:
    """The plan of that season, else of the season that plans are for now."""
    from wearlog.facts.work import Season, coming_season, next_harvest
    from wearlog.logbook.plan.planning import last_day_cut, planned_seasons, season_plan_of
    from wearlog.store.finding import find_all

    today = by_farms_clock(store, local_now()).date()
    with store.reading() as connection:
        last_cut = last_day_cut(connection)
        coming = coming_season(find_all(connection, Season), today, last_cut, planned_seasons(connection))
        year = harvest_year or (coming.harvest_year if coming is not None else next_harvest(today, last_cut))
        found = season_plan_of(connection, year)
    if found is not None:
        return found[1]
    raise NotFoundError(
        f"There is no plan for {harvest_year} yet." if harvest_year else "No season is planned yet.",
        f"Begin one: wearlog plan make {year}",
    )


ENTRIES: Final = (
    make_command,
    area_command,
    replace_command,
    run_command,
    figures_command,
    receive_command,
)
