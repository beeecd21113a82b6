"""Downtime from a real log: a machine stands once whatever was entered, nights are no field time, a forgotten stop ends."""

from __future__ import annotations

import shutil
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.small_farm import MAY, SmallFarm, harvest, kind
from wearlog.facts.closed_lists import Action, Ground, MachineKind, RepairKind, StockChange, StopReason
from wearlog.facts.machines import Hitch, Machine, ServiceDone, ServiceItem
from wearlog.facts.parts import StockMove
from wearlog.facts.wearing import Component, Repair
from wearlog.facts.work import Crop, Field, Run, Stoppage
from wearlog.logbook.checks.doubts import EVERY_DOUBT, Doubt
from wearlog.logbook.farm.farm_setting import change_settings
from wearlog.logbook.farm.machines import add_machine, hitch
from wearlog.logbook.files.importing import bring_in
from wearlog.logbook.parts.breaking import BreakageEntry, log_breakage
from wearlog.logbook.parts.fitting import add_component
from wearlog.logbook.parts.stocking import move_stock
from wearlog.logbook.parts.upkeep import add_service, do_service
from wearlog.logbook.work.working import stop
from wearlog.reckoning.costs.costs import CostTable, Split, cost_table
from wearlog.reckoning.farm import farm_from
from wearlog.store.location import Location
from wearlog.store.opening import Store, open_store

DENVER = ZoneInfo("America/Denver")
FIRST = datetime(2026, 8, 20, 0, 0, tzinfo=DENVER)
LATER = datetime(2026, 10, 1, 12, tzinfo=UTC)
MINUTE = timedelta(minutes=1)
#: an hour at 60.00: every minute is a whole amount
MINOR_A_MINUTE = 100


def clock(text: str) -> datetime:
    """Return a time of Denver's clock, like "20 16:00" in August 2026."""
    return datetime.strptime(f"2026-08-{text}", "%Y-%m-%d %H:%M").replace(tzinfo=DENVER)


def priced(store: Store) -> None:
    change_settings(store, {"time_zone": "America/Denver", "downtime_value_per_hour": "60.00", "labour_rate": "30.00"})


def table(store: Store, by: Split = Split.MACHINE, now: datetime = LATER) -> CostTable:
    with store.reading() as connection:
        return cost_table(connection, farm_from(connection, now), by)


def stood(
    store: Store,
    machine: Machine,
    start: datetime,
    end: datetime | None,
    reason: StopReason = StopReason.BREAKDOWN,
) -> None:
    stop(store, Stoppage(machine_id=machine.id, started_at=start, ended_at=end, reason=reason))


def minutes(store: Store, now: datetime = LATER) -> float:
    return table(store, now=now).total.downtime_minor / MINOR_A_MINUTE


def test_a_header_s_breakage_while_its_combine_stands_is_the_same_standing(file_farm: SmallFarm) -> None:
    priced(file_farm.store)
    stood(file_farm.store, file_farm.combine, clock("20 16:00"), clock("20 17:00"))
    at = clock("20 16:50")
    entry = BreakageEntry(component_id=file_farm.knife.id, positions=(41,), at=at, downtime_seconds=1200)
    log_breakage(file_farm.store, entry)
    rows = {row.key: row.downtime_minor / MINOR_A_MINUTE for row in table(file_farm.store).rows}
    assert rows == {"Kestrel": 60, "North": 10}


def test_a_stop_over_the_night_does_not_count_around_the_clock(file_farm: SmallFarm) -> None:
    priced(file_farm.store)
    stood(file_farm.store, file_farm.combine, clock("20 18:00"), clock("21 09:00"))
    assert minutes(file_farm.store) == 6 * 60


def test_a_stop_nobody_closed_ends_when_its_machine_cuts_again(file_farm: SmallFarm) -> None:
    priced(file_farm.store)
    harvest(file_farm, at=clock("19 10:00"))
    stood(file_farm.store, file_farm.combine, clock("20 16:00"), None)
    assert minutes(file_farm.store, clock("20 17:30")) == 90
    assert minutes(file_farm.store, clock("21 12:00")) == 8 * 60 + 2 * 60
    # nothing of the farm has cut since: it does not grow for ever
    assert minutes(file_farm.store) == 8 * 60 + 6 * 60
    harvest(file_farm, at=clock("22 11:00"))
    assert minutes(file_farm.store) == 8 * 60 + 10 * 60 + 60


def test_a_stop_nobody_closed_lasts_while_another_combine_of_the_farm_cuts(file_farm: SmallFarm) -> None:
    priced(file_farm.store)
    other = Machine(name="Plover", kind=MachineKind.COMBINE)
    add_machine(file_farm.store, other, at=MAY)
    stood(file_farm.store, file_farm.header, clock("20 16:00"), None)
    harvest(replace(file_farm, combine=other), at=clock("22 08:00"), sure=(Doubt.NO_HEADER,))
    assert minutes(file_farm.store) == (8 + 10 + 8) * 60


def test_a_breakdown_that_falls_into_rain_costs_only_what_lies_outside_it(file_farm: SmallFarm) -> None:
    """8 to 10 before the rain and 14 to 16 after it; the wait for a truck takes nothing from it."""
    priced(file_farm.store)
    stood(file_farm.store, file_farm.combine, clock("20 08:00"), clock("20 16:00"))
    assert minutes(file_farm.store) == 8 * 60
    stood(file_farm.store, file_farm.combine, clock("20 10:00"), clock("20 14:00"), StopReason.WEATHER)
    stood(file_farm.store, file_farm.combine, clock("20 07:30"), clock("20 09:00"), StopReason.WAITING)
    assert minutes(file_farm.store) == 4 * 60


def test_rain_that_nobody_closed_is_over_when_anything_cuts_again(file_farm: SmallFarm) -> None:
    priced(file_farm.store)
    other = Machine(name="Plover", kind=MachineKind.COMBINE)
    add_machine(file_farm.store, other, at=MAY)
    stood(file_farm.store, file_farm.combine, clock("20 12:00"), None, StopReason.WEATHER)
    stood(file_farm.store, file_farm.combine, clock("20 13:00"), clock("21 18:00"))
    assert minutes(file_farm.store) == 6 * 60, "the day after at noon"
    harvest(replace(file_farm, combine=other), at=clock("20 15:00"), sure=(Doubt.NO_HEADER,))
    assert minutes(file_farm.store) == 9 * 60 + 8 * 60


def test_what_a_knife_costs_in_standing_is_the_header_s_by_machine_and_by_subsystem(file_farm: SmallFarm) -> None:
    priced(file_farm.store)
    repair = Repair(
        machine_id=file_farm.header.id,
        kind=RepairKind.BREAKDOWN,
        started_at=clock("20 10:00"),
        component_id=file_farm.knife.id,
    )
    stopped = Stoppage(
        machine_id=file_farm.combine.id,
        started_at=clock("20 10:00"),
        ended_at=clock("20 11:00"),
        reason=StopReason.BREAKDOWN,
        repair_id=repair.id,
    )
    bring_in(file_farm.store, [repair, stopped], source="sheet", digest="")
    stood(file_farm.store, file_farm.combine, clock("20 10:30"), clock("20 11:30"))
    assert standing_of(table(file_farm.store)) == {"North": 60 * MINOR_A_MINUTE, "Kestrel": 30 * MINOR_A_MINUTE}
    assert standing_of(table(file_farm.store, Split.SUBSYSTEM)) == {"header": 6000, "elsewhere": 3000}


# a random log against a count of minutes ----------------------------------------------------------------------------

DAY = 24 * 60
#: at noon of the third day, in the middle of the runs of both combines
CHANGE = 2 * DAY + 12 * 60


@dataclass(frozen=True)
class Happening:
    """A stop or breakage of one of four machines (by number), from a minute on, for so many minutes."""

    machine: int
    begin: int
    length: int
    what: str


@dataclass(frozen=True)
class Fleet:
    """Two combines, each with a header; at noon of the third day the first header changes over to the second combine.

    Both cut from 6 to 18 of every day, the first in the east field, the second in the west.
    """

    file: Path
    machines: tuple[Machine, ...]
    components: tuple[Component, ...]
    section: UUID
    oil: UUID

    def carrier(self, machine: int, minute: int) -> tuple[int, int]:
        """Return which machine stands when this one does, and the minute since when it carries it."""
        if machine < 2:
            return machine, 0
        if machine == 2:
            return (0, 0) if minute < CHANGE else (1, CHANGE)
        return (1, 0) if minute < CHANGE else (3, CHANGE)

    def field(self, machine: int, minute: int) -> str:
        """Return where it cut then, or last within a day."""
        for ago in range(DAY + 1):
            when = minute - ago
            carrier = self.carrier(machine, when)[0]
            # a day after the end of a run is past it, its last minute is one before the end
            if when >= 0 and carrier < 2 and 6 * 60 <= when % DAY < 18 * 60:
                return ("east", "west")[carrier]
        return "elsewhere"


@pytest.fixture(scope="session", params=["ends written", "ends left open"])
def fleet(
    request: pytest.FixtureRequest,
    entered_farm: tuple[SmallFarm, object, Path],
    tmp_path_factory: pytest.TempPathFactory,
) -> Fleet:
    small, _, template = entered_farm
    file = Path(shutil.copyfile(template, tmp_path_factory.mktemp("fleet") / "fleet.db"))
    store = open_store(Location(file=file))
    priced(store)
    second = Machine(name="Plover", kind=MachineKind.COMBINE)
    header = Machine(name="South", kind=MachineKind.HEADER)
    add_machine(store, second, at=MAY)
    add_machine(store, header, at=MAY)
    hung = ((header, second, MAY), (small.header, second, FIRST + CHANGE * MINUTE))
    if request.param == "ends written":
        for what, on, at in hung:
            hitch(store, what, on, at=at)
    else:
        rows = [Hitch(header_id=what.id, combine_id=on.id, from_at=at) for what, on, at in hung]
        bring_in(store, rows, source="sheet", digest="")
    chain, knife = (
        Component(machine_id=machine.id, part_kind_id=kind(name).id, place=name, positions=places)
        for machine, name, places in ((second, "feeder conveyor chain", 1), (header, "knife section", 80))
    )
    add_component(store, chain, fitted_at=MAY)
    add_component(store, knife, fitted_at=MAY)
    item = ServiceItem(machine_id=second.id, name="engine oil", interval_months=12)
    add_service(store, item)
    for combine, name in ((small.combine, "east"), (second, "west")):
        field, crop = Field(name=name, area_square_metres=10**7, ground=Ground.STONY), Crop(name=f"wheat of the {name}")
        bring_in(store, [field, crop], source=name, digest="")
        runs = [
            Run(
                combine_id=combine.id,
                field_id=field.id,
                crop_id=crop.id,
                started_at=FIRST + (day * DAY + 6 * 60) * MINUTE,
                ended_at=FIRST + (day * DAY + 18 * 60) * MINUTE,
                area_square_metres=400_000,
            )
            for day in range(6)
        ]
        bring_in(store, runs, source=f"runs of the {name}", digest="")
    store.close()
    machines = (small.combine, second, small.header, header)
    return Fleet(file, machines, (small.chain, chain, small.knife, knife), small.section_part.id, item.id)


WHAT = ["breakdown", "breakdown", "service", "weather", "moisture", "breakage", "breakage", "by the header"]
HAPPENINGS = st.lists(
    st.builds(
        Happening,
        machine=st.integers(0, 3),
        begin=st.integers(0, 4 * 24 * 12).map(lambda fives: 5 * fives),
        length=st.one_of(st.integers(1, 90), st.integers(90, 2500)),
        what=st.sampled_from(WHAT),
    ),
    min_size=1,
    max_size=8,
)


def enter(store: Store, fleet: Fleet, one: Happening) -> None:
    begun = FIRST + one.begin * MINUTE
    if one.what == "breakage":
        component = fleet.components[one.machine]
        entry = BreakageEntry(
            component_id=component.id,
            positions=(1,),
            at=begun,
            action=Action.MENDED,
            downtime_seconds=60 * one.length,
            labour_seconds=60 * one.length,
        )
        # two of one minute are meant: chance may give them
        log_breakage(store, entry, sure=EVERY_DOUBT)
    elif one.what == "by the header":
        knife = fleet.components[one.machine % 2 + 2]
        repair = Repair(machine_id=knife.machine_id, kind=RepairKind.BREAKDOWN, started_at=begun, component_id=knife.id)
        stood_for_it = Stoppage(
            machine_id=fleet.machines[one.machine % 2].id,
            started_at=begun,
            ended_at=begun + one.length * MINUTE,
            reason=StopReason.BREAKDOWN,
            repair_id=repair.id,
        )
        bring_in(store, [repair, stood_for_it], source=str(repair.id), digest="")
    else:
        stood(store, fleet.machines[one.machine], begun, begun + one.length * MINUTE, StopReason(one.what))


def entered_for(one: Happening) -> int:
    return one.machine % 2 if one.what == "by the header" else one.machine


def counted_by_minutes(fleet: Fleet, happenings: Sequence[Happening]) -> list[int]:
    """Go through every minute of every machine and give it to the stop that has stopped it longest, unless it rained."""
    counted = [0] * len(happenings)
    per_day: dict[tuple[int, date], int] = defaultdict(int)
    for minute in range(max(one.begin + one.length for one in happenings)):
        shown = FIRST + minute * MINUTE
        stopped: dict[int, list[tuple[int, int]]] = defaultdict(list)
        wet: set[int] = set()
        for number, one in enumerate(happenings):
            if one.begin <= minute < one.begin + one.length:
                carrier, since = fleet.carrier(entered_for(one), minute)
                if one.what in ("weather", "moisture"):
                    wet.add(carrier)
                else:
                    stopped[carrier].append((max(one.begin, since), number))
        for machine, by in stopped.items():
            number = min(by)[1]
            began_today = (FIRST + happenings[number].begin * MINUTE).date() == shown.date()
            in_time = (began_today or 10 <= shown.hour < 20) and per_day[machine, shown.date()] < 600
            if in_time and machine not in wet:
                per_day[machine, shown.date()] += 1
                counted[number] += 1
    return counted


@settings(max_examples=14, deadline=None)
@given(HAPPENINGS, st.integers(0, 3), st.integers(0, 40))
def test_downtime_of_a_random_log_is_a_count_of_its_minutes_and_every_split_has_all_of_it(
    fleet: Fleet, happenings: list[Happening], services: int, left_at_count: int
) -> None:
    with TemporaryDirectory() as folder:
        store = open_store(Location(file=Path(shutil.copyfile(fleet.file, Path(folder) / "log.db"))))
        for one in happenings:
            enter(store, fleet, one)
        for number in range(services):
            done = ServiceDone(service_item_id=fleet.oil, at=FIRST + number * MINUTE, cost_minor=333)
            do_service(store, done)
        move_stock(
            store,
            StockMove(part_id=fleet.section, at=FIRST, change=StockChange.COUNTED, quantity=left_at_count),
        )
        tables = {by: table(store, by) for by in Split}
        store.close()
    counted = counted_by_minutes(fleet, happenings)
    by_machine: dict[str, int] = defaultdict(int)
    by_field: dict[str, int] = defaultdict(int)
    for one, count in zip(happenings, counted, strict=True):
        broke = entered_for(one) + 2 if one.what == "by the header" else one.machine
        by_machine[fleet.machines[broke].name] += count * MINOR_A_MINUTE
        by_field[fleet.field(entered_for(one), one.begin)] += count * MINOR_A_MINUTE
    assert standing_of(tables[Split.MACHINE]) == {name: minor for name, minor in by_machine.items() if minor}
    assert standing_of(tables[Split.FIELD]) == {name: minor for name, minor in by_field.items() if minor}
    by_crop = {name if name == "elsewhere" else f"wheat of the {name}": minor for name, minor in by_field.items()}
    assert standing_of(tables[Split.CROP]) == {name: minor for name, minor in by_crop.items() if minor}
    labour = sum(one.length for one in happenings if one.what == "breakage") * 50
    whole = (460 * (50 - left_at_count), labour, 333 * services, sum(counted) * MINOR_A_MINUTE)
    for made in tables.values():
        rows = (*made.rows, made.elsewhere)
        columns = zip(*((r.parts_minor, r.labour_minor, r.service_minor, r.downtime_minor) for r in rows), strict=True)
        assert tuple(map(sum, columns)) == whole


def standing_of(made: CostTable) -> dict[str, int]:
    return {row.key: row.downtime_minor for row in (*made.rows, made.elsewhere) if row.downtime_minor}
