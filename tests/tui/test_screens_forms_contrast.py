"""Forms, stock, history and first day keep a contrast of 7 in every set of colours, errors, hints and offered names included."""

from __future__ import annotations

from pathlib import Path

from textual.pilot import Pilot

from tests.tui.piloting import play, settled
from tests.tui.test_screens_contrast import ENOUGH, measured
from tests.tui.writing import Text, enter
from wearlog.tui.app import Screens
from wearlog.tui.themes import INKS

#: ways to every screen, one after the other; each text that was typed is left by two Esc
WAYS: dict[str, tuple[str | Text, ...]] = {
    "reading": ("r", Text("24oo"), "down"),
    "leaving": ("escape",),
    "run with an offered name": ("escape", "c", Text("40"), "down", "3", "down", "down", "down", "l"),
    "stoppage": ("escape", "escape", "d", "w", "down"),
    "fit": ("escape", "escape", "down", "enter", "f", Text("170"), "down"),
    "settings": ("escape", "escape", "comma", "down"),
    "stock": ("escape", "7"),
    "receive": ("plus", "5"),
    "part": ("escape", "escape", "enter"),
    "history": ("escape", "3", "left", "down"),
    "deed": ("enter",),
    "undone": ("u",),
}


async def every_theme_is_read(screens: Screens, pilot: Pilot[None], name: str) -> None:
    for theme in INKS:
        screens.theme = theme
        await settled(pilot)
        pieces = measured(screens)
        assert len(pieces) > 3, f"{name} shows nothing"
        assert [piece for piece in pieces if piece[0] < ENOUGH] == [], f"{name} in {theme}"


def test_forms_are_read_in_sunlight(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        for name, way in WAYS.items():
            await enter(pilot, *way)
            await every_theme_is_read(screens, pilot, name)

    play(small_farm, steps)


def test_the_first_day_is_read_in_sunlight(tmp_path: Path) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        for way in (("ctrl+s",), ("ctrl+s",), ("k", "ctrl+s"), ("n", "down", Text("40"), "ctrl+s"), ("enter",)):
            await every_theme_is_read(screens, pilot, f"before {way}")
            await enter(pilot, *way)
        await every_theme_is_read(screens, pilot, "the yard")

    play(str(tmp_path / "none.db"), steps)
