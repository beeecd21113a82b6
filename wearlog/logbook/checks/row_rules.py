"""Rules for single rows: kinds, parts, breakages, repairs, services, faults, machines, meters, fields, runs, sensors and plans."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any, Final

from wearlog.errors import RefusedError
from wearlog.facts import bookkeeping, electrics, machines, parts, quality, wearing, work
from wearlog.facts.closed_lists import Dimension, MachineKind, MeterKind, Sensor, SignKind, StockChange
from wearlog.facts.fact import Fact
from wearlog.facts.farm_settings import check_setting
from wearlog.facts.positions import MOST_POSITIONS
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
    low_and_high,
    named,
    span,
    usage,
    within,
)

#: suspect parameter numbers have 19 bits and failure modes 5 (SAE J1939-73, from memory)
MOST_SPN: Final = 2**19 - 1
MOST_FMI: Final = 31
#: no two places lie farther apart on the ground
FARTHEST_METRES: Final = 20_100_000


def _part_kind(fact: parts.PartKind, around: Around) -> Iterator[Unsound]:
    yield from named(fact, "name", "A kind of part")
    yield from low_and_high(fact, "life_low_usage", "life_high_usage", "life")
    yield from low_and_high(fact, "shape_low_thousandths", "shape_high_thousandths", "shape")
    yield from usage(fact, "life_high_usage", fact.meter_kind, around)
    yield from _dimension(fact)


def _dimension(fact: parts.PartKind) -> Iterator[Unsound]:
    measured = (fact.new_micrometres, fact.limit_micrometres, fact.pitch_micrometres, fact.pitches)
    if fact.dimension is Dimension.NONE and any(value is not None for value in measured):
        yield Unsound(
            fact.id, "dimension", "Wear values are given, but not what is measured.", "Name the dimension, such as gap."
        )
    if fact.dimension is Dimension.LENGTH_OVER_PITCHES and not (fact.pitch_micrometres and fact.pitches):
        yield Unsound(
            fact.id, "pitches", "A chain is measured over its pitches: pitch and pitches are missing.", "Give both."
        )
    new, limit = fact.new_micrometres, fact.limit_micrometres
    if new is None or limit is None or fact.dimension is Dimension.NONE:
        return
    # only a thickness wears down; a gap, a depth and the length of a chain grow
    if fact.dimension is Dimension.THICKNESS and limit >= new:
        yield Unsound(fact.id, "limit_micrometres", "A thickness wears down, so its limit lies below the new value.")
    elif fact.dimension is not Dimension.THICKNESS and limit <= new:
        what = str(fact.dimension).replace("_", " ")
        yield Unsound(fact.id, "limit_micrometres", f"A {what} grows by wear, so its limit lies above the new value.")


def _part(fact: parts.Part, around: Around) -> Iterator[Unsound]:
    yield from named(fact, "number", "A part")
    yield from named(fact, "name", "A part")
    yield from at_least_one(fact, "pack_size")
    yield from at_most(fact, "lead_time_days", 3_650, "ten years")
    for name in ("warranty_months", "warranty_usage"):
        if getattr(fact, name) == 0:
            yield Unsound(fact.id, name, "A warranty of 0 is none.", "Leave it empty.")


def _stock_move(fact: parts.StockMove, around: Around) -> Iterator[Unsound]:
    if fact.quantity == 0 and fact.change is not StockChange.COUNTED:
        yield Unsound(fact.id, "quantity", f"Parts were {fact.change}, but the quantity is 0.", "Write how many.")
    yield from at_most(fact, "quantity", 1_000_000, "a million")


def _supplier(fact: parts.Supplier, around: Around) -> Iterator[Unsound]:
    yield from named(fact, "name", "A supplier")
    yield from at_most(fact, "distance_metres", FARTHEST_METRES, "half the earth away")


def _supplier_hours(fact: parts.SupplierHours, around: Around) -> Iterator[Unsound]:
    yield from at_most(fact, "weekday", 6, "6, Sunday")
    yield from at_most(fact, "closes_seconds", 86_400, "24:00")
    if fact.closes_seconds <= fact.opens_seconds:
        yield Unsound(fact.id, "closes_seconds", "It closes before it opens.", "Change one of the two.")


def _supply(fact: parts.Supply, around: Around) -> Iterator[Unsound]:
    yield from at_most(fact, "quoted_lead_days", 3_650, "ten years")


def _part_order(fact: parts.PartOrder, around: Around) -> Iterator[Unsound]:
    if fact.quantity == 0:
        yield Unsound(fact.id, "quantity", "An order of 0 parts is none.", "Write how many.")
    yield from at_most(fact, "quantity", 1_000_000, "a million")
    yield from span(fact, "ordered_at", "cancelled_at", around)


def _warranty_claim(fact: parts.WarrantyClaim, around: Around) -> Iterator[Unsound]:
    yield from span(fact, "sent_at", "settled_at", around)


def _component(fact: wearing.Component, around: Around) -> Iterator[Unsound]:
    yield from named(fact, "place", "A component")
    if fact.positions == 0:
        yield Unsound(fact.id, "positions", "A component has at least 1 position.", "Write how many.")
    yield from at_most(fact, "positions", MOST_POSITIONS, f"{MOST_POSITIONS:,}")


def _fitting(fact: wearing.Fitting, around: Around) -> Iterator[Unsound]:
    yield from within(fact, "position", (fact.position,), around)
    yield from span(fact, "fitted_at", "removed_at", around)
    component = around.components.get(fact.component_id)
    kind = around.part_kinds.get(component.part_kind_id) if component else None
    yield from usage(fact, "age_when_fitted_usage", kind.meter_kind if kind else None, around)
    if fact.removal is not None and fact.removed_at is None:
        yield Unsound(fact.id, "removed_at", "It says why it came off, but not when.", "Write when it was removed.")


def _breakage(fact: wearing.Breakage, around: Around) -> Iterator[Unsound]:
    yield from within(fact, "positions", fact.positions, around)
    component, repair = around.components.get(fact.component_id), around.repairs.get(fact.repair_id or fact.id)
    if component and repair and component.machine_id != repair.machine_id:
        yield Unsound(fact.id, "repair_id", "The repair belongs to another machine.", "Name a repair of this machine.")


def _repair(fact: wearing.Repair, around: Around) -> Iterator[Unsound]:
    yield from span(fact, "started_at", "ended_at", around)
    component = around.components.get(fact.component_id) if fact.component_id else None
    if component and component.machine_id != fact.machine_id:
        yield Unsound(fact.id, "component_id", "The component belongs to another machine.", "Name one of this machine.")


def _measurement(fact: wearing.Measurement, around: Around) -> Iterator[Unsound]:
    yield from within(fact, "position", (fact.position,), around)
    yield from at_most(fact, "measured_micrometres", 100 * METRE, around.speak.width(100 * METRE))


def _service_item(fact: machines.ServiceItem, around: Around) -> Iterator[Unsound]:
    yield from named(fact, "name", "A service")
    yield from at_least_one(fact, "interval_usage")
    yield from at_least_one(fact, "interval_months")
    yield from usage(fact, "interval_usage", fact.meter_kind, around)
    if fact.interval_usage is not None and fact.meter_kind is None:
        yield Unsound(fact.id, "meter_kind", "The interval is given, but not the meter it runs on.", "Name the meter.")
    if fact.interval_usage is None and fact.interval_months is None:
        yield Unsound(
            fact.id, "interval_usage", "The service never comes round.", "Give an interval by meter or in months."
        )


def _circuit_node(fact: electrics.CircuitNode, around: Around) -> Iterator[Unsound]:
    yield from named(fact, "name", "A node")
    yield from at_least_one(fact, "rating_milliamperes")
    yield from at_most(fact, "rating_milliamperes", 1_000_000, "1,000 A")


def _circuit_edge(fact: electrics.CircuitEdge, around: Around) -> Iterator[Unsound]:
    if fact.from_node_id == fact.to_node_id:
        yield Unsound(fact.id, "to_node_id", "The line ends at the node where it begins.", "Name another node.")


def _fault(fact: electrics.Fault, around: Around) -> Iterator[Unsound]:
    yield from named(fact, "title", "A fault")
    yield from span(fact, "opened_at", "closed_at", around)


def _fault_sign(fact: electrics.FaultSign, around: Around) -> Iterator[Unsound]:
    if fact.sign is SignKind.CODE and fact.spn is None:
        yield Unsound(fact.id, "spn", "A code was seen, but not which.", "Write its SPN and FMI.")
    yield from at_most(fact, "spn", MOST_SPN, f"{MOST_SPN:,}")
    yield from at_most(fact, "fmi", MOST_FMI, f"{MOST_FMI}")


def _fault_check(fact: electrics.FaultCheck, around: Around) -> Iterator[Unsound]:
    yield from at_least_one(fact, "step")


WEAR_RULES: Final[Mapping[type[Fact], Rule]] = MappingProxyType(
    {
        parts.PartKind: _part_kind,
        parts.Part: _part,
        parts.StockMove: _stock_move,
        parts.Supplier: _supplier,
        parts.SupplierHours: _supplier_hours,
        parts.Supply: _supply,
        parts.PartOrder: _part_order,
        parts.WarrantyClaim: _warranty_claim,
        wearing.Component: _component,
        wearing.Fitting: _fitting,
        wearing.Breakage: _breakage,
        wearing.Repair: _repair,
        wearing.Measurement: _measurement,
        machines.ServiceItem: _service_item,
        electrics.CircuitNode: _circuit_node,
        electrics.CircuitEdge: _circuit_edge,
        electrics.Fault: _fault,
        electrics.FaultSign: _fault_sign,
        electrics.FaultCheck: _fault_check,
    }
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
