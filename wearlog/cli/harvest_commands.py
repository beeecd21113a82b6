"""harvest, calibrate: progress and days to finish; sensors and the moisture tester."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from wearlog.cli.figures import NumberBetween
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
from wearlog.facts.closed_lists import Sensor

if TYPE_CHECKING:
    from wearlog.facts.farm_settings import FarmSettings
    from wearlog.logbook.open_log import Store
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.reckoning.harvest.harvest_quality import HarvestQuality
    from wearlog.reckoning.harvest.harvest_view import CombineWork, HarvestView

#: metres per second; nothing cuts at 25 mph
_TOO_FAST = 11.0
_SENSORS = {
    "yield": Sensor.YIELD_LOAD,
    "moisture": Sensor.MOISTURE,
    "speed": Sensor.GROUND_SPEED,
    "area": Sensor.AREA_COUNT,
    "height": Sensor.HEADER_HEIGHT,
}


@command(
    "harvest",
    examples=(
        "wearlog harvest",
        "wearlog harvest --left 850 --hours 9",
        "wearlog harvest --left 850 --days 12 --speed '4.5 mph'",
        "wearlog harvest --left 340ha --workable 70 --json",
        "wearlog harvest --grain",
    ),
)
@click.option("--left", "left", default="", metavar="AREA", help="Still to cut; else what is planned and not cut.")
@click.option("--hours", "hours", default="", metavar="H", help="Hours in the field on a good day; else as measured.")
@click.option(
    "--workable",
    type=NumberBetween(1, 100),
    metavar="PERCENT",
    help="Share of days fit for cutting; else by records, and a guess until there are enough.",
)
@click.option("--speed", "speed", default="", metavar="SPEED", help="Speed while cutting; else by speed checks.")
@click.option(
    "--days", type=NumberBetween(1, 400), metavar="N", help="Days to be done in: what each combine must cut for it."
)
@click.option("--grain", is_flag=True, help="How moist each crop came in, and how much of it is dry grain.")
@with_save
@with_json
@with_db
def harvest_command(
    *,
    left: str,
    hours: str,
    workable: float | None,
    speed: str,
    days: float | None,
    grain: bool,
    as_json: bool,
    save: str,
    db: str,
) -> None:
    """Show how far the harvest has come, what each combine does in an hour, and when it is done with 80 and 90 %."""
    if grain:
        _show_grain(db, as_json=as_json, save=save)
        return
    from wearlog.logbook.said.measures import FarmReader
    from wearlog.logbook.said.measures import hours as read_hours
    from wearlog.present.digits import Measures
    from wearlog.present.harvest.capacity_sheet import capacity_sheet
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.harvest.harvest_view import Given, harvest_view

    with opened(db) as store, store.reading() as connection:
        farm = farm_from(connection, local_now())
        given = Given(
            float(FarmReader(farm.settings).area(left)) if left else None,
            read_hours(hours) / 3600 if hours else None,
            None if workable is None else workable / 100,
            _speed(speed, farm.settings) if speed else None,
            days,
        )
        if given.hours_per_day is not None and not 0 < given.hours_per_day <= 24:
            raise UsageError(f"'{hours}' is not the length of a day's work.", "Write it like 9.5.")
        view = harvest_view(connection, farm, given)
    sheet = capacity_sheet(view, Measures(farm.settings))
    answer_sheet(sheet, as_json=as_json, save=save, lines=lambda: _harvest_lines(view, sheet))


def _show_grain(db: str, *, as_json: bool, save: str) -> None:
    from wearlog.present.digits import Measures
    from wearlog.present.harvest.grain_sheet import grain_sheet
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.harvest.crop_grain import crop_grain
    from wearlog.reckoning.harvest.harvest_quality import harvest_quality

    with opened(db) as store, store.reading() as connection:
        farm = farm_from(connection, local_now())
        found = crop_grain(connection, farm, harvest_quality(connection, farm).moisture)
    answer_sheet(grain_sheet(found, Measures(farm.settings)), as_json=as_json, save=save)


def _speed(text: str, settings: FarmSettings) -> float:
    """Read a speed in metres per second; UsageError when it is none, or none at which anybody cuts."""
    from wearlog.logbook.said.amounts import read_sensor_amount

    found = read_sensor_amount(Sensor.GROUND_SPEED, text, settings) / 1000
    if not 0 < found < _TOO_FAST:
        raise UsageError(f"'{text}' is no speed at which a combine cuts.", "Write it like '4.5 mph' or '7.2 km/h'.")
    return found


def _harvest_lines(view: HarvestView, sheet: AnswerSheet[CombineWork]) -> list[str]:
    """Progress, the days it still takes, what each combine does, and the chance to be done as a table and a chart."""
    from wearlog.present.charts import chart_lines
    from wearlog.present.harvest.finish_sheet import finish_chart, finish_sentences, finish_sheet
    from wearlog.present.sheet_faces import answer_lines, table_lines
    from wearlog.present.tables import folded

    lines = [*folded([sheet.headline, *finish_sentences(view, sheet.measures)]), "", *answer_lines(sheet)]
    if view.finish is not None:
        lines += ["", *table_lines(finish_sheet(view.finish, sheet.measures))]
        lines += ["", *chart_lines(finish_chart(view.finish), 96, 14)]
    return lines


@command(
    "calibrate",
    examples=(
        "wearlog calibrate",
        "wearlog calibrate kestrel yield 5150 5000 --crop wheat",
        "wearlog calibrate kestrel speed '5.2 mph' '5 mph'",
        "wearlog calibrate --sample wheat 13.2 --elevator 13.6 --field 'north quarter'",
    ),
)
@click.argument("machine", required=False)
@click.argument("sensor", required=False, type=click.Choice(list(_SENSORS)))
@click.argument("shown", required=False)
@click.argument("true", required=False)
@click.option("--crop", default="", help="The crop of the load.")
@click.option("--sample", nargs=2, metavar="CROP PERCENT", help="A moisture sample by your own tester.")
@click.option("--elevator", default="", metavar="PERCENT", help="What the elevator found, for --sample.")
@click.option("--field", default="", help="The field, for --sample.")
@click.option("--note", default="", help="Anything worth keeping.")
@click.option("--tester", is_flag=True, help="The moisture tester alone: what to add to its figure.")
@with_at
@with_save
@with_json
@with_db
def calibrate_command(
    *,
    machine: str | None,
    sensor: str | None,
    shown: str | None,
    true: str | None,
    crop: str,
    sample: tuple[str, str] | None,
    elevator: str,
    field: str,
    note: str,
    tester: bool,
    at: str,
    as_json: bool,
    save: str,
    db: str,
) -> None:
    """Show how the sensors and the moisture tester stand, or enter what one SHOWED and what was TRUE."""
    if sample is None and (elevator or field):
        raise UsageError("A field and the elevator's figure belong to a sample.", "Give --sample CROP PERCENT.")
    if sample is not None or machine is not None:
        only_lists(tester=tester, save=save, json=as_json)
    if sample is not None:
        if machine is not None:
            raise UsageError("A moisture sample is of the grain, not of a machine.", "Leave MACHINE out.")
        with opened(db) as store:
            _enter_sample(store, sample, elevator, field, note, at)
        return
    if machine is not None:
        if sensor is None or shown is None or true is None:
            raise UsageError("A load has four words.", "Write MACHINE SENSOR SHOWN TRUE: kestrel yield 5150 5000.")
        with opened(db) as store:
            _enter_load(store, machine, _SENSORS[sensor], (shown, true), crop, note, at)
        return
    only_enters(crop=crop, note=note, at=at)
    from wearlog.present.digits import Measures
    from wearlog.present.harvest.sensor_sheet import sensor_sheet, tester_sheet
    from wearlog.present.sheet_faces import answer_lines, sheet_json

    view = _quality(db)
    measures = Measures(view.settings)
    sensors, offsets = sensor_sheet(view, measures), tester_sheet(view, measures)
    if tester:
        answer_sheet(offsets, as_json=as_json, save=save)
        return
    answer_sheet(
        sensors,
        as_json=as_json,
        save=save,
        lines=lambda: [*answer_lines(sensors), "", *answer_lines(offsets)],
        content=lambda: {**sheet_json(sensors), **sheet_json(offsets)},
    )


def _quality(db: str) -> HarvestQuality:
    from wearlog.reckoning.farm import farm_from
    from wearlog.reckoning.harvest.harvest_quality import harvest_quality

    with opened(db) as store, store.reading() as connection:
        return harvest_quality(connection, farm_from(connection, local_now()))


def _enter_load(
    store: Store, machine: str, sensor: Sensor, values: tuple[str, str], crop: str, note: str, at: str
) -> None:
    from wearlog.facts.quality import Calibration
    from wearlog.logbook.harvest import enter_calibration
    from wearlog.logbook.names import known_names, machine_named, pick
    from wearlog.logbook.said.amounts import read_sensor_amount

    with store.reading() as connection:
        known = known_names(connection)
    settings = known.farm
    shown, true = (read_sensor_amount(sensor, value, settings) for value in values)
    load = Calibration(
        machine_id=machine_named(known, machine).id,
        sensor=sensor,
        at=moment(at, store),
        reference_amount=true,
        indicated_amount=shown,
        crop_id=pick(known.crops, lambda row: row.name, crop, "crop").id if crop else None,
        note=note,
    )
    say_saved(enter_calibration(store, load))


def _enter_sample(store: Store, sample: tuple[str, str], elevator: str, field: str, note: str, at: str) -> None:
    from wearlog.facts.quality import MoistureSample
    from wearlog.logbook.harvest import enter_moisture
    from wearlog.logbook.names import known_names, pick
    from wearlog.logbook.said.amounts import read_percent

    with store.reading() as connection:
        known = known_names(connection)
    entered = MoistureSample(
        field_id=pick(known.fields, lambda row: row.name, field, "field").id if field else None,
        crop_id=pick(known.crops, lambda row: row.name, sample[0], "crop").id,
        at=moment(at, store),
        tester_hundredths=read_percent(sample[1]),
        elevator_hundredths=read_percent(elevator) if elevator else None,
        note=note,
    )
    say_saved(enter_moisture(store, entered))
