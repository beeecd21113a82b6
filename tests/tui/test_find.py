"""Finding as people type: the first row is what they mean, with a wrong letter, by another word for it, by a number."""

from __future__ import annotations

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from tests.tui.demo_log import demo_file, demo_log
from tests.tui.piloting import flat, play, press, rows, settled
from wearlog.facts.parts import Part
from wearlog.facts.wearing import Breakage
from wearlog.ids import short_number
from wearlog.tui.app import Screens
from wearlog.tui.screens.parts.stock import StockScreen
from wearlog.tui.screens.sheets import RowScreen
from wearlog.tui.screens.wear import KindScreen
from wearlog.tui.widgets.windowed_list import WindowedList

__all__ = ["demo_file", "demo_log"]

#: what is typed -> the sort of thing and the name in the first row
FIRST = {
    "kestrel": "machine Kestrel",
    "kestrl": "machine Kestrel",
    "alder": "machine Alder",
    "tamarak": "machine Tamarack",
    "kestrel guards": "component Kestrel, guards",
    "guards kestrel": "component Kestrel, guards",
    "gaurds": "component Kestrel, guards",
    "knife section": "component Kestrel, knife sections",
    "wear knife section": "kind wear of knife section",
    "sickle section": "component Kestrel, knife sections",
    "chopper blades": "component Juniper, chopper blades",
    "alder chopper": "component Alder, chopper blades",
    "shear bolt": "component Alder, unloading shear bolt",
    "unloading": "component Alder, unloading shear bolt",
    "elevater chain": "component Alder, clean grain elevator chain",
    "draper blet": "component Wren, draper belts",
    "QF-1010": "part QF-1010 knife section",
    "qf1010": "part QF-1010 knife section",
    "1020": "part QF-1020 guard",
    "header fuse": "fault Tamarack: header fuse blows when the header moves",
    "flickers": "fault Juniper: left work light flickers",
    "rain": "action what saves most on a day without cutting, in so many shop hours",
    "undo": "action take back the last entry of this device",
    "harvest": "area Harvest: when you are done",
    "stock": "area Stock: what to order",
    "settings": "action settings of the farm and device",
    "dark": "colours dark",
    "b": "action log a breakage",
    "entries": "area Entries (Daybook)",
}


def test_the_first_row_is_what_was_meant(demo_log: str) -> None:
    found = {}

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "colon")
        for words in FIRST:
            screens.screen.query_one(Input).value = words
            await settled(pilot)
            row = screens.screen.query_one(WindowedList).row
            found[words] = " ".join(row.cells[:2]) if row is not None else ""

    play(demo_log, steps)
    assert found == FIRST


def test_a_number_opens_its_entry_a_part_its_row_a_kind_its_page(demo_log: str) -> None:
    breakage = rows(demo_log, Breakage)[0]

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "colon")
        screens.screen.query_one(Input).value = short_number(breakage.id)
        await settled(pilot)
        await press(pilot, "enter")
        assert isinstance(screens.screen, RowScreen), flat(screens)
        assert short_number(breakage.id) in flat(screens)
        await press(pilot, "escape", "colon")
        screens.screen.query_one(Input).value = "qf-7010"
        await settled(pilot)
        await press(pilot, "enter")
        assert isinstance(screens.screen, StockScreen)
        part = screens.screen.part_row
        assert part is not None
        assert part.part.id == next(one.id for one in rows(demo_log, Part) if one.number == "QF-7010")
        await press(pilot, "colon")
        screens.screen.query_one(Input).value = "wear of reel tine"
        await settled(pilot)
        await press(pilot, "enter")
        assert isinstance(screens.screen, KindScreen)
        assert screens.screen.kind_name == "reel tine"

    play(demo_log, steps)


@pytest.mark.parametrize("words", ["zzzz", "999999"])
def test_what_is_not_there_is_said(demo_log: str, words: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "colon")
        screens.screen.query_one(Input).value = words
        await settled(pilot)
        assert "Nothing is called so." in flat(screens)

    play(demo_log, steps)
