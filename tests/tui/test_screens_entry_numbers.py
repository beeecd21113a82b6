"""The number by which an entry is changed or taken back is on the screen at every width: in its row, or under the list."""

from __future__ import annotations

import pytest
from textual.pilot import Pilot

from tests.tui.piloting import flat, play, rows
from tests.tui.writing import enter
from wearlog.facts.electrics import Fault
from wearlog.facts.wearing import Breakage
from wearlog.facts.work import Run
from wearlog.ids import short_number
from wearlog.tui.app import Screens

SIZES = ((46, 20), (80, 24), (120, 40))


@pytest.mark.parametrize("size", SIZES)
def test_each_breakage_tells_its_number(small_farm: str, size: tuple[int, int]) -> None:
    latest = sorted(rows(small_farm, Breakage), key=lambda one: one.at, reverse=True)

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "3", "home")
        for one in latest:
            assert short_number(one.id) in flat(screens), one
            await enter(pilot, "down")

    play(small_farm, steps, size=size)


def test_on_a_phone_it_stands_with_the_rest_of_the_row_under_the_list(small_farm: str) -> None:
    last, *_ = sorted(rows(small_farm, Breakage), key=lambda one: one.at, reverse=True)

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "3", "home")
        said = f"machine North header; cause rock; positions 41; how broken; entry {short_number(last.id)}"
        assert said in flat(screens)
        await pilot.resize_terminal(160, 45)
        await enter(pilot, "home")
        assert said not in flat(screens), "with room it stands in the row alone"
        assert flat(screens).count(short_number(last.id)) == 1

    play(small_farm, steps, size=(46, 20))


@pytest.mark.parametrize("size", SIZES)
def test_a_run_and_a_fault_tell_theirs(small_farm: str, size: tuple[int, int]) -> None:
    (fault,) = rows(small_farm, Fault)
    run = max(rows(small_farm, Run), key=lambda one: one.started_at)

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "3", "right", "home")
        assert short_number(run.id) in flat(screens)
        await enter(pilot, "4", "home")
        assert flat(screens).count(short_number(fault.id)) == 1

    play(small_farm, steps, size=size)
