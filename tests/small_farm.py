"""A farm of one combine and one header, entered through the logbook as a person would: what most tests of the upper layers need."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from wearlog.facts.closed_lists import Ground, MachineKind, MeterKind, StockChange, Subsystem
from wearlog.facts.machines import Machine
from wearlog.facts.parts import Part, PartKind, StockMove
from wearlog.facts.starting_guesses import STARTING_KINDS
from wearlog.facts.wearing import Component
from wearlog.facts.work import Run
from wearlog.logbook.checks.doubts import NO_DOUBT_SETTLED
from wearlog.logbook.farm.machines import add_crop, add_field, add_machine, add_season, hitch
from wearlog.logbook.parts.fitting import add_component
from wearlog.logbook.parts.stocking import add_part, move_stock
from wearlog.logbook.work.working import cut
from wearlog.store.ledger import Entry, record
from wearlog.store.opening import Store

MAY = datetime(2026, 5, 1, 12, tzinfo=UTC)
AUGUST = datetime(2026, 8, 1, 15, tzinfo=UTC)
ACRE = 4046.8564224
HOUR = 3600


@dataclass(frozen=True)
class SmallFarm:
    store: Store
    combine: Machine
    header: Machine
    knife: Component
    chain: Component
    section_part: Part


def kind(name: str) -> PartKind:
    return next(one for one in STARTING_KINDS if one.name == name)


def unguessed_kind(store: Store) -> PartKind:
    """Enter a kind of the farm's own that nobody guessed a life or a rate of stones for."""
    divider = PartKind(name="crop divider", subsystem=Subsystem.HEADER, meter_kind=MeterKind.AREA)
    with store.writing() as connection:
        record(connection, device=store.device, said="a kind of our own", entries=[Entry(divider)])
    return divider


def small_farm(store: Store) -> SmallFarm:
    """Begin the log: Kestrel at 2,310 engine hours carries North with a new knife of 160; 50 sections lie on the shelf."""
    with store.writing() as connection:
        record(connection, device=store.device, said="began", entries=[Entry(one) for one in STARTING_KINDS])
    combine = Machine(name="Kestrel", kind=MachineKind.COMBINE, list_price_minor=58_500_000)
    header = Machine(name="North", kind=MachineKind.HEADER, cut_width_micrometres=12_192_000)
    shown = {MeterKind.ENGINE_HOURS: 2310 * HOUR, MeterKind.SEPARATOR_HOURS: 1702 * HOUR}
    add_machine(store, combine, at=MAY, shown=shown)
    add_machine(store, header, at=MAY)
    hitch(store, header, combine, at=MAY)
    knife = Component(machine_id=header.id, part_kind_id=kind("knife section").id, place="knife", positions=160)
    chain = Component(machine_id=combine.id, part_kind_id=kind("feeder conveyor chain").id, place="feeder chain")
    add_component(store, knife, fitted_at=MAY)
    add_component(store, chain, fitted_at=MAY, age_usage=300 * HOUR)
    part = Part(
        number="KS-3", name="knife section", price_minor=460, pack_size=25, keep_on_hand=40, supplier="the counter"
    )
    add_part(store, part, [kind("knife section")], on_hand=50, at=MAY)
    return SmallFarm(store, combine, header, knife, chain, part)


def harvest(
    farm: SmallFarm,
    *,
    acres: float = 100.0,
    hours: float = 8.0,
    at: datetime = AUGUST,
    sure: Collection[str] = NO_DOUBT_SETTLED,
) -> Run:
    """Enter a run of so many acres and separator hours that began `at`; `sure` names the doubts that a person said yes to."""
    run = Run(
        combine_id=farm.combine.id,
        started_at=at,
        ended_at=at + timedelta(hours=max(10.0, hours)),
        area_square_metres=round(acres * ACRE),
        separator_seconds=round(hours * HOUR),
    )
    cut(farm.store, run, sure=sure)
    return run


def land(farm: SmallFarm) -> None:
    add_field(farm.store, "north quarter", round(158 * ACRE), Ground.STONY)
    add_crop(farm.store, "wheat")
    add_season(farm.store, 2026)


def receive(farm: SmallFarm, quantity: int, unit_cost_minor: int, *, at: datetime = MAY) -> None:
    move_stock(
        farm.store,
        StockMove(
            part_id=farm.section_part.id,
            at=at,
            change=StockChange.RECEIVED,
            quantity=quantity,
            unit_cost_minor=unit_cost_minor,
        ),
    )
