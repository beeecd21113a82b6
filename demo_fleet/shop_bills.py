"""What the dealer's shop did in winter on the demo fleet's combines, and what it charged. Data only; invented to the last cent."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

from wearlog.facts.closed_lists import RepairKind
from wearlog.facts.wearing import Repair

from .machine_states import MachineState
from .records import Records, farm_time


@dataclass(frozen=True, slots=True)
class Bill:
    """An overhaul by others: whose, in the winter before which season, dollars for parts and work, what, and at which place.

    `kind` is empty where the work was on nothing that this log keeps the parts of.
    """

    machine: str
    year: int
    dollars: int
    what: str
    kind: str = ""


BILLS: Final = (
    Bill("Juniper", 2021, 5150, "winter inspection; injectors tested, two renewed"),
    Bill("Juniper", 2021, 4380, "unloading tube: elbow bearing, gearbox and seals"),
    Bill("Juniper", 2022, 3290, "winter inspection; bearings of fan and beater", "bearing"),
    Bill("Juniper", 2022, 8640, "feeder house: drum, floor, sprockets and shafts", "feeder conveyor chain"),
    Bill("Juniper", 2023, 12870, "hydrostatic pump rebuilt, hoses and oil", "hydraulic hose"),
    Bill("Juniper", 2023, 3410, "winter inspection; front wheel bearings and brakes"),
    Bill("Juniper", 2024, 15930, "rotor out: gearbox, rear bearing, transition cone", "bearing"),
    Bill("Juniper", 2025, 9760, "cleaning shoe: hangers, bushes, sieves and fan rotor"),
    Bill("Juniper", 2025, 4270, "winter inspection; turbo and charge air cooler"),
    Bill("Juniper", 2026, 17480, "final drives both sides, and four drive tires part worn"),
    Bill("Juniper", 2026, 3980, "winter inspection; air conditioning"),
    Bill("Alder", 2021, 6720, "winter inspection; water pump, radiator, fan hub"),
    Bill("Alder", 2021, 6150, "grain tank cross augers, troughs and gearbox", "auger flighting"),
    Bill("Alder", 2022, 16840, "engine: head gasket, injectors, turbo"),
    Bill("Alder", 2023, 9930, "feeder house: drum, floor, reverser", "feeder conveyor chain"),
    Bill("Alder", 2023, 5460, "winter inspection; steering axle and kingpins"),
    Bill("Alder", 2024, 18770, "cylinder out: beater, bearings, variable drive", "bearing"),
    Bill("Alder", 2025, 20390, "hydrostatic pump and motor exchanged"),
    Bill("Alder", 2025, 4180, "winter inspection; brakes and parking brake"),
    Bill("Alder", 2026, 14250, "cleaning shoe, chaffer and sieves, elevator head shafts"),
    Bill("Alder", 2026, 9640, "wiring of cab and engine deck renewed in part", "wiring harness"),
    Bill("Tamarack", 2021, 2980, "winter inspection; software and calibration of sensors", "speed sensor"),
    Bill("Tamarack", 2021, 3140, "chopper rotor balanced, bearings", "chopper blades"),
    Bill("Tamarack", 2022, 8260, "feeder house: floor, drum bearings, slip clutch", "feeder conveyor chain"),
    Bill("Tamarack", 2023, 9870, "aftertreatment cleaned, one injector, sensors"),
    Bill("Tamarack", 2023, 3020, "winter inspection; belts and idlers", "main drive belt"),
    Bill("Tamarack", 2024, 8540, "unloading tube: elbow, gearbox, flighting", "auger flighting"),
    Bill("Tamarack", 2025, 13690, "rotor drive gearbox resealed, bearings", "bearing"),
    Bill("Tamarack", 2025, 3350, "winter inspection; wheel bearings"),
    Bill("Tamarack", 2026, 12760, "hydraulic pump, lift cylinders and hoses", "hydraulic hose"),
    Bill("Tamarack", 2026, 5480, "cleaning shoe bushes and drive"),
)


def write_bills(records: Records, states: dict[str, MachineState], year: int) -> None:
    """Enter the overhauls of the winter before a season: in the shop for two days, the farm's people had no part in it."""
    day = date(year, 3, 6)
    for bill in BILLS:
        if bill.year != year:
            continue
        state = states[bill.machine]
        records.add(
            Repair(
                id=records.next_id("repair"),
                machine_id=state.id,
                kind=RepairKind.OVERHAUL,
                started_at=farm_time(day, 8),
                ended_at=farm_time(day + timedelta(days=1), 16),
                hired_minor=bill.dollars * 100,
                component_id=state.set_of(bill.kind).component.id if bill.kind else None,
                note=f"dealer: {bill.what}",
            )
        )
        day += timedelta(days=2)
