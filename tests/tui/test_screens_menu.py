"""The list of areas behind 0: whole at every width, by keys and by mouse; it is the only way to an area that a thumb has."""

from __future__ import annotations

import pytest
from textual.pilot import Pilot

from tests.tui.piloting import play, press, screen_lines, screen_text, settled
from wearlog.present.tables import CUT
from wearlog.tui.app import Screens
from wearlog.tui.areas import AREAS

SIZES = [(46, 20), (80, 24), (120, 40)]


@pytest.mark.parametrize("size", SIZES)
def test_every_area_stands_there_with_what_it_answers(small_farm: str, size: tuple[int, int]) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "0")
        shown = screen_text(screens)
        for area in AREAS:
            assert f"{area.key} {area.title}" in shown
        assert ">1 Yard" in shown
        assert ", Farm" in shown
        assert CUT not in shown
        await press(pilot, "down", "down", "enter")
        assert "[3 Daybook]" in screen_text(screens)

    play(small_farm, steps, size)


@pytest.mark.parametrize("size", SIZES)
def test_an_area_is_opened_by_two_clicks_on_its_line(small_farm: str, size: tuple[int, int]) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        if size[0] < 60:
            await pilot.click(offset=(screen_lines(screens)[0].index("0 opens menu") + 2, 0))
            await settled(pilot)
        else:
            await press(pilot, "0")
        line = next(number for number, words in enumerate(screen_lines(screens)) if " 7 Stock" in words)
        for _ in range(2):
            await pilot.click(offset=(4, line))
            await settled(pilot)
        assert "[7 Stock]" in screen_text(screens)

    play(small_farm, steps, size)
