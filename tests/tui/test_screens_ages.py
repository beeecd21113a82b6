"""An age that nobody noted stands with the key that enters it, and is told roughly."""

from __future__ import annotations

import pytest
from textual.pilot import Pilot

from tests.tui.piloting import flat, play, rows
from tests.tui.writing import SIZES, Text, enter
from wearlog.facts.wearing import Component, Fitting
from wearlog.tui.app import Screens
from wearlog.tui.screens.farm.machine import SINCE_WHEN
from wearlog.tui.screens.parts.fit_parts import AgeScreen
from wearlog.tui.widgets.windowed_list import WindowedList


@pytest.mark.parametrize("size", SIZES[::2])
def test_an_unknown_age_is_told_by_the_key_that_stands_there(small_farm: str, size: tuple[int, int]) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "2")
        if size == SIZES[0]:
            assert SINCE_WHEN in flat(screens)
        for _ in range(6):
            row = screens.screen.query_one("#components", WindowedList).row
            if row is not None and row.cells[0].startswith("main harness"):
                break
            await enter(pilot, "down")
        await enter(pilot, "e")
        assert isinstance(screens.screen, AgeScreen)
        await enter(pilot, Text("soon"), "ctrl+s")
        assert "is not a number" in flat(screens)
        await enter(pilot, "ctrl+u", Text("about 2 seasons"))
        assert "a season" in flat(screens)
        await enter(pilot, "enter")
        assert "old now" in flat(screens)
        assert SINCE_WHEN not in flat(screens)

    play(small_farm, steps, size)
    (harness,) = (one for one in rows(small_farm, Component) if one.place == "main harness")
    (on,) = (one for one in rows(small_farm, Fitting) if one.component_id == harness.id)
    assert on.age_when_fitted_usage is not None
    assert on.age_when_fitted_usage > 0
