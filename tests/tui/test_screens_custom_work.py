"""Cutting for others on the costs: what an acre costs, an offer that is typed, and the other way round."""

from __future__ import annotations

import pytest
from textual.pilot import Pilot

from tests.tui.demo_log import demo_file, demo_log
from tests.tui.piloting import flat, play, press
from tests.tui.writing import enter
from wearlog.tui.app import Screens
from wearlog.tui.screens.asked_form import CustomOfferScreen
from wearlog.tui.screens.deciding import TradeScreen

__all__ = ["demo_file", "demo_log"]


@pytest.mark.parametrize("size", [(80, 24), (46, 20)])
def test_an_offer_is_typed_weighed_and_typed_otherwise(demo_log: str, size: tuple[int, int]) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "8", "k", "right")
        assert isinstance(screens.screen, TradeScreen)
        assert "[Cut for others]" in flat(screens)
        assert "An acre of ground with few stones costs" in flat(screens)
        await enter(pilot, "l")
        assert isinstance(screens.screen, CustomOfferScreen)
        await press(pilot, *"250", "tab", "tab", *"much", "enter")
        assert isinstance(screens.screen, CustomOfferScreen), "what is no rate is refused where it stands"
        await press(pilot, *["backspace"] * 4, *"60")
        await enter(pilot, "enter")
        assert isinstance(screens.screen, TradeScreen)
        assert "60.00 for an acre of ground with few stones pays" in flat(screens)
        assert "[Cut for others]" in flat(screens)
        await enter(pilot, "l")
        await press(pilot, "tab", "tab", *"5")
        await enter(pilot, "enter")
        assert "5.00 for an acre of ground with few stones loses on each" in flat(screens)
        await enter(pilot, "l")
        await press(pilot, "tab", "tab", *"300/h", "tab", "tab", "left", "tab", *"millet")
        await enter(pilot, "enter")
        assert isinstance(screens.screen, CustomOfferScreen), "what is no crop is refused where it stands"
        assert "There is no crop 'millet'" in flat(screens)
        await press(pilot, *["backspace"] * 6, *"wheat")
        await enter(pilot, "enter")
        assert "Use your own: 300.00 an hour (" in flat(screens)

    play(demo_log, steps, size=size)
