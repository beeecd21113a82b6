"""Headers whose hitches nobody ended, and headers put on in the middle of a run: one truth for money, stones and the yard."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from tests.small_farm import ACRE, MAY, SmallFarm
from wearlog.errors import RefusedError
from wearlog.facts.closed_lists import Cause, Ground, MachineKind, StopReason
from wearlog.facts.machines import Hitch, Machine
from wearlog.facts.wearing import Breakage
from wearlog.facts.work import Field, Run, Stoppage
from wearlog.logbook.farm.farm_setting import change_settings
from wearlog.logbook.farm.machines import add_machine, hitch
from wearlog.logbook.files.importing import bring_in, everything
from wearlog.logbook.names import vocabulary
from wearlog.logbook.work.entry_start import entry_start
from wearlog.logbook.work.working import stop
from wearlog.reckoning.costs.costs import Split, cost_table
from wearlog.reckoning.farm import farm_from, read_farm
from wearlog.reckoning.harvest.field_time import stops_of_combines
from wearlog.reckoning.wear.kind_life import fleet_lives
from wearlog.reckoning.yard.machine_view import machine_view
from wearlog.reckoning.yard.yard_glance import yard_glance
from wearlog.store.finding import find_all
from wearlog.store.opening import Store

JUNE = datetime(2026, 6, 1, 12, tzinfo=UTC)
AUGUST = datetime(2026, 8, 20, 12, tzinfo=UTC)
NOW = datetime(2026, 10, 1, 12, tzinfo=UTC)
HOUR = timedelta(hours=1)


@pytest.fixture
def moved(file_farm: SmallFarm) -> Machine:
    """North hung on Kestrel in May and on Plover since June; the sheet says only when each began."""
    plover = Machine(name="Plover", kind=MachineKind.COMBINE)
    add_machine(file_farm.store, plover, at=MAY)
    began = Hitch(header_id=file_farm.header.id, combine_id=plover.id, from_at=JUNE)
    bring_in(file_farm.store, [began], source="sheet", digest="")
    assert [one.to_at for one in everything(file_farm.store)["hitch"]] == [None, None]
    return plover


def down(store: Store, machine: Machine, start: datetime, hours: float) -> None:
    ended = start + timedelta(hours=hours)
    stop(store, Stoppage(machine_id=machine.id, started_at=start, ended_at=ended, reason=StopReason.BREAKDOWN))


def test_a_header_s_stop_is_that_of_the_combine_it_was_put_on_last(file_farm: SmallFarm, moved: Machine) -> None:
    """Two hours of Plover, entered for it and for North: 200, not 400."""
    store = file_farm.store
    change_settings(store, {"downtime_value_per_hour": "100.00"})
    down(store, moved, AUGUST, 2)
    down(store, file_farm.header, AUGUST, 2)
    with store.reading() as connection:
        farm = farm_from(connection, NOW)
        assert cost_table(connection, farm, Split.MACHINE).total.downtime_minor == 200_00
        sorted_out = stops_of_combines(farm, find_all(connection, Stoppage))
    by_name = {farm.machines[number].name: len(stops) for number, stops in sorted_out.items()}
    assert by_name == {"Kestrel": 0, "Plover": 2}


def test_all_who_ask_see_the_header_where_it_hangs(file_farm: SmallFarm, moved: Machine) -> None:
    store, north = file_farm.store, file_farm.header
    with store.reading() as connection:
        glance = yard_glance(connection, NOW)
        then = yard_glance(connection, JUNE - HOUR)
        farm = farm_from(connection, NOW)
        pages = {one.name: machine_view(connection, farm, one.id).hitched_to for one in farm.machines}
    assert {one.machine.name: one.hitched_to.name for one in glance.machines if one.hitched_to} == {
        "Plover": "North",
        "North": "Plover",
    }
    assert {one.machine.name: one.hitched_to.name for one in then.machines if one.hitched_to} == {
        "Kestrel": "North",
        "North": "Kestrel",
    }
    assert {name: one.name for name, one in pages.items() if one} == {"Plover": "North", "North": "Plover"}
    assert {one.machine.id: one.hitched_to for one in entry_start(store).machines if one.hitched_to} == {
        moved.id: north.id,
        north.id: moved.id,
    }
    assert {one.id: one.hitched_to for one in vocabulary(store).machines if one.hitched_to} == {north.id: moved.id}


def test_a_header_goes_back_to_the_combine_whose_hitch_nobody_ended(file_farm: SmallFarm, moved: Machine) -> None:
    store = file_farm.store
    with pytest.raises(RefusedError, match="North is on Plover already"):
        hitch(store, file_farm.header, moved, at=AUGUST)
    hitch(store, file_farm.header, file_farm.combine, at=AUGUST)
    with store.reading() as connection:
        glance = yard_glance(connection, NOW)
    assert {one.machine.name for one in glance.machines if one.hitched_to} == {"Kestrel", "North"}


@pytest.fixture
def put_on_at_noon(file_farm: SmallFarm) -> Machine:
    """Kestrel cuts the stony east from 8 to 16 and the clean west from 17 to 21; at noon South takes North's place."""
    store = file_farm.store
    south = Machine(name="South", kind=MachineKind.HEADER)
    add_machine(store, south, at=MAY)
    hitch(store, south, file_farm.combine, at=AUGUST)
    east = Field(name="east", area_square_metres=10**7, ground=Ground.STONY)
    west = Field(name="west", area_square_metres=10**7, ground=Ground.CLEAN)
    runs = [
        Run(
            combine_id=file_farm.combine.id,
            field_id=field.id,
            started_at=AUGUST + begin * HOUR,
            ended_at=AUGUST + end * HOUR,
            area_square_metres=round(80 * ACRE),
        )
        for field, begin, end in ((east, -4, 4), (west, 5, 9))
    ]
    bring_in(store, [east, west, *runs], source="sheet", digest="")
    return south


def test_what_broke_on_a_header_put_on_in_the_middle_of_a_run_belongs_to_that_run(
    file_farm: SmallFarm, put_on_at_noon: Machine
) -> None:
    store = file_farm.store
    change_settings(store, {"downtime_value_per_hour": "100.00"})
    down(store, put_on_at_noon, AUGUST + 2 * HOUR, 1)
    down(store, put_on_at_noon, AUGUST + 6 * HOUR, 0.5)
    # before it was put on it lay beside the field, and cut nothing
    down(store, put_on_at_noon, AUGUST - 2 * HOUR, 0.25)
    down(store, file_farm.header, AUGUST - 1 * HOUR, 2)
    with store.reading() as connection:
        made = cost_table(connection, farm_from(connection, NOW), Split.FIELD)
    found = {row.key: row.downtime_minor for row in (*made.rows, made.elsewhere)}
    assert found == {"east": 300_00, "west": 50_00, "elsewhere": 25_00}


def test_a_stone_that_hit_a_header_put_on_in_the_middle_of_a_run_lay_on_that_ground(
    file_farm: SmallFarm, put_on_at_noon: Machine
) -> None:
    """North was taken off before the clean ground: a stone found on it that evening lay on the stony one."""
    hit = Breakage(component_id=file_farm.knife.id, positions=(3, 4), at=AUGUST + 6 * HOUR, cause=Cause.IMPACT)
    hit_south = Breakage(
        component_id=_knife_of(file_farm, put_on_at_noon), positions=(9,), at=AUGUST + HOUR, cause=Cause.IMPACT
    )
    bring_in(file_farm.store, [hit, hit_south], source="stones", digest="")
    farm = read_farm(file_farm.store, NOW)
    impacts = fleet_lives(farm).impacts
    stony = list(Ground).index(Ground.STONY)
    assert impacts.sum() == 3
    assert impacts[:, stony].sum() == 3
    assert np.count_nonzero(impacts) == 2


def _knife_of(farm: SmallFarm, header: Machine) -> object:
    from tests.small_farm import kind
    from wearlog.facts.wearing import Component
    from wearlog.logbook.parts.fitting import add_component

    knife = Component(machine_id=header.id, part_kind_id=kind("knife section").id, place="knife", positions=80)
    add_component(farm.store, knife, fitted_at=MAY)
    return knife.id
