"""Decisions of the day: stop or run on, what to do when it rains. What is reckoned stands in reckoning/plan/."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from wearlog.cli.figures import NumberBetween, WholeBetween
from wearlog.cli.options import answer_sheet, command, local_now, opened, with_db, with_json, with_save
from wearlog.facts.asked_bounds import OTHER_HOURS, OTHER_WARRANTY_HOURS, OTHER_YEARS, PEOPLE, PERCENT, USUAL_INTEREST

if TYPE_CHECKING:
    from wearlog.facts.wearing import Component
    from wearlog.reckoning.farm import Farm


@command(
    "stop-or-run",
    examples=(
        "wearlog stop-or-run 'north knife'",
        "wearlog stop-or-run 'north knife' --left 60ac --dark 21:10 --rain 60",
        "wearlog stop-or-run 'north knife' --next-stop '1 h' --idle '20 min'",
        "wearlog stop-or-run 'north knife' --lasts 40 360 --json",
        "wearlog stop-or-run 'north knife' --mend '30 min'",
    ),
)
@click.argument("component")
@click.option("--left", "left", default="", metavar="AREA", help="Still to cut tonight.")
@click.option("--dark", "dark", default="", metavar="HH:MM", help="When it is too dark to cut.")
@click.option(
    "--rain", "rain", type=NumberBetween(*PERCENT), default=0.0, metavar="PERCENT", help="Chance of rain after that."
)
@click.option("--next-stop", "next_stop", default="", metavar="HOURS", help="Until the next stop that is made anyway.")
@click.option("--idle", "idle", default="", metavar="TIME", help="How long that one is (20 min).")
@click.option(
    "--lasts",
    "lasts",
    nargs=2,
    metavar="LOW HIGH",
    help="What it should still last: between them on eight farms of ten.",
)
@click.option("--mend", "mend", default="", metavar="TIME", help="How long mending it takes, else as it took before.")
@with_save
@with_json
@with_db
def stop_or_run_command(
    component: str,
    *,
    left: str,
    dark: str,
    rain: float,
    next_stop: str,
    idle: str,
    lasts: tuple[str, str] | None,
    mend: str,
    as_json: bool,
    save: str,
    db: str,
) -> None:
    """Weigh changing a part now, at the next idle time, or at season's end, or mending it first, against its going first.

    COMPONENT is what runs on broken, or is old. Of several positions it is about the one that broke first.
    """
    from wearlog.present.digits import Measures
    from wearlog.present.plan.decision_asked import stop_asked
    from wearlog.present.plan.stop_or_run_sheet import stop_or_run_sheet
    from wearlog.present.sheet_faces import said_and_listed
    from wearlog.present.wear.kind_page import caution_lines
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.plan.stop_or_run import stop_or_run

    with opened(db) as store, store.reading() as connection:
        farm = farm_from(connection, local_now())
        found = component_named(farm, component)
        meter = next(kind.meter_kind for kind in farm.part_kinds if kind.id == found.part_kind_id)
        asked = stop_asked(
            farm, meter, left=left, dark=dark, rain=rain, next_stop=next_stop, idle=idle, lasts=lasts, mend=mend
        )
        view = stop_or_run(connection, farm, found, asked)
    sheet = stop_or_run_sheet(view, Measures(farm.settings))
    answer_sheet(
        sheet,
        as_json=as_json,
        save=save,
        lines=lambda: [*caution_lines(view.kind), *said_and_listed(sheet)],
    )


@command(
    "rain-day",
    examples=(
        "wearlog rain-day --hours 6",
        "wearlog rain-day --hours 4 --people 2 --lasts '3 h'",
        "wearlog rain-day --hours 6 --json",
    ),
)
@click.option("--hours", "hours_text", default="6 h", metavar="TIME", help="How long you can work (usual: 6 h).")
@click.option("--people", type=WholeBetween(*PEOPLE), default=1, metavar="N", help="How many work.")
@click.option("--lasts", "lasts", default="", metavar="TIME", help="How long the rain lasts on the mean: it may stop.")
@with_save
@with_json
@with_db
def rain_day_command(*, hours_text: str, people: int, lasts: str, as_json: bool, save: str, db: str) -> None:
    """List the jobs that save most on a day without cutting, in order, with the parts that are on hand.

    Each is weighed as stop-or-run weighs it: changed today in the shop, or at the best time after. Opening up is paid once.
    """
    from wearlog.facts.cautions import BOOK_COMES_FIRST, sentences_of
    from wearlog.present.digits import Measures
    from wearlog.present.plan.decision_asked import rain_asked
    from wearlog.present.plan.rain_list_sheet import rain_list_sheet
    from wearlog.present.sheet_faces import said_and_listed
    from wearlog.present.tables import folded
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.plan.rain_list import hazards_of, rain_jobs, rain_list

    time, mean = rain_asked(hours_text, lasts)
    with opened(db) as store, store.reading() as connection:
        farm = farm_from(connection, local_now())
        found = rain_list(rain_jobs(connection, farm), time, people=people, mean_hours=mean)
    sheet = rain_list_sheet(found, Measures(farm.settings))
    hazards = hazards_of(found.jobs)
    cautions = [f"- {line}" for line in (*sentences_of(hazards), BOOK_COMES_FIRST)] if hazards else []
    before = ["Before you work on them:", *folded(cautions), ""] if cautions else []
    answer_sheet(sheet, as_json=as_json, save=save, lines=lambda: [*before, *said_and_listed(sheet)])


def component_named(farm: Farm, text: str) -> Component:
    from wearlog.facts.positions import component_name
    from wearlog.logbook.names import pick

    names = {machine.id: machine.name for machine in farm.machines}
    kinds = {kind.id: kind.name for kind in farm.part_kinds}
    return pick(
        farm.components,
        lambda one: f"{names[one.machine_id]} {component_name(one.place, kinds[one.part_kind_id])}",
        text,
        "component",
    )


@command(
    "compare-parts",
    examples=(
        "wearlog compare-parts 'knife section'",
        "wearlog compare-parts 'knife section' --by supplier",
        "wearlog compare-parts 'knife section' --json",
    ),
)
@click.argument("kind")
@click.option("--by", type=click.Choice(["number", "supplier"]), default="number", help="What stands against what.")
@with_save
@with_json
@with_db
def compare_parts_command(kind: str, *, by: str, as_json: bool, save: str, db: str) -> None:
    """Compare the part numbers of a KIND: how long each lasts on the same ground, what it costs, which is the cheaper.

    Rests on the part number that was noted when a part was fitted.
    """
    from wearlog.logbook.names import kind_named
    from wearlog.present.digits import Measures
    from wearlog.present.sheet_faces import said_and_listed
    from wearlog.present.wear.parts_compared_sheet import parts_compared_sheet
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.wear.parts_compared import parts_compared

    with opened(db) as store, store.reading() as connection:
        farm = farm_from(connection, local_now())
        found = kind_named(farm.part_kinds, kind)
        view = parts_compared(connection, farm, farm.part_kinds.index(found), by_supplier=by == "supplier")
    sheet = parts_compared_sheet(view, found.name, Measures(farm.settings))
    answer_sheet(sheet, as_json=as_json, save=save, lines=lambda: said_and_listed(sheet))


@command(
    "trade",
    examples=(
        "wearlog trade",
        "wearlog trade Kestrel --price 400000 --allowance 150000",
        "wearlog trade Kestrel --price 310000 --allowance 150000 --list-price 520000 --hours 600 --age 3 --warranty-hours 200",
    ),
)
@click.argument("combine", required=False)
@click.option("--price", default="", metavar="MONEY", help="What the other one costs before the allowance.")
@click.option("--allowance", default="", metavar="MONEY", help="What is offered for yours.")
@click.option(
    "--list-price", "list_price", default="", metavar="MONEY", help="Of the other one, new today; else as yours."
)
@click.option(
    "--hours", type=NumberBetween(*OTHER_HOURS), default=0.0, metavar="H", help="Field hours of the other one."
)
@click.option("--age", type=NumberBetween(*OTHER_YEARS), default=0.0, metavar="YEARS", help="Its age.")
@click.option(
    "--warranty-hours", type=NumberBetween(*OTHER_WARRANTY_HOURS), default=0.0, metavar="H", help="Repairs paid up to."
)
@click.option(
    "--interest", type=NumberBetween(*PERCENT), default=USUAL_INTEREST, metavar="PERCENT", help="A year (usual: 6)."
)
@with_save
@with_json
@with_db
def trade_command(
    *,
    combine: str | None,
    price: str,
    allowance: str,
    list_price: str,
    hours: float,
    age: float,
    warranty_hours: float,
    interest: float,
    as_json: bool,
    save: str,
    db: str,
) -> None:
    """Keep a combine or trade it: what each costs a year, and the difference to pay at which it turns.

    Without a COMBINE every one against a new one at its own list price.
    """
    from wearlog.logbook.names import pick
    from wearlog.present.digits import Measures
    from wearlog.present.plan.decision_asked import offer_terms
    from wearlog.present.plan.trade_sheet import trade_sheet
    from wearlog.present.sheet_faces import said_and_listed
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.plan.trade import trade

    offer = offer_terms(price, allowance, list_price, hours=hours, age_years=age, warranty_hours=warranty_hours)
    with opened(db) as store, store.reading() as connection:
        farm = farm_from(connection, local_now())
        name = pick(farm.machines, lambda one: one.name, combine, "machine").name if combine else ""
        rows = trade(connection, farm, offer, name, yearly_rate=interest / 100)
    sheet = trade_sheet(rows, Measures(farm.settings), interest)
    answer_sheet(sheet, as_json=as_json, save=save, lines=lambda: said_and_listed(sheet))
