"""A note of many lines on the screens: picked, shown as understood, answered in place, saved line by line and never twice."""

from __future__ import annotations

from pathlib import Path

from textual.pilot import Pilot

from tests.tui.piloting import flat, play, rows, screen_text
from tests.tui.writing import SIZES, Text, enter
from wearlog.facts.wearing import Breakage
from wearlog.tui.app import Screens
from wearlog.tui.screens.inbox import NoteLineScreen, NoteScreen
from wearlog.tui.screens.papers.bring_in import BringInScreen
from wearlog.tui.screens.papers.notebook import NotebookScreen

NOTE = """\
jul 26 2025
north sections 41-43 rock at 4 pm, 20 min
the thing with the other thing
kestrel engine 2399.5
"""


def test_a_note_is_picked_answered_in_place_and_saved_a_deed_a_line(small_farm: str, tmp_path: Path) -> None:
    (tmp_path / "notes").mkdir()
    (tmp_path / "notes" / "phone.txt").write_text(NOTE, "utf-8")
    broken = len(rows(small_farm, Breakage))

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "3", "a", Text(f"{tmp_path}/no"))
        assert isinstance(screens.screen, BringInScreen)
        assert ">notes/" in screen_text(screens)
        await enter(pilot, "enter")
        assert ">phone.txt" in screen_text(screens)
        await enter(pilot, "enter")
        assert isinstance(screens.screen, NoteScreen)
        assert [one.state for one in screens.screen.rows] == ["save", "asked", "save"]
        assert "Ctrl+S saves 2 lines, 1 to ask about." in flat(screens)
        await enter(pilot, "down", "space")
        assert "It must be understood first: Enter writes it otherwise." in flat(screens)
        await enter(pilot, "enter")
        assert isinstance(screens.screen, NoteLineScreen)
        await enter(pilot, "ctrl+u", Text("north guard 6 bent by a stone at noon"), "ctrl+s")
        assert isinstance(screens.screen, NoteScreen)
        assert "Ctrl+S saves 3 lines." in flat(screens)
        await enter(pilot, "home", "space")
        assert "Ctrl+S saves 2 lines." in flat(screens)
        await enter(pilot, "space", "ctrl+s")
        assert "Saved 3 lines, an entry each." in flat(screens)
        await enter(pilot, "escape", "a", Text(f"{tmp_path}/notes/phone.txt"), "enter")
        assert isinstance(screens.screen, NoteScreen)
        assert [one.state for one in screens.screen.rows] == ["known"] * 3

    deeds = deeds_in(small_farm)
    play(small_farm, steps)
    assert len(rows(small_farm, Breakage)) == broken + 2
    assert deeds_in(small_farm) == deeds + 3


def deeds_in(log: str) -> int:
    from wearlog.logbook.open_log import open_log
    from wearlog.store.journal import deed_lines

    store = open_log(log)
    with store.reading() as connection:
        found = len(deed_lines(connection, limit=1000))
    store.close()
    return found


def test_a_day_given_for_one_line_is_that_of_all_that_stand_under_none(small_farm: str, tmp_path: Path) -> None:
    (tmp_path / "phone.txt").write_text("north section 41 rock at 4 pm\nnorth section 50 rock at 5 pm\n", "utf-8")

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "3", "a", Text(f"{tmp_path}/phone.txt"), "enter")
        assert isinstance(screens.screen, NoteScreen)
        assert [one.state for one in screens.screen.rows] == ["asked", "asked"]
        await enter(pilot, "enter", "down", Text("soon"), "ctrl+s")
        assert "'soon' is no day that has been." in flat(screens)
        await enter(pilot, "ctrl+u", Text("jul 26 2025"), "ctrl+s")
        assert isinstance(screens.screen, NoteScreen)
        assert [one.state for one in screens.screen.rows] == ["save", "save"]
        assert "26 July 16:00" in flat(screens)
        for wide, high in SIZES:
            await pilot.resize_terminal(wide, high)
            await enter(pilot, "down")
            assert "Ctrl+S saves 2 lines." in flat(screens)

    play(small_farm, steps)


def test_a_path_that_is_not_there_is_said_where_it_is_typed(small_farm: str, tmp_path: Path) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "3", "i", Text(f"{tmp_path}/nothing.txt"), "enter")
        assert isinstance(screens.screen, BringInScreen)
        assert "There is no file or folder" in flat(screens)
        await enter(pilot, "ctrl+s")
        assert "There is no folder" in flat(screens)

    play(small_farm, steps)


def test_one_picker_opens_notebooks_and_notes_and_tells_them_apart(small_farm: str, tmp_path: Path) -> None:
    (tmp_path / "book.txt").write_text(
        "Date;Header;Item;Pos\n7/21/2025;North;guard;12\n7/22/2025;North;guard;13\n", "utf-8"
    )
    (tmp_path / "phone.txt").write_text(NOTE, "utf-8")

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        for key in ("i", "a"):
            await enter(pilot, "3", key, Text(f"{tmp_path}/book.txt"), "enter")
            assert isinstance(screens.screen, NotebookScreen)
            await enter(pilot, "escape", key, Text(f"{tmp_path}/phone.txt"), "enter")
            assert isinstance(screens.screen, NoteScreen)
            await enter(pilot, "escape")
        await enter(pilot, "i", Text(f"{tmp_path}/"), "ctrl+s")
        assert isinstance(screens.screen, NoteScreen)
        assert len(screens.screen.rows) > 3, "all the notes of the folder"

    play(small_farm, steps)


def test_a_line_written_otherwise_that_is_asked_still_stays_as_it_was_written(small_farm: str, tmp_path: Path) -> None:
    (tmp_path / "phone.txt").write_text("jul 26 2025\nnorth section rock\n", "utf-8")

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "3", "a", Text(f"{tmp_path}/phone.txt"), "enter", "enter", "end", Text(" 90"))
        assert "Still asked: Which of the 160 knife sections" in flat(screens)
        await enter(pilot, "enter")
        assert "north section rock 90" in screen_text(screens)
        await enter(pilot, "enter")
        assert "Line north section rock 90" in flat(screens)
        await enter(pilot, "end", "backspace", "backspace", Text("#90"))
        assert "Enter takes it over: North header, knife section 90: broken by impact, replaced" in flat(screens)
        await enter(pilot, "enter", "ctrl+s")
        assert "Saved 1 line, an entry each." in flat(screens)

    play(small_farm, steps)
