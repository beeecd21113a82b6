"""Where nothing sits: a breakage there is asked about, taking off there says what was on; and names that only look different."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest

from tests.small_farm import AUGUST, MAY, SmallFarm
from wearlog.errors import DoubtError, RefusedError
from wearlog.facts.closed_lists import Cause, MachineKind, Removal
from wearlog.facts.machines import Machine
from wearlog.facts.wearing import Breakage
from wearlog.logbook.checks.doubts import Doubt
from wearlog.logbook.farm.machines import add_machine
from wearlog.logbook.parts.breaking import BreakageEntry, log_breakage
from wearlog.logbook.parts.fitting import Put, refit, take_off
from wearlog.store.finding import find_all


def breakages(farm: SmallFarm) -> list[Breakage]:
    with farm.store.reading() as connection:
        return find_all(connection, Breakage)


def test_what_broke_where_nothing_was_on_is_asked_about(file_farm: SmallFarm) -> None:
    farm = file_farm
    take_off(farm.store, farm.knife, (41,), at=AUGUST, removal=Removal.PLANNED)
    entry = BreakageEntry(
        component_id=farm.knife.id, positions=(40, 41), at=AUGUST + timedelta(days=4), cause=Cause.IMPACT
    )
    with pytest.raises(DoubtError) as doubt:
        log_breakage(farm.store, entry)
    assert doubt.value.doubt == Doubt.EMPTY_PLACE
    assert doubt.value.message == "North, knife section 41: nothing was on since 1 Aug 2026 09:00."
    assert breakages(farm) == []
    log_breakage(farm.store, entry, sure={Doubt.EMPTY_PLACE})
    assert [one.positions for one in breakages(farm)] == [(40, 41)]
    # what was put on then can break
    log_breakage(
        farm.store,
        BreakageEntry(component_id=farm.knife.id, positions=(41,), at=AUGUST + timedelta(days=9), cause=Cause.IMPACT),
    )


def test_what_broke_before_it_came_off_is_not_asked_about(file_farm: SmallFarm) -> None:
    farm = file_farm
    take_off(farm.store, farm.knife, (41,), at=AUGUST, removal=Removal.PLANNED)
    log_breakage(farm.store, BreakageEntry(component_id=farm.knife.id, positions=(41,), at=AUGUST - timedelta(days=1)))
    assert len(breakages(farm)) == 1


def test_taking_off_what_was_replaced_since_says_when_it_came_off(file_farm: SmallFarm) -> None:
    farm = file_farm
    refit(farm.store, farm.knife, (41,), at=AUGUST, put=Put(off_shelf=False))
    with pytest.raises(
        RefusedError, match=re.escape("41: what was on at 31 Jul 2026 09:00 came off on 1 Aug 2026 09:00")
    ):
        take_off(farm.store, farm.knife, (41,), at=AUGUST - timedelta(days=1), removal=Removal.PLANNED)
    with pytest.raises(RefusedError, match=re.escape("41: nothing was on yet at 30 Apr 2026 06:00; it was fitted on")):
        take_off(farm.store, farm.knife, (41,), at=MAY - timedelta(days=1), removal=Removal.PLANNED)


@pytest.mark.parametrize("name", ["NORTH", "north  ", "No\u0301rth Bar", "N\u00f3rth  bar"])
def test_a_name_that_reads_the_same_is_taken(file_farm: SmallFarm, name: str) -> None:
    add_machine(file_farm.store, Machine(name="N\u00f3rth Bar", kind=MachineKind.HEADER), at=MAY)
    with pytest.raises(RefusedError, match="There is another machine"):
        add_machine(file_farm.store, Machine(name=name, kind=MachineKind.HEADER), at=MAY)
