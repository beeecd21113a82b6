"""Rules for single rows of machines, meters, fields, runs, sensors and plans. Rules for parts and faults are in wear_rules.py."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any, Final

from wearlog.errors import RefusedError
from wearlog.facts import bookkeeping, machines, quality, work
from wearlog.facts.closed_lists import MachineKind, MeterKind, Sensor
from wearlog.facts.fact import Fact
from wearlog.facts.farm_settings import check_setting
from wearlog.logbook.checks.row_checks import (
    EARLIEST_YEAR,
    HECTARE,
    HOUR,
    LATEST_YEAR,
    METRE,
    Around,
    Rule,
    Unsound,
    area,
    at_least_one,
    at_most,
    combine_and_header,
    is_kind,
    named,
    span,
    usage,
    within,
)

#: twice what the widest header cuts at the highest speed
MOST_SQUARE_METRES_PER_SECOND: Final = 60 * HECTARE / HOUR
MOST_YIELD: Final = 30_000_000


def _machine(fact: machines.Machine, around: Around) -> Iterator[Unsound]:
    yield from named(fact, "name", "A machine")
    if fact.cut_width_micrometres is not None and fact.kind is not MachineKind.HEADER:
        yield Unsound(fact.id, "cut_width_micrometres", "Only a header has a width of cut.", "Leave it empty.")
    yield from at_most(fact, "cut_width_micrometres", 40 * METRE, around.speak.width(40 * METRE))
    yield from at_least_one(fact, "cut_width_micrometres")
    yield from _year(fact, "model_year")


def _year(fact: Any, field: str) -> Iterator[Unsound]:
    year = getattr(fact, field)
    if year is not None and not EARLIEST_YEAR <= year <= LATEST_YEAR:
        yield Unsound(fact.id, field, f"{year} is not a year of this log.", "Write it with four digits.")


def _hitch(fact: machines.Hitch, around: Around) -> Iterator[Unsound]:
    yield from combine_and_header(fact, around)
    yield from span(fact, "from_at", "to_at", around)


def _meter(fact: machines.Meter, around: Around) -> Iterator[Unsound]:
    machine = around.machines.get(fact.machine_id)
    if machine and fact.kind is MeterKind.SEPARATOR_HOURS and machine.kind is not MachineKind.COMBINE:
        yield Unsound(
            fact.id,
            "kind",
            f"'{machine.name}' is a {machine.kind}: only a combine counts separator hours.",
            "A header's hours come from the combine it hangs on.",
        )


def _reading(fact: machines.Reading, around: Around) -> Iterator[Unsound]:
    meter = around.meters.get(fact.meter_id)
    yield from usage(fact, "shown_usage", meter.kind if meter else None, around)


def _field(fact: work.Field, around: Around) -> Iterator[Unsound]:
    yield from named(fact, "name", "A field")
    yield from area(fact, around)


def _crop(fact: work.Crop, around: Around) -> Iterator[Unsound]:
    yield from named(fact, "name", "A crop")
    yield from at_most(fact, "bushel_grams", 100_000, around.speak.weight(100_000))
    yield from at_least_one(fact, "bushel_grams")


def _season(fact: work.Season, around: Around) -> Iterator[Unsound]:
    yield from _year(fact, "harvest_year")
    yield from span(fact, "starts_on", "ends_on", around, may_be_empty=False)
    if fact.ends_on > fact.starts_on and not fact.starts_on.year <= fact.harvest_year <= fact.ends_on.year:
        yield Unsound(
            fact.id,
            "harvest_year",
            f"The harvest year {fact.harvest_year} lies outside its own season, {fact.starts_on} to {fact.ends_on}.",
            "Change the year or the days.",
        )


def _run(fact: work.Run, around: Around) -> Iterator[Unsound]:
    yield from combine_and_header(fact, around)
    yield from area(fact, around)
    yield from at_most(fact, "yield_grams_per_hectare", MOST_YIELD, around.speak.crop_yield(MOST_YIELD))
    seconds = (fact.ended_at - fact.started_at).total_seconds()
    if seconds <= 0:
        yield from span(fact, "started_at", "ended_at", around, may_be_empty=False)
        return
    if fact.area_square_metres > MOST_SQUARE_METRES_PER_SECOND * seconds:
        yield Unsound(
            fact.id,
            "area_square_metres",
            f"{around.speak.area(fact.area_square_metres)} in {seconds / HOUR:.1f} h is more than any combine cuts.",
            "Look at the unit of the area and at the times.",
        )
    if fact.separator_seconds is not None and fact.separator_seconds > seconds + 60:
        yield Unsound(
            fact.id,
            "separator_seconds",
            f"{fact.separator_seconds / HOUR:.1f} separator hours do not fit into a run of {seconds / HOUR:.1f} h.",
            "Look at the unit and at the times.",
        )


def _stoppage(fact: work.Stoppage, around: Around) -> Iterator[Unsound]:
    yield from span(fact, "started_at", "ended_at", around)


def _calibration(fact: quality.Calibration, around: Around) -> Iterator[Unsound]:
    if fact.sensor is not Sensor.HEADER_HEIGHT:
        yield from at_least_one(fact, "reference_amount")


def _loss_check(fact: quality.LossCheck, around: Around) -> Iterator[Unsound]:
    yield from is_kind(fact, "combine_id", MachineKind.COMBINE, around)
    yield from at_least_one(fact, "cut_width_micrometres")
    yield from at_least_one(fact, "discharge_width_micrometres")
    yield from at_most(fact, "yield_grams_per_hectare", MOST_YIELD, around.speak.crop_yield(MOST_YIELD))
    if fact.discharge_width_micrometres > fact.cut_width_micrometres:
        yield Unsound(
            fact.id,
            "discharge_width_micrometres",
            "The straw leaves wider than the header cuts.",
            "Look at the two widths and their units.",
        )


def _moisture_sample(fact: quality.MoistureSample, around: Around) -> Iterator[Unsound]:
    for name in ("tester_hundredths", "elevator_hundredths"):
        yield from at_most(fact, name, 6_000, "60 per cent")


def _planned_area(fact: work.PlannedArea, around: Around) -> Iterator[Unsound]:
    yield from combine_and_header(fact, around)
    yield from area(fact, around)
    if fact.field_id is None and fact.ground is None:
        yield Unsound(fact.id, "ground", "The area has neither a field nor a ground.", "Give one of the two.")


def _plan_choice(fact: work.PlanChoice, around: Around) -> Iterator[Unsound]:
    yield from within(fact, "positions", fact.positions, around)


def _setting(fact: bookkeeping.Setting, around: Around) -> Iterator[Unsound]:
    yield from named(fact, "key", "A setting")
    try:
        check_setting(fact.key, fact.content)
    except RefusedError as error:
        yield Unsound(fact.id, "content", error.message, error.hint)


WORK_RULES: Final[Mapping[type[Fact], Rule]] = MappingProxyType(
    {
        bookkeeping.Setting: _setting,
        machines.Machine: _machine,
        machines.Hitch: _hitch,
        machines.Meter: _meter,
        machines.Reading: _reading,
        work.Field: _field,
        work.Crop: _crop,
        work.Season: _season,
        work.Run: _run,
        work.Stoppage: _stoppage,
        quality.Calibration: _calibration,
        quality.LossCheck: _loss_check,
        quality.MoistureSample: _moisture_sample,
        work.PlannedArea: _planned_area,
        work.PlanChoice: _plan_choice,
    }
)
