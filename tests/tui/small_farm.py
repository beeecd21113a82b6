"""A small invented farm for the tests of the screens: one combine, two headers, a knife of 160 sections, guards, a chain, parts."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

from wearlog.facts.closed_lists import Action, Cause, Ground, MachineKind, MeterKind, Mode
from wearlog.facts.electrics import Fault
from wearlog.facts.machines import Machine, ServiceDone, ServiceItem
from wearlog.facts.parts import Part, PartKind
from wearlog.facts.wearing import Component
from wearlog.facts.work import Run

if TYPE_CHECKING:
    from pathlib import Path

    from wearlog.store.opening import Store

#: one acre and one hour in stored units
ACRE, HOUR = 4046.8564224, 3600


def make_small_farm(file: Path, now: datetime | None = None) -> None:
    """Write the farm; it has cut 600 acres in the 30 days before `now`."""
    from wearlog.logbook.farm.first_day import start_log
    from wearlog.store.location import Location

    store = start_log(Location(file=file))
    _fill(store, now or datetime.now(UTC))
    store.close()


def _fill(store: Store, now: datetime) -> None:
    from wearlog.logbook.farm.machines import add_field, add_machine, add_season, hitch
    from wearlog.logbook.parts.breaking import BreakageEntry, log_breakage
    from wearlog.logbook.parts.fitting import add_component
    from wearlog.logbook.parts.stocking import add_part
    from wearlog.logbook.parts.upkeep import add_service, do_service
    from wearlog.logbook.work.working import cut
    from wearlog.store.finding import find_all

    began = now - timedelta(days=30)
    kestrel = Machine(name="Kestrel", kind=MachineKind.COMBINE)
    north = Machine(name="North header", kind=MachineKind.HEADER, cut_width_micrometres=12_192_000)
    spare = Machine(name="Old header", kind=MachineKind.HEADER, cut_width_micrometres=9_144_000)
    meters = {MeterKind.ENGINE_HOURS: 2_310 * HOUR, MeterKind.SEPARATOR_HOURS: 1_702 * HOUR}
    add_machine(store, kestrel, at=began, shown=meters)
    add_machine(store, north, at=began)
    add_machine(store, spare, at=began)
    hitch(store, north, kestrel, at=began)
    add_season(store, now.year, date(now.year, 1, 1), date(now.year + 1, 1, 1))
    add_field(store, "Long quarter", int(160 * ACRE), Ground.STONY)
    with store.reading() as connection:
        kinds = {kind.name: kind for kind in find_all(connection, PartKind)}
    knife = Component(machine_id=north.id, part_kind_id=kinds["knife section"].id, place="knife", positions=160)
    guards = Component(machine_id=north.id, part_kind_id=kinds["guard"].id, place="guards", positions=80)
    chain = Component(machine_id=kestrel.id, part_kind_id=kinds["feeder conveyor chain"].id, place="feeder house chain")
    harness = Component(machine_id=kestrel.id, part_kind_id=kinds["wiring harness"].id, place="main harness")
    for component, age in ((knife, 0), (guards, int(2_000 * ACRE)), (chain, 400 * HOUR), (harness, None)):
        add_component(store, component, fitted_at=began, age_usage=age)
    section = Part(number="KS-1", name="section", price_minor=450, pack_size=25, keep_on_hand=20)
    add_part(store, section, [kinds["knife section"]], on_hand=21, at=began)
    guard = Part(number="KG-7", name="guard, forged", price_minor=1_890, keep_on_hand=4)
    add_part(store, guard, [kinds["guard"]], on_hand=2, at=began)
    for day in range(1, 31):
        start = began + timedelta(days=day, hours=-12)
        cut(
            store,
            Run(
                combine_id=kestrel.id,
                started_at=start,
                ended_at=start + timedelta(hours=2),
                area_square_metres=int(20 * ACRE),
            ),
        )
    oil = ServiceItem(
        machine_id=kestrel.id, name="engine oil", meter_kind=MeterKind.ENGINE_HOURS, interval_usage=50 * HOUR
    )
    add_service(store, oil)
    do_service(store, ServiceDone(service_item_id=oil.id, at=began + timedelta(minutes=1)))
    for days, component, positions, cause, mode, action in (
        (20, knife, (12, 13), Cause.IMPACT, Mode.BROKEN, Action.REPLACED),
        (12, guards, (6,), Cause.IMPACT, Mode.BENT, Action.LEFT),
        (6, knife, (118,), Cause.LOOSE, Mode.MISSING, Action.REPLACED),
        (3, knife, (41,), Cause.IMPACT, Mode.BROKEN, Action.REPLACED),
    ):
        at = now - timedelta(days=days)
        log_breakage(
            store,
            BreakageEntry(component_id=component.id, positions=positions, at=at, cause=cause, mode=mode, action=action),
        )
    _open_fault(store, Fault(machine_id=kestrel.id, circuit="header lights", title="fuse blows", opened_at=began))


def _open_fault(store: Store, fault: Fault) -> None:
    from wearlog.logbook.names import known_names
    from wearlog.logbook.saving import save

    with store.writing() as connection:
        save(store, connection, f"opened the fault {fault.title}", new=[fault], known=known_names(connection))
