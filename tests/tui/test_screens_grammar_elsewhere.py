"""What `test_screens_grammar` asks of every screen, of those that no key from the yard of the demo fleet leads to."""

from __future__ import annotations

import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.tui.demo_log import demo_file, demo_log
from tests.tui.piloting import flat, play, press, settled
from tests.tui.test_screens_fault_forms import STUBBLE
from tests.tui.test_screens_grammar import ELSEWHERE, SIZES, failing
from tests.tui.test_screens_papers import OPEN, book_farm, open_sheet
from tests.tui.test_screens_two_cabs import stick, take_in
from tests.tui.writing import Text, enter
from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.machines import Machine
from wearlog.logbook.farm.machines import add_machine
from wearlog.logbook.lines.notebook_saving import NotebookBrought
from wearlog.logbook.notebook.note_entry import NoteRow
from wearlog.logbook.open_log import open_log
from wearlog.present.notebook_words import brought_told
from wearlog.tui.app import Screens
from wearlog.tui.screens.papers.notebook import BroughtPage

__all__ = ["book_farm", "demo_file", "demo_log", "stick"]

#: the screens that a test here measures; each test says so of its own
MEASURED: dict[str, str] = {
    **dict.fromkeys(("FarmPage", "CombinePage", "HeaderPage", "CheckPage"), "the first day"),
    **dict.fromkeys(("NotebookScreen", "BroughtPage"), "a notebook"),
    "SheetLinesScreen": "a printed sheet",
    "DecidePage": "two cabs",
    "TryLoadsScreen": "a fault",
    "MeasuredPage": "a gauge",
    "ReadFirstPage": "cautions",
    "ReplacedPage": "another log",
}


async def holds(screens: Screens, pilot: Pilot[None], opened: str) -> None:
    """Ask all of it of the open screen, at every size."""
    assert type(screens.screen).__name__ == opened, flat(screens)
    found = {}
    for wide, high in SIZES:
        await pilot.resize_terminal(wide, high)
        await settled(pilot)
        if wrong := failing(screens, opened):
            found[wide] = (sorted(wrong), flat(screens))
    await pilot.resize_terminal(80, 24)
    await settled(pilot)
    assert found == {}


def test_none_is_left_out() -> None:
    assert set(MEASURED) == ELSEWHERE


def test_the_first_day(tmp_path: Path) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await holds(screens, pilot, "FarmPage")
        await enter(pilot, Text("Stony Hill"), "enter")
        await holds(screens, pilot, "CombinePage")
        await enter(pilot, Text("Kestrel"), "down", Text("2310"), "enter")
        await holds(screens, pilot, "HeaderPage")
        await enter(pilot, Text("North"), "down", Text("40"), "enter")
        await holds(screens, pilot, "CheckPage")

    play(str(tmp_path / "farm.db"), steps)


def test_a_notebook_and_what_was_brought_of_it(book_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *OPEN)
        # its sections are lists of their own
        for _ in range(4):
            await holds(screens, pilot, "NotebookScreen")
            await enter(pilot, "right")
        # it comes where rows were left when the others were saved
        row = NoteRow(sheet="Sheet1", row=17, said="", means=())
        why = "Kestrel ran 9 h on that day already, and the book says 12.5 h more"
        left = NotebookBrought(None, (), ((row, why),) * 3, ("made the field 'Mill'",))
        screens.push(BroughtPage(brought_told(left, 20, undo="u in the daybook")))
        await settled(pilot)
        await holds(screens, pilot, "BroughtPage")

    play(book_farm, steps)


def test_a_printed_sheet(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await open_sheet(screens, pilot)
        await holds(screens, pilot, "SheetLinesScreen")

    play(demo_log, steps)


def test_what_two_cabs_wrote_otherwise(small_farm: str, stick: Path) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await take_in(pilot, stick)
        await enter(pilot, "down", "down", "enter")
        await holds(screens, pilot, "DecidePage")

    play(small_farm, steps)


def test_loads_to_try(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *STUBBLE)
        await press(pilot, "enter")
        await holds(screens, pilot, "TryLoadsScreen")

    play(demo_log, steps)


def test_what_a_measurement_means(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "3", "right", "g", "down", Text("19.9in"), "ctrl+s")
        await holds(screens, pilot, "MeasuredPage")

    play(small_farm, steps)


@pytest.mark.parametrize("keys", [("b",), ("2", "f")])
def test_cautions_that_are_read_first(small_farm: str, keys: tuple[str, ...]) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, *keys)
        await holds(screens, pilot, "ReadFirstPage")

    play(small_farm, steps, unread=True)


def test_another_log_in_its_place(small_farm: str, tmp_path: Path) -> None:
    other = tmp_path / "other.db"
    shutil.copyfile(small_farm, other)
    store = open_log(str(other))
    add_machine(store, Machine(name="Merlin", kind=MachineKind.COMBINE), at=datetime(2025, 7, 1, tzinfo=UTC))
    store.close()

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        other.replace(small_farm)
        await press(pilot, "comma")
        await holds(screens, pilot, "ReplacedPage")

    play(small_farm, steps)
