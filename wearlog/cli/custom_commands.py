"""custom-work: what an acre cut for others costs against the rate; hiring one in, renting one in or out."""

from __future__ import annotations

import click

from wearlog.cli.figures import NumberBetween
from wearlog.cli.options import answer_sheet, command, local_now, opened, with_db, with_json, with_save
from wearlog.errors import UsageError


@command(
    "custom-work",
    examples=(
        "wearlog custom-work --acres 300 --ground stony --rate 32",
        "wearlog custom-work --acres 300 --ground clean --rate 20-20-20 --yield 35 --road 1.5",
        "wearlog custom-work --acres 300 --ground stony --crop wheat --rate 32 --hire",
        "wearlog custom-work --acres 300 --ground stony --rate 210/h --rent-in",
        "wearlog custom-work --acres 300 --ground 'few stones' --fuel-price 4.10 --burns 14 --json",
    ),
)
@click.option("--acres", "area", default="", metavar="AREA", help="How much: 300, '120 ha' (else in the farm's unit).")
@click.option("--ground", default="", help="clean, few stones, stony or very stony.")
@click.option(
    "--rate",
    default="",
    metavar="MONEY",
    help="Offered for an acre (metric: a hectare), or 210/h; 20-20-20: base, cents a bushel hauled, cents a bushel above so many.",
)
@click.option(
    "--yield",
    "grain",
    type=NumberBetween(min=0),
    help="For such a rate: bushels an acre (metric: t/ha); else that of the crop on record.",
)
@click.option("--crop", default="", metavar="NAME", help="What is cut: the pace in it, what an hour of it is worth.")
@click.option("--combine", default="", metavar="NAME", help="Which one; else that on which it costs least.")
@click.option("--hire", is_flag=True, help="The other way round: somebody else cuts yours at this rate.")
@click.option("--rent", is_flag=True, help="The combine goes without driver and fuel.")
@click.option("--rent-in", "rent_in", is_flag=True, help="You rent one, without driver and fuel, to cut yours with.")
@click.option("--fuel-price", "fuel_price", default="", metavar="MONEY", help="A gallon (metric: a litre).")
@click.option("--burns", type=NumberBetween(0, 500), help="Gallons an hour (metric: litres); usual: 13, 49.")
@click.option("--road", type=NumberBetween(0, 100), default=0.0, metavar="H", help="Hours there and back.")
@click.option("--road-cost", "road_cost", default="", metavar="MONEY", help="What the road costs besides.")
@click.option(
    "--waits/--after", "waits", default=None, help="Own crop stands meanwhile, or not; else as the season is."
)
@click.option("--interest", type=NumberBetween(0, 100), default=6.0, metavar="PERCENT", help="A year (usual: 6).")
@with_save
@with_json
@with_db
def custom_work_command(
    *,
    area: str,
    ground: str,
    rate: str,
    grain: float | None,
    crop: str,
    combine: str,
    hire: bool,
    rent: bool,
    rent_in: bool,
    fuel_price: str,
    burns: float | None,
    road: float,
    road_cost: str,
    waits: bool | None,
    interest: float,
    as_json: bool,
    save: str,
    db: str,
) -> None:
    """Tell what an acre cut for others costs on that ground, and what a rate leaves over.

    By the work itself: wear, stones, repairs, fuel, labour, standing and the value lost by use; in full with the share of owning.
    """
    from wearlog.logbook.names import crop_named, pick
    from wearlog.logbook.said.measures import money
    from wearlog.present.digits import Measures
    from wearlog.present.plan.custom_offer import offer_of
    from wearlog.present.plan.custom_sheet import custom_sheet
    from wearlog.present.sheet_faces import said_and_listed
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.harvest.hour_value import worth_of_crop
    from wearlog.reckoning.plan.custom_basis import Deal
    from wearlog.reckoning.plan.custom_work import custom_work

    if not area:
        raise UsageError(
            "How much is to be cut?", "Say it with --acres: wearlog custom-work --acres 300, or --acres '120 ha'."
        )
    deals = [deal for deal, is_it in ((Deal.HIRE, hire), (Deal.RENT_OUT, rent), (Deal.RENT_IN, rent_in)) if is_it]
    if len(deals) > 1:
        raise UsageError("Hired in, rented out and rented in are three things.", "Ask for one, then for the other.")
    with opened(db) as store, store.reading() as connection:
        farm = farm_from(connection, local_now())
        name = pick(farm.machines, lambda one: one.name, combine, "machine").name if combine else ""
        cut = crop_named(connection, crop)
        asked = offer_of(
            farm.settings,
            area=area,
            ground=ground,
            rate=rate,
            grain=grain,
            combine=name,
            deal=deals[0] if deals else Deal.CUT_FOR_OTHERS,
            fuel_minor=float(money(fuel_price)) if fuel_price else None,
            burns=burns,
            road_hours=road,
            road_minor=float(money(road_cost)) if road_cost else 0.0,
            waits=waits,
            interest=interest / 100,
            crop=None if cut is None else worth_of_crop(connection, cut.id),
        )
        view = custom_work(connection, farm, asked)
    sheet = custom_sheet(view, Measures(farm.settings))
    answer_sheet(sheet, as_json=as_json, save=save, lines=lambda: said_and_listed(sheet))
