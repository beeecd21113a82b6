"""What hands can enter, with how many keys: the page of it is up to date, and its keys are pressed."""

from __future__ import annotations

from textual.pilot import Pilot

from tests.by_hand_page import COMMON, MOST_FOR_A_BREAKAGE, page
from tests.tui.piloting import flat, play, press, settled
from tests.tui.test_screens_services import served_farm
from wearlog.exchange.row_book import sheet_counts
from wearlog.exchange.sheets import SHEETS
from wearlog.logbook.open_log import open_log
from wearlog.tui.app import Screens
from wearlog.tui.areas import AREAS, MODES, SECTIONS

__all__ = ["served_farm"]


def counts(log: str) -> dict[str, int]:
    store = open_log(log)
    found = sheet_counts(store)
    store.close()
    return found


def test_every_sheet_is_entered_changed_and_taken_back_by_hand_and_the_page_says_so() -> None:
    """`python -m tests.by_hand_page > docs/by-hand.md` makes it anew."""
    from pathlib import Path

    made = page()
    assert "NO" not in made
    assert all(f"| `{sheet}` |" in made for sheet in SHEETS)
    assert (Path(__file__).parents[2] / "docs/by-hand.md").read_text("utf-8") == made


def test_the_commonest_entries_take_the_keys_that_the_page_says(served_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        for one in COMMON:
            await press(pilot, "1")
            before = counts(served_farm)
            for typed in one.typed:
                for key in (typed,) if typed in one.keys else typed:
                    await pilot.press("space" if key == " " else key)
                await settled(pilot)
            more = counts(served_farm)[one.table] - before[one.table]
            assert more >= one.rows, (one.what, flat(screens))
            if not one.rows:
                assert "Saved: " in flat(screens), (one.what, flat(screens))
            while len(screens.screen_stack) > 1:
                await press(pilot, "escape")

    play(served_farm, steps)
    assert max(len(one.keys) for one in COMMON if one.what.startswith("what broke")) <= MOST_FOR_A_BREAKAGE
    assert len(COMMON) == 10


def test_any_place_is_at_most_three_keys_away(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        for area in AREAS:
            inside = [mode for mode, _ in SECTIONS.get(area.mode, ())] or [area.mode]
            for place, mode in enumerate(inside):
                arrows = place if place <= len(inside) // 2 else place - len(inside)
                await press(pilot, "1")
                screens._section_of[area.mode] = inside[0]
                keys = (area.key, *["right" if arrows > 0 else "left"] * abs(arrows))
                await press(pilot, *keys)
                assert screens.current_mode == mode
                assert len(keys) <= 3

    assert {mode for area in AREAS for mode in ([one for one, _ in SECTIONS.get(area.mode, ())] or [area.mode])} == set(
        MODES
    )
    play(small_farm, steps)
