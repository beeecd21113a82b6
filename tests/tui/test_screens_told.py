"""`?` on every screen says what it is for and what each column of figures means, and links into docs/methods.md."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.tui.demo_log import demo_file, demo_log
from tests.tui.every_screen import WAYS, every_section
from tests.tui.piloting import help_page_of, play, press, screen_lines, settled
from wearlog.tui.app import Screens
from wearlog.tui.screens.reading_page import HelpPage
from wearlog.tui.widgets.windowed_list import WindowedList

__all__ = ["demo_file", "demo_log"]

METHODS = Path(__file__).parents[2] / "docs" / "methods.md"
PARTS = 4
#: fewer letters say nothing
LEAST = 80
#: `?` itself is the page that is asked for
NOT_ASKED = {"keys"}


def untold(screens: Screens) -> list[str]:
    """What the help page of the open screen does not tell."""
    said = help_page_of(screens.screen)
    about = said.partition("\n\n")[0]
    lists = [one for one in screens.screen.query(WindowedList) if one.display and one.count]
    figures = {column.title for one in lists for column in one.source.columns if column.figures and column.title}
    lines = said.splitlines()
    wrong = [
        f"'{title}' is not told" for title in sorted(figures) if not any(one.startswith(f"{title}: ") for one in lines)
    ]
    if len(about) < LEAST:
        wrong.append(f"says only {about!r}")
    linked = re.search(r'docs/methods\.md, "([^"]+)"', said)
    if linked is None and getattr(screens.screen, "AREA", ""):
        wrong.append("no link to the methods")
    if linked is not None and not re.search(rf"^## {re.escape(linked[1])}$", METHODS.read_text("utf-8"), re.MULTILINE):
        wrong.append(f"docs/methods.md has no {linked[1]!r}")
    return wrong


@pytest.mark.parametrize("part", range(PARTS))
def test_every_figure_of_every_screen_is_told(demo_log: str, part: int) -> None:
    found = {}

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        async for name in every_section(
            screens, pilot, [one for one in list(WAYS)[part::PARTS] if one not in NOT_ASKED]
        ):
            if wrong := untold(screens):
                found[name] = wrong

    play(demo_log, steps)
    assert found == {}


def test_the_page_comes_up_over_lists_and_forms_and_shows_it(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        for way, title in (("8", "per ac"), ("5", "half last"), ("7", "have")):
            # the page tells of the lists that are there: not before they came
            await press(pilot, way)
            await press(pilot, "question_mark")
            assert isinstance(screens.screen, HelpPage)
            assert any(line.strip().startswith(f"{title}: ") for line in screen_lines(screens)), title
            await press(pilot, "escape")
        await press(pilot, "r", "f1")
        assert isinstance(screens.screen, HelpPage)
        await settled(pilot)

    play(demo_log, steps, size=(120, 60))
