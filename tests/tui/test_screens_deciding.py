"""Stop or run on, as a screen over the machine, over one kind, and after a breakage that was left in service."""

from __future__ import annotations

from typing import Any

import pytest
from textual.pilot import Pilot

from tests.tui.demo_log import demo_file, demo_log
from tests.tui.piloting import flat, play, press, screen_lines, screen_text
from tests.tui.test_screens_contrast import ENOUGH, measured
from tests.tui.writing import enter, kept_at_every_size
from tests.two_numbers import note_two_numbers
from wearlog.logbook.open_log import opened
from wearlog.logbook.parts.suppliers import enter_supplier
from wearlog.tui.app import Screens
from wearlog.tui.screens.deciding import GrainLostScreen, RainDayScreen, StopScreen, TradeScreen
from wearlog.tui.screens.parts.claims import ClaimPaidScreen, ClaimsScreen
from wearlog.tui.section import CAUTIONS
from wearlog.tui.themes import INKS

__all__ = ["demo_file", "demo_log"]


def test_the_machine_weighs_the_component_under_its_cursor(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "2", "k")
        said = flat(screens)
        assert isinstance(screens.screen, StopScreen)
        assert "[Stop or run]" in said
        assert "Reckoned from" in said
        assert screen_lines(screens)[1].strip().startswith(("Stop", "Run", "Either way"))
        await enter(pilot, "right")
        assert "[Get the part]" in flat(screens)
        assert "No part in the log fits it" in flat(screens)
        await enter(pilot, "exclamation_mark")
        assert f"[{CAUTIONS}]" in flat(screens)
        assert "The machine's own book comes before this list" in flat(screens)
        await enter(pilot, "escape")
        assert screens.screen.AREA == "machine"
        assert not isinstance(screens.screen, StopScreen)

    play(small_farm, steps)


@pytest.mark.parametrize("size", [(80, 24), (46, 20)])
def test_what_a_supplier_said_on_the_phone_is_one_key(demo_log: str, size: tuple[int, int]) -> None:
    with opened(demo_log) as store:
        for name, miles in (("Hollow Road Parts", 12), ("Millpond Supply", 38)):
            enter_supplier(store, name, distance_metres=miles * 1609)

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        def way() -> Any:
            assert isinstance(screens.screen, StopScreen)
            shown = screens.screen.shown
            assert shown is not None
            return next(one for one in shown.more[0].rows if one.source == "supplier")

        await enter(pilot, "2", "k", "plus")
        assert "There is no supplier under the cursor" in flat(screens)
        await enter(pilot, "right")
        assert "[Get the part]" in flat(screens)
        at = [one.source for one in screens.screen.shown.more[0].rows].index("supplier")  # type: ignore[attr-defined]
        assert (way().answers, way().chance) == (0, 0.5)
        await enter(pilot, "home", *["down"] * at, "plus")
        assert (way().answers, way().chance) == (1, 0.75)
        assert " had " in flat(screens)
        await enter(pilot, "home", *["down"] * at, "minus")
        assert (way().answers, way().chance) == (2, 0.5)
        for answers in (1, 0):
            await enter(pilot, "u", "enter")
            assert way().answers == answers

    play(demo_log, steps, size)


def test_what_is_left_in_service_is_weighed_as_soon_as_it_is_saved(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "b", "tab", *"guards 7 rock cracked left in", "enter")
        assert isinstance(screens.screen, StopScreen)
        said = flat(screens)
        # of two that run broken it is about the one that broke first
        assert "guard 6" in said
        assert "a guess for bent parts (common practice, no source)" in said
        assert "u undoes" in said
        await enter(pilot, "escape")
        await press(pilot, "b", "5", "0", "enter")
        assert not isinstance(screens.screen, StopScreen), "what was replaced asks for no decision"

    play(small_farm, steps)


def test_one_kind_weighs_the_component_that_is_pointed_at(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "5", "enter", "right", "k")
        assert isinstance(screens.screen, StopScreen)
        assert "knife section" in flat(screens)
        assert "season's end" in screen_text(screens)

    play(small_farm, steps)


@pytest.mark.parametrize("size", [(80, 24), (46, 20)])
def test_the_breakages_weigh_what_is_under_warranty_and_what_broke_too_early(
    demo_log: str, size: tuple[int, int]
) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "3", "k")
        assert isinstance(screens.screen, ClaimsScreen)
        assert "No claims open; 0.00 USD paid so far; 3 lapsed, " in flat(screens)
        await enter(pilot, "right")
        assert "[Far too early]" in flat(screens)
        assert "upstream" in flat(screens)
        await enter(pilot, "escape")
        assert not isinstance(screens.screen, ClaimsScreen)

    play(demo_log, steps, size)


@pytest.mark.parametrize("size", [(80, 24), (46, 20)])
def test_a_claim_is_sent_settled_and_taken_back_by_keys(demo_log: str, size: tuple[int, int]) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        def state() -> str:
            assert isinstance(screens.screen, ClaimsScreen)
            shown = screens.screen.shown
            assert shown is not None
            key = screens.screen.breakage_id
            return next(str(one.state) for one in shown.sheet.rows if shown.sheet.key_of(one) == key)

        await enter(pilot, "3", "k")
        assert state() == "lapsed"
        await enter(pilot, "F")
        assert "This claim is not sent yet: f notes that it is." in flat(screens)
        await enter(pilot, "f")
        # what was sent stands before what nobody sent
        await enter(pilot, "home")
        assert state() == "sent"
        await enter(pilot, "f")
        assert "was sent on" in flat(screens)
        await enter(pilot, "F")
        assert isinstance(screens.screen, ClaimPaidScreen)
        await press(pilot, *"118", "enter")
        await enter(pilot, "home")
        assert state() == "paid"
        assert "118.00" in flat(screens)
        for before in ("sent", "lapsed"):
            await enter(pilot, "u", "enter", "home")
            assert state() == before, flat(screens)
        await enter(pilot, "right", "f")
        assert "There is no claim under the cursor." in flat(screens)

    play(demo_log, steps, size)


def test_it_looks_as_kept(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "2", "k")
        await kept_at_every_size(pilot, "stop_or_run")

    play(small_farm, steps)


@pytest.mark.parametrize("theme", list(INKS))
def test_it_is_read_in_sunlight(small_farm: str, theme: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        screens.theme = theme
        for keys in (("2", "k"), ("exclamation_mark",)):
            await enter(pilot, *keys)
            assert [piece for piece in measured(screens) if piece[0] < ENOUGH] == [], f"after {keys} in {theme}"

    play(small_farm, steps)


def test_the_yard_lists_what_is_worth_doing_on_a_day_without_cutting(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "k")
        assert isinstance(screens.screen, RainDayScreen)
        assert "[2 h] 4 h 6 h 8 h" in flat(screens)
        first = screen_lines(screens)[1]
        assert "In 2 shop hours" in first
        await enter(pilot, "right", "right")
        assert "In 6 shop hours" in screen_lines(screens)[1]
        await kept_at_every_size(pilot, "rain_day")

    play(small_farm, steps)


def test_the_harvest_weighs_what_worn_threshing_parts_cost_in_grain(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "9", "k")
        assert isinstance(screens.screen, GrainLostScreen)
        said = flat(screens)
        assert "[Renew or run]" in said
        assert "In a median life of the parts loss grows by" in said
        await enter(pilot, "enter")
        assert "Tamarack: 11 days of checks" in flat(screens)
        await kept_at_every_size(pilot, "grain_lost")
        await enter(pilot, "escape")
        assert screens.screen.AREA == "harvest"

    play(demo_log, steps)


def test_a_kind_with_two_part_numbers_says_which_is_worth_its_money(demo_log: str) -> None:
    note_two_numbers(demo_log)

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "5", "slash", *"knife section", "enter", "enter", "right", "right")
        said = flat(screens)
        assert "[Numbers]" in said
        assert "QF-1010 is the cheaper:" in said

    play(demo_log, steps)


def test_the_costs_weigh_keeping_a_combine_against_trading_it(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "8", "k")
        assert isinstance(screens.screen, TradeScreen)
        said = flat(screens)
        assert "[Keep or trade]" in said
        assert "It pays at a difference of" in said
        assert "Cut for others" in said
        await enter(pilot, "enter")
        assert "that trading costs less" in flat(screens)
        await enter(pilot, "escape")
        assert screens.screen.AREA == "costs"
        assert not isinstance(screens.screen, TradeScreen)

    play(demo_log, steps)
