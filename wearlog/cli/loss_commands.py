"""loss: kernels left behind, whether loss grows with wear, what that costs in grain; entering a count."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from wearlog.cli.options import (
    answer_sheet,
    command,
    local_now,
    moment,
    only_enters,
    only_lists,
    opened,
    say_saved,
    with_at,
    with_db,
    with_json,
    with_save,
)
from wearlog.errors import UsageError
from wearlog.facts.closed_lists import MachineKind

if TYPE_CHECKING:
    from wearlog.logbook.open_log import Store
    from wearlog.logbook.saving import Done


@command(
    "loss",
    examples=(
        "wearlog loss",
        "wearlog loss --money --price wheat 6.00",
        "wearlog loss kestrel wheat --seed 'hard red' --behind '130 118 141' --ahead '10 8' --discharge 5ft --yield '40 bu/ac'",
        "wearlog loss kestrel wheat --seed '33 g' --behind 75 --discharge 1.6m --width 12.2m --frame '0.1 m2' --yield '2.7 t/ha'",
    ),
)
@click.argument("combine", required=False)
@click.argument("crop", required=False)
@click.option("--behind", default="", metavar="COUNTS", help="Kernels in each frame behind the combine.")
@click.option("--ahead", default="", metavar="COUNTS", help="Kernels in each frame ahead of it; none: 0.")
@click.option("--seed", default="", help="Class ('hard red') or weight of 1,000 kernels ('33 g'); kept for the crop.")
@click.option("--frame", default="", metavar="SIZE", help="Size of the frame; else 1 ft2, on a metric farm 0.1 m2.")
@click.option("--discharge", default="", metavar="WIDTH", help="How wide the straw leaves (chopper and spreader off).")
@click.option("--width", default="", metavar="WIDTH", help="Width of cut; else that of the header hitched now.")
@click.option(
    "--yield", "crop_yield", default="", metavar="YIELD", help="What was harvested, for the share of the crop."
)
@click.option("--field", default="", help="The field.")
@click.option("--note", default="", help="Anything worth keeping.")
@click.option("--all", "every", is_flag=True, help="Every check, not only the latest.")
@click.option("--wear", is_flag=True, help="Only whether loss grows with the hours of the rasp bars.")
@click.option(
    "--money", "in_money", is_flag=True, help="What worn threshing parts cost in grain, and when renewing them pays."
)
@click.option(
    "--price",
    "prices",
    nargs=2,
    multiple=True,
    metavar="CROP MONEY",
    help="For --money: what a bushel brings (metric: a tonne); once for each crop.",
)
@with_at
@with_save
@with_json
@with_db
def loss_command(
    *,
    combine: str | None,
    crop: str | None,
    behind: str,
    ahead: str,
    seed: str,
    frame: str,
    discharge: str,
    width: str,
    crop_yield: str,
    field: str,
    note: str,
    every: bool,
    wear: bool,
    in_money: bool,
    prices: tuple[tuple[str, str], ...],
    at: str,
    as_json: bool,
    save: str,
    db: str,
) -> None:
    """Show grain loss by check and against the hours of the rasp bars, or enter a count behind COMBINE in CROP."""
    if combine is not None:
        only_lists(all=every, wear=wear, money=in_money, price=prices, save=save, json=as_json)
        if crop is None or not behind or not discharge:
            raise UsageError("A loss check needs the crop, --behind and --discharge.", "'wearlog loss -h' shows one.")
        with opened(db) as store:
            done = _enter_count(
                store, (combine, crop, field, seed), (behind, ahead, frame), (width, discharge), crop_yield, note, at
            )
        say_saved(done)
        return
    only_enters(behind=behind, ahead=ahead, seed=seed, frame=frame, discharge=discharge, width=width, field=field)
    only_enters(**{"yield": crop_yield}, note=note, at=at)
    if in_money or prices:
        _show_grain_lost(db, prices, as_json=as_json, save=save)
        return
    from wearlog.present.digits import Measures
    from wearlog.present.harvest.loss_sheet import loss_sheet, loss_trend_sheet
    from wearlog.present.sheet_faces import answer_lines, sheet_json
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.harvest.harvest_quality import harvest_quality

    with opened(db) as store, store.reading() as connection:
        view = harvest_quality(connection, farm_from(connection, local_now()))
    measures = Measures(view.settings)
    checks, trends = loss_sheet(view, measures), loss_trend_sheet(view, measures)
    if wear:
        answer_sheet(trends, as_json=as_json, save=save)
        return
    shown = checks if every else checks.short()
    answer_sheet(
        checks,
        as_json=as_json,
        save=save,
        lines=lambda: [*answer_lines(shown), "", *answer_lines(trends)],
        content=lambda: {**sheet_json(checks), **sheet_json(trends)},
    )


def _show_grain_lost(db: str, prices: tuple[tuple[str, str], ...], *, as_json: bool, save: str) -> None:
    from wearlog.logbook.names import known_names, pick
    from wearlog.logbook.said.measures import money
    from wearlog.present.digits import Measures
    from wearlog.present.plan.grain_lost_sheet import grain_lost_sheet, price_grams
    from wearlog.present.sheet_faces import said_and_listed
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.plan.grain_lost import grain_lost

    with opened(db) as store, store.reading() as connection:
        farm = farm_from(connection, local_now())
        crops = known_names(connection).crops
        said = [(pick(crops, lambda row: row.name, name, "crop"), money(text)) for name, text in prices]
        by_gram = {crop.name: float(minor) / price_grams(crop, farm.settings) for crop, minor in said}
        found = grain_lost(connection, farm, by_gram)
    sheet = grain_lost_sheet(found, Measures(farm.settings))
    answer_sheet(sheet, as_json=as_json, save=save, lines=lambda: said_and_listed(sheet))


def _enter_count(
    store: Store,
    names: tuple[str, str, str, str],
    counts: tuple[str, str, str],
    widths: tuple[str, str],
    crop_yield: str,
    note: str,
    at: str,
) -> Done:
    from wearlog.facts.quality import LossCheck
    from wearlog.logbook.harvest import enter_loss_check, hitched_width
    from wearlog.logbook.names import known_names, machine_named, pick
    from wearlog.logbook.said.amounts import needed_seed, per_hectare, read_counts, read_frame, read_yield, usual_frame
    from wearlog.logbook.said.measures import FarmReader
    from wearlog.logbook.work.entry_start import entry_start

    with store.reading() as connection:
        known = known_names(connection)
    settings = known.farm
    combine = machine_named(known, names[0], MachineKind.COMBINE)
    crop = pick(known.crops, lambda row: row.name, names[1], "crop")
    behind, frame = read_counts(counts[0]), read_frame(counts[2] or usual_frame(settings), settings)
    seed = needed_seed(names[3], crop.name, settings)
    read = FarmReader(settings)
    if widths[0]:
        cut_width = read.width(widths[0])
    else:
        cut_width = hitched_width(entry_start(store), combine.id) or 0
        if not cut_width:
            raise UsageError(
                f"No header with a width is hitched to {combine.name}.",
                f"Give --width {'12.2m' if settings.is_metric else '40ft'}.",
            )
    check = LossCheck(
        combine_id=combine.id,
        field_id=pick(known.fields, lambda row: row.name, names[2], "field").id if names[2] else None,
        crop_id=crop.id,
        at=moment(at, store),
        behind_per_hectare=per_hectare(behind, frame),
        ahead_per_hectare=per_hectare(read_counts(counts[1]), frame) if counts[1] else 0,
        cut_width_micrometres=cut_width,
        discharge_width_micrometres=read.width(widths[1]),
        yield_grams_per_hectare=read_yield(crop_yield, crop, settings) if crop_yield else None,
        note=note,
    )
    return enter_loss_check(store, check, seed)
