"""The help page names every key that works, as the keyboard calls it."""

from __future__ import annotations

import re
from pathlib import Path

from textual.pilot import Pilot

from tests.tui.demo_log import demo_file, demo_log
from tests.tui.piloting import help_page_of, play, press, screen_lines
from wearlog.tui.app import Screens
from wearlog.tui.areas import AREAS
from wearlog.tui.screens.reading_page import METHODS
from wearlog.tui.screens.sections import SectionsScreen

__all__ = ["demo_file", "demo_log"]

ROOT = Path(__file__).parents[2]


def test_the_help_page_calls_every_key_as_the_keyboard_does(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "question_mark")
        text = help_page_of(screens.screen_stack[-2])
        assert "8  Costs" in text
        assert ",  " in text
        assert not re.search(r"[a-z]_[a-z]", text)

    play(small_farm, steps)


def test_every_area_names_the_section_of_the_methods_that_its_figures_rest_on() -> None:
    headings = set(re.findall(r"^## (.+)$", (ROOT / "docs" / "methods.md").read_text("utf-8"), re.MULTILINE))
    assert set(METHODS) == {area.mode for area in AREAS}
    assert set(METHODS.values()) <= headings


def test_the_help_page_links_to_the_methods(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "8", "question_mark")
        said = help_page_of(screens.screen_stack[-2])
        assert 'How the figures are reckoned, with sources: docs/methods.md, "Costs".' in said

    play(small_farm, steps)


def test_a_phone_has_the_keys_first_and_a_terminal_what_the_screen_is_for(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        for wide, high, is_first in ((46, 20, True), (80, 24, False)):
            await pilot.resize_terminal(wide, high)
            await press(pilot, "question_mark")
            first = next(line for line in screen_lines(screens) if line)
            assert first.split()[0] == ("Enter" if is_first else "Its"), first
            await press(pilot, "escape")

    play(small_farm, steps)


def test_the_help_page_says_of_every_section_what_it_means(demo_log: str) -> None:
    """Each section brings its own words, so that who adds one writes them beside it."""

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        for way, first in ((("5", "enter"), "Life"), (("8",), "Hour"), (("9",), "Finish")):
            await press(pilot, "1", *way)
            shown = screens.screen_stack[-1]
            assert isinstance(shown, SectionsScreen)
            names = [one.name for one in shown.sections]
            said = shown.about_now()
            assert f"\n\n{first}: " in said
            unsaid = [name for name in names if f"\n\n{name}: " not in said]
            # the splits of the costs are one answer in several orders
            assert unsaid == (names[: names.index("Hour")] if first == "Hour" else [])

    play(demo_log, steps)
