"""Who did it: named once in the settings, then one key on the form of a breakage; remembered on this device."""

from __future__ import annotations

import pytest
from textual.pilot import Pilot

from tests.tui.piloting import flat, play
from tests.tui.writing import SIZES, Text, enter
from wearlog.logbook.open_log import open_log
from wearlog.reckoning.files import recent_deeds
from wearlog.settings import load_preferences
from wearlog.tui.app import Screens


def entered_by(log: str) -> list[str]:
    store = open_log(log)
    deeds, _ = recent_deeds(store, 3)
    store.close()
    return [one.person for one in deeds]


async def read_and_saved(screens: Screens, pilot: Pilot[None]) -> None:
    """Somebody else works on now, who has not read the cautions: they come before it is saved."""
    await enter(pilot, "enter")
    assert "read before you touch it" in flat(screens)
    await pilot.pause(0.5)
    await enter(pilot, "enter")
    assert "Saved: " in flat(screens)


@pytest.mark.parametrize("size", SIZES[::2])
def test_who_did_it_is_one_key_and_remembered(small_farm: str, size: tuple[int, int]) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "b", "y")
        assert "Nobody was named on this log yet." in flat(screens)
        await enter(pilot, "escape", "comma", "up", "up", "up", Text("Ana"), "ctrl+s")
        assert "by Ana from now on" in flat(screens)
        assert load_preferences().person == "Ana"
        await enter(pilot, "b", "5", "0", "r")
        assert "LOG A BREAKAGE, by Ana" in flat(screens)
        await enter(pilot, "enter")
        assert entered_by(small_farm)[0] == "Ana"
        # the next of them is nobody, and then Ana again
        await enter(pilot, "b", "5", "1", "r", "y")
        assert "by Ana" not in flat(screens)
        await read_and_saved(screens, pilot)
        await enter(pilot, "b", "5", "2", "r", "y")
        await read_and_saved(screens, pilot)
        assert entered_by(small_farm) == ["Ana", "", "Ana"]

    play(small_farm, steps, size)
    assert load_preferences().person == "Ana"
