"""The same thing entered twice: offered, joined by one deed with all that pointed at it, parted by one undo."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from tests.small_farm import HOUR, MAY, kind
from wearlog.errors import RefusedError
from wearlog.facts.bookkeeping import SameAs, Setting
from wearlog.facts.closed_lists import Cause, Doing, MachineKind, MeterKind, Removal, StockChange
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine, Meter, Reading
from wearlog.facts.parts import Part, StockMove
from wearlog.facts.starting_guesses import STARTING_KINDS
from wearlog.facts.wearing import Breakage, Component, Fitting, Repair
from wearlog.facts.work import Run, Stoppage
from wearlog.ids import derived_id
from wearlog.logbook.checks.doubts import Doubt
from wearlog.logbook.farm.farm_setting import change_setting
from wearlog.logbook.files.mending import log_findings
from wearlog.logbook.files.undo import undo
from wearlog.logbook.names import known_names, machine_named
from wearlog.logbook.parts.breaking import BreakageEntry, log_breakage
from wearlog.logbook.parts.stocking import add_part
from wearlog.logbook.twins.joining import Joined, came_later, join, join_again, keep_apart
from wearlog.logbook.twins.looking import LOOKS, find_twins, near_pairs
from wearlog.store.finding import find_all, rests_on_gone
from wearlog.store.ledger import Entry, record
from wearlog.store.opening import Store
from wearlog.store.schema import TABLE_OF_FACT

JULY = datetime(2026, 7, 28, 10, tzinfo=UTC)


def rows(store: Store, fact_type: type[Any]) -> list[Any]:
    with store.reading() as connection:
        return find_all(connection, fact_type)


def everything(store: Store) -> dict[str, list[Fact]]:
    kinds = [one for one in TABLE_OF_FACT if one is not SameAs]
    return {one.__name__: sorted(rows(store, one), key=lambda fact: fact.id) for one in kinds}


def rows_of(all_rows: dict[str, list[Fact]], fact_type: type[Any]) -> list[Any]:
    return list(all_rows[fact_type.__name__])


def offered(store: Store) -> list[tuple[str, tuple[str, str], str]]:
    with store.reading() as connection:
        return [(type(one.kept).__name__, one.devices, one.why) for one in find_twins(connection)]


def a_header(store: Store, device: str, at: datetime) -> tuple[Machine, Component]:
    """What each laptop entered by itself: North with a knife of 60."""
    store.device = device
    header = Machine(name="North", kind=MachineKind.HEADER)
    knife = Component(machine_id=header.id, part_kind_id=kind("knife section").id, place="knife", positions=60)
    sections = [Fitting(component_id=knife.id, position=one, fitted_at=at) for one in range(1, 61)]
    enter(store, header, Meter(machine_id=header.id, kind=MeterKind.AREA), knife, *sections)
    return header, knife


def join_norths(store: Store, *, dry_run: bool = False) -> Joined:
    one, other = rows(store, Machine)
    return join(store, one, other, one.name, dry_run=dry_run)


def enter(store: Store, *facts: Fact) -> None:
    """Past the question whether the name is there already: each laptop's log had it once."""
    with store.writing() as connection:
        record(connection, device=store.device, said="entered", entries=[Entry(fact) for fact in facts])


def broke(store: Store, component: Component, position: int, at: datetime, **also: Any) -> Breakage:
    entry = BreakageEntry(component_id=component.id, positions=(position,), at=at, cause=Cause.IMPACT, **also)
    return next(fact for fact in log_breakage(store, entry, sure=set(Doubt)).facts if isinstance(fact, Breakage))


@pytest.fixture
def two_norths(store: Store) -> tuple[Store, Component, Component]:
    """Two laptops' headers of one name in one log, as a merge leaves them; the second broke sections 41 and 42."""
    enter(store, *STARTING_KINDS)
    _, first = a_header(store, "cab 1", MAY)
    _, second = a_header(store, "cab 2", MAY + timedelta(days=1))
    broke(store, second, 42, JULY)
    return store, first, second


def test_of_two_machines_of_one_name_the_number_names_one(two_norths: tuple[Store, Component, Component]) -> None:
    store, first, second = two_norths
    with store.reading() as connection:
        known = known_names(connection)
    with pytest.raises(Exception, match="'North' could be any of 2 machines") as told:
        machine_named(known, "North")
    names = str(getattr(told.value, "hint", "")).partition(": ")[2].rstrip(".").replace("'", "").split(", ")
    found = {machine_named(known, name.lower()).id for name in names}
    assert found == {first.machine_id, second.machine_id}
    assert {machine_named(known, name.split()[-1]).id for name in names} == found


def test_a_machine_entered_twice_is_offered_and_joined_with_all_that_hangs_on_it(
    two_norths: tuple[Store, Component, Component],
) -> None:
    store, first, _ = two_norths
    assert offered(store) == [("Machine", ("cab 1", "cab 2"), "the same name")]
    one, other = rows(store, Machine)
    done = join(store, other, one, "North")
    assert done.kept.id == one.id, "the one that was entered first is kept, however they are named"
    assert done.joined == {"machine": 1, "meter": 1, "component": 1, "fitting": 60}
    assert [machine.id for machine in rows(store, Machine)] == [first.machine_id]
    assert [component.id for component in rows(store, Component)] == [first.id]
    (breakage,) = rows(store, Breakage)
    on = {fitting.id: fitting for fitting in rows(store, Fitting) if fitting.position == 42}
    assert breakage.component_id == first.id
    off, new = on[breakage.broke_fitting_ids[0]], on[breakage.followed_fitting_ids[0]]
    assert (off.component_id, off.fitted_at, off.removed_at, off.removal) == (first.id, MAY, JULY, Removal.BROKE)
    assert (new.component_id, new.fitted_at, new.removed_at) == (first.id, JULY, None)
    assert len(rows(store, Fitting)) == 61
    with store.reading() as connection:
        assert list(rests_on_gone(connection)) == []
        assert log_findings(connection) == ()
    assert offered(store) == []


def test_one_undo_parts_them_with_what_each_had(two_norths: tuple[Store, Component, Component]) -> None:
    store, _, _ = two_norths
    before = everything(store)
    joined = join_norths(store)
    assert everything(store) != before
    assert joined.deed is not None
    undo(store, joined.deed.id)
    assert everything(store) == before
    assert offered(store) == [], "what a person parted is offered no more"
    join_norths(store)
    assert len(rows(store, Machine)) == 1, "and can be joined again"


def test_a_dry_run_writes_nothing(two_norths: tuple[Store, Component, Component]) -> None:
    store, _, _ = two_norths
    before = everything(store)
    looked = join_norths(store, dry_run=True)
    assert (looked.deed, looked.joined["fitting"]) == (None, 60)
    assert everything(store) == before


def test_two_things_are_offered_no_more(two_norths: tuple[Store, Component, Component]) -> None:
    store, _, _ = two_norths
    keep_apart(store, *rows(store, Machine), "the two Norths")
    assert offered(store) == []
    assert len(rows(store, Machine)) == 2
    with pytest.raises(RefusedError, match="kept apart already"):
        keep_apart(store, *rows(store, Machine), "the two Norths")


def test_what_comes_in_later_for_a_joined_machine_is_told_and_brought_along(
    two_norths: tuple[Store, Component, Component],
) -> None:
    store, first, second = two_norths
    there = next(one for one in rows(store, Fitting) if one.component_id == second.id and one.position == 7)
    join_norths(store)
    # as the other laptop wrote it before it knew: the part of its own knife came off, another went on
    came_off = replace(there, removed_at=JULY, removal=Removal.BROKE)
    went_on = Fitting(component_id=second.id, position=7, fitted_at=JULY)
    told = Breakage(
        component_id=second.id,
        positions=(7,),
        at=JULY,
        broke_fitting_ids=(there.id,),
        followed_fitting_ids=(went_on.id,),
    )
    with store.writing() as connection:
        entries = [Entry(came_off, Doing.EDITED), Entry(went_on), Entry(told)]
        record(connection, device="cab 2", said="logged apart", entries=entries)
        assert len(came_later(connection)) == 2
    done = join_again(store)
    assert done is not None
    with store.reading() as connection:
        assert list(rests_on_gone(connection)) == []
        assert came_later(connection) == []
        assert log_findings(connection) == ()
    at_7 = sorted((one for one in rows(store, Fitting) if one.position == 7), key=lambda one: one.fitted_at)
    assert [(one.component_id, one.removed_at) for one in at_7] == [(first.id, JULY), (first.id, None)]
    assert join_again(store) is None


def test_a_breakage_told_by_two_people_counts_once(store: Store) -> None:
    enter(store, *STARTING_KINDS)
    _, knife = a_header(store, "cab 1", MAY)
    part = Part(number="KS-3", name="knife section")
    add_part(store, part, [kind("knife section")], on_hand=50, at=MAY)
    first = broke(store, knife, 9, JULY, labour_seconds=1200, downtime_seconds=1800)
    before = everything(store)
    store.device = "cab 2"
    second = broke(
        store, knife, 9, JULY + timedelta(minutes=20), labour_seconds=900, downtime_seconds=1500, note="a stone"
    )
    assert ("Breakage", ("cab 1", "cab 2"), "the same place") in offered(store)
    told_twice = everything(store)
    done = join(store, second, first, "section 9")
    after = everything(store)
    for sort in ("Fitting", "Stoppage", "StockMove"):
        assert after[sort] == before[sort], "as the one who told of it first said"
    assert after["Breakage"] == [replace(first, note="a stone")]
    assert after["Repair"] == [replace(one, note="a stone") for one in rows_of(before, Repair)]
    assert done.deed is not None
    undo(store, done.deed.id)
    assert everything(store) == told_twice, "one undo parts them, each with its parts, its repair and its stop"


def test_a_breakage_is_not_joined_with_one_at_another_position(two_norths: tuple[Store, Component, Component]) -> None:
    store, first, _ = two_norths
    other = broke(store, first, 7, JULY)
    (one,) = [breakage for breakage in rows(store, Breakage) if breakage.positions == (42,)]
    with pytest.raises(RefusedError, match="at other positions"):
        join(store, one, other, "")


def test_runs_of_one_time_and_the_same_delivery_are_offered_between_laptops_alone(store: Store) -> None:
    combine = Machine(name="Kestrel", kind=MachineKind.COMBINE)
    part = Part(number="KS-3", name="knife section")
    end = JULY + timedelta(hours=4)

    def run(begins: datetime, ends: datetime) -> Run:
        return Run(combine_id=combine.id, started_at=begins, ended_at=ends, area_square_metres=200_000)

    def box(at: datetime) -> StockMove:
        return StockMove(part_id=part.id, at=at, change=StockChange.RECEIVED, quantity=25)

    half = JULY + timedelta(hours=2)
    said: dict[str, list[Fact]] = {
        "cab 1": [combine, part, run(JULY, end), box(JULY), box(JULY + timedelta(hours=1))],
        "cab 2": [run(half, end + timedelta(hours=3)), run(end - timedelta(minutes=5), end + timedelta(hours=9))],
    }
    with store.writing() as connection:
        for device, facts in said.items():
            record(connection, device=device, said="entered", entries=[Entry(fact) for fact in facts])
    assert offered(store) == [("Run", ("cab 1", "cab 2"), "the same time")]
    with store.writing() as connection:
        record(connection, device="cab 2", said="entered", entries=[Entry(box(end))])
    assert [one[0] for one in offered(store)] == ["Run", "StockMove", "StockMove"]
    kept, twin = sorted(rows(store, Run), key=lambda one: one.started_at)[:2]
    join(store, kept, twin, "a run")
    left = {one.id for one in rows(store, Run)}
    assert (len(left), kept.id in left, twin.id in left) == (2, True, False)


def test_readings_of_both_meters_stand_on_the_one_kept_and_what_falls_is_told(store: Store) -> None:
    for device, shown, at in (("cab 1", 2310, MAY), ("cab 2", 2305, MAY + timedelta(days=1))):
        store.device = device
        machine = Machine(name="Kestrel", kind=MachineKind.COMBINE)
        meter = Meter(machine_id=machine.id, kind=MeterKind.ENGINE_HOURS)
        enter(store, machine, meter, Reading(meter_id=meter.id, at=at, shown_usage=shown * HOUR))
    join_norths(store)
    (meter,) = rows(store, Meter)
    assert [one.meter_id for one in rows(store, Reading)] == [meter.id, meter.id]
    with store.reading() as connection:
        (finding,) = log_findings(connection)
    assert finding.message.startswith("2,305.0 h is less than 2,310.0 h")


def test_what_cannot_be_one_is_refused(store: Store) -> None:
    combine = Machine(name="North", kind=MachineKind.COMBINE)
    header = Machine(name="North", kind=MachineKind.HEADER)
    stop = Repair(machine_id=header.id, kind="planned", started_at=MAY)  # type: ignore[arg-type]
    with store.writing() as connection:
        record(connection, device="cab 1", said="entered", entries=[Entry(one) for one in (combine, header)])
    assert offered(store) == []
    with pytest.raises(RefusedError, match="two machines"):
        join(store, combine, header, "North")
    with pytest.raises(RefusedError, match="are not one thing"):
        join(store, combine, stop, "")
    with pytest.raises(RefusedError, match="named twice"):
        join(store, combine, combine, "North")
    assert rows(store, Stoppage) == []


def test_a_setting_is_one_row_on_every_laptop_and_can_be_set_again_once_taken_back(store: Store) -> None:
    done = change_setting(store, "labour_rate", "30")
    undo(store, done.deed.id)
    assert rows(store, Setting) == []
    change_setting(store, "labour_rate", "28")
    (row,) = rows(store, Setting)
    assert (row.id, row.content) == (derived_id("setting", "labour_rate"), "28")


def test_thousands_of_runs_at_one_instant_are_looked_through_once_and_a_pair_of_two_laptops_is_found_beside_them(
    store: Store,
) -> None:
    """A forged bundle may hold them; each laid beside each other would keep a laptop busy for hours."""
    combine = Machine(name="Kestrel", kind=MachineKind.COMBINE)
    one = Run(combine_id=combine.id, started_at=JULY, ended_at=JULY + timedelta(hours=1), area_square_metres=1_000)
    crowd = [replace(one, id=derived_id("crowd", str(number))) for number in range(3_000)]
    store.device = "cab 2"
    with store.writing() as connection:
        record(connection, device="cab 2", said="runs", entries=[Entry(row) for row in (combine, *crowd)])
    looks = 0

    def counted(here: Any, there: Any) -> str:
        nonlocal looks
        looks += 1
        return look(here, there)

    look = LOOKS[Run][2]
    pairs = list(near_pairs(sorted(crowd, key=lambda row: row.id), "started_at", counted))
    assert len(crowd) <= looks <= 100 * len(crowd)
    assert len(crowd) <= len(pairs) <= 5 * len(crowd)
    late = JULY + timedelta(days=9)
    told = [
        replace(one, id=derived_id("told", device), started_at=late, ended_at=late + timedelta(hours=1))
        for device in "ab"
    ]
    for device, row in zip(("cab 1", "cab 2"), told, strict=True):
        with store.writing() as connection:
            record(connection, device=device, said="a run", entries=[Entry(row)])
    assert offered(store) == [("Run", ("cab 1", "cab 2"), "the same time")]
