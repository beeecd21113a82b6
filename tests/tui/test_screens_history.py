"""The history: deeds latest first, each opened row by row, the chosen one undone or refused in words."""

from __future__ import annotations

from textual.pilot import Pilot

from tests.tui.demo_log import demo_file, demo_log
from tests.tui.piloting import play, screen_lines, screen_text
from tests.tui.test_screens_contrast import ENOUGH, measured
from tests.tui.writing import SIZES, Text, enter
from wearlog.tui.app import Screens
from wearlog.tui.questions.history import DeedRows
from wearlog.tui.questions.work import deeds
from wearlog.tui.themes import INKS
from wearlog.tui.widgets.list_rows import ListOrder
from wearlog.tui.widgets.windowed_list import WindowedList

__all__ = ["demo_file", "demo_log"]


def words_on(screens: Screens) -> str:
    return " ".join(screen_text(screens).split())


def listed(screens: Screens) -> list[str]:
    """The titles of the list and what stands under them."""
    lines = screen_lines(screens)
    return lines[next(place for place, line in enumerate(lines) if line.startswith(" entered")) :]


def test_deeds_stand_latest_first_and_are_filtered_by_words(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "3", "left")
        rows = screens.screen.query_one(WindowedList)
        assert rows.count == 50
        assert listed(screens)[1].split()[2:] == ["shop", "opened", "the", "fault", "fuse", "blows", "1"]
        await enter(pilot, "slash", Text("knife replaced"))
        assert rows.count == 3
        # a list says whole clauses; what found no room stands below it, of the row under the cursor
        assert all("North header" in line for line in listed(screens)[1:4])
        assert "what North header, knife" in words_on(screens)
        await enter(pilot, "escape", "o", "o", "O", "home")
        assert "what v" in listed(screens)[0]
        assert "service done: Kestrel, engine oil" in listed(screens)[1]

    play(small_farm, steps)


def test_enter_shows_what_a_deed_wrote_row_by_row_and_the_row_in_full(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "3", "left", *["down"] * 4, "enter")
        assert "on shop: North header, knife sections 12-13: broken by impact, replaced; 8 Jul 2025 14:05" in words_on(
            screens
        )
        assert ">breakage entered component: North header, knife section" in words_on(screens)
        for line in (
            " positions: 12-13",
            " at: 2025-07-08 14:05",
            " cause: rock or foreign object",
            " action: replaced",
        ):
            assert line in screen_lines(screens)
        await enter(pilot, "end")
        assert " removed at: - → 2025-07-08 14:05" in screen_lines(screens)
        assert " removal: - → broke" in screen_lines(screens)
        await enter(pilot, "escape")
        assert "[Entries]" in screen_text(screens)

    play(small_farm, steps)


def test_the_chosen_deed_is_undone_whole_and_that_can_be_taken_back_too(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "3", "left", *["down"] * 4, "u")
        assert "undid: North header, knife sections 12-13: broken by impact, replaced; 8 Jul 2025 14:05" in words_on(
            screens
        )
        marked = next(line for line in screen_lines(screens) if line.startswith(">"))
        assert " undone North header" in marked
        assert " undo   undid: North header" in listed(screens)[1]
        await enter(pilot, "1")
        assert "25 x KS-1 section: 19 on hand" in screen_text(screens)
        await enter(pilot, "3", "home", "enter")
        assert ">breakage taken back counts no more" in words_on(screens)
        await enter(pilot, "u", "1")
        assert "25 x KS-1 section: 17 on hand" in screen_text(screens)

    play(small_farm, steps)


def test_what_cannot_be_undone_is_refused_with_the_reason(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "3", "left", "slash", Text("added kestrel"), "enter")
        assert ">" in screen_text(screens)
        await enter(pilot, "slash", *["backspace"] * 20, Text("the combine"), "enter", "u")
        assert "▲ " in screen_text(screens)
        assert "later" in words_on(screens)
        assert "Undo those first." in words_on(screens)
        await enter(pilot, "enter", "u")
        assert "Undo those first." in words_on(screens)
        assert screen_lines(screens)[0].startswith(" 20")

    play(small_farm, steps)


def test_an_import_is_taken_back_only_after_a_question(demo_log: str) -> None:
    """One key answers; every other leaves the log alone. From everywhere, from the list, and from the entry's own page."""

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        for keys in (("u",), ("3", "left", "u"), ("enter", "u")):
            await enter(pilot, *keys)
            assert "TAKE ALL OF IT BACK?" in screen_lines(screens)[0]
            assert "This takes back 10,048 rows of the log at once: 'imported" in words_on(screens)
            await enter(pilot, "u", "enter", "question_mark", "escape")
            assert "TAKE ALL OF IT BACK?" in screen_lines(screens)[0]
            await enter(pilot, "n")
            assert "Nothing was taken back." in words_on(screens)
        await enter(pilot, "escape", "u", "y")
        assert "undid: imported" in words_on(screens)
        await enter(pilot, "1")
        assert "Alder" not in words_on(screens)
        # what the undo did is as much as what it undid
        await enter(pilot, "3", "u")
        assert "was undone before" in words_on(screens)
        await enter(pilot, "home", "u")
        assert "at once: 'undid: imported" in words_on(screens)
        await enter(pilot, "y")
        await enter(pilot, "1")
        assert "Alder" in words_on(screens)

    play(demo_log, steps)


def test_the_question_before_much_is_taken_back_fits_and_is_read_in_every_set_of_colours(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "u")
        for wide, high in SIZES:
            await pilot.resize_terminal(wide, high)
            await enter(pilot)
            assert max(len(line) for line in screen_lines(screens)) <= wide
            assert "y takes it back, n leaves it." in screen_text(screens)
        for theme in INKS:
            screens.theme = theme
            await enter(pilot)
            assert [piece for piece in measured(screens) if piece[0] < ENOUGH] == []

    play(demo_log, steps)


def test_the_rows_of_a_deed_come_in_pages_and_a_place_is_found_again(small_farm: str) -> None:
    from wearlog.tui.door import Door

    door = Door(small_farm)
    fitted = deeds().page(door, ListOrder(words="knife section with 160", sort="when", backwards=True), 0, 5)
    (row,) = fitted
    rows = DeedRows(row.key)  # type: ignore[arg-type]
    assert rows.count(door, ListOrder()) == 161
    page = rows.page(door, ListOrder(), 100, 10)
    assert [one.cells[:2] for one in page] == [("fitting", "entered")] * 10
    assert "position: 100" in page[0].cells[2]
    assert rows.place_of(door, ListOrder(), page[3].key) == 103
    assert [rows.count(door, ListOrder(words=words)) for words in ("component", "fitting")] == [1, 160]
    door.close()


def test_the_history_fits_into_every_screen(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "3", "left")
        for wide, high in SIZES:
            await pilot.resize_terminal(wide, high)
            await enter(pilot)
            assert max(len(line) for line in screen_lines(screens)) <= wide
            assert "opened the fault" in screen_text(screens)
            await enter(pilot, "enter")
            assert max(len(line) for line in screen_lines(screens)) <= wide
            assert " title: fuse blows" in screen_lines(screens)
            await enter(pilot, "escape")

    play(small_farm, steps)
