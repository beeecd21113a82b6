"""What stands on paper comes in by the screens: a notebook read, corrected, answered and saved as one entry."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.logbook.notebook.kept_notebooks import HERE, NOW, enter_farm, expected_of
from tests.tui.demo_log import demo_file, demo_log
from tests.tui.piloting import assert_snapshot, flat, play, rows, settled
from tests.tui.writing import Text, enter
from wearlog.facts.bookkeeping import ImportProfile, OutsideLine
from wearlog.facts.wearing import Breakage, Measurement
from wearlog.facts.work import Field, PlanChoice, Run
from wearlog.store.location import locate
from wearlog.store.opening import create_store
from wearlog.tui.app import Screens

__all__ = ["demo_file", "demo_log"]


@pytest.fixture
def book_farm(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """The log of the farm whose notebook lies in the folder of the test; the screens' clock stands where that book ends."""
    from wearlog.tui.door import Door

    file = tmp_path / "farm.db"
    store = create_store(locate(str(file)))
    enter_farm(store, expected_of("header_book"))
    store.close()
    shutil.copyfile(HERE / "header_book.xlsx", tmp_path / "header_book.xlsx")
    (tmp_path / "home").mkdir()
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(Door, "now", lambda _: NOW)
    return str(file)


OPEN = ("3", "i", Text("header"), "enter")
SIZES = ((80, 24), (46, 20))


async def kept(pilot: Pilot[None], name: str) -> None:
    for wide, high in SIZES:
        await pilot.resize_terminal(wide, high)
        await settled(pilot)
        assert_snapshot(pilot.app, f"{name}_{wide}x{high}")
    await pilot.resize_terminal(*SIZES[0])
    await settled(pilot)


def test_a_notebook_is_picked_from_the_files_that_lie_there_or_by_its_path(book_farm: str) -> None:
    Path("deep").mkdir()
    shutil.copyfile("header_book.xlsx", "deep/other.xlsx")

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "3", "i")
        assert "header_book.xlsx" in flat(screens)
        await enter(pilot, Text(f"{Path.cwd()}/de"))
        assert "deep/" in flat(screens)
        await enter(pilot, "enter")
        assert "other.xlsx" in flat(screens)
        await enter(pilot, "enter")
        assert "NOTEBOOK other.xlsx" in flat(screens)
        await enter(pilot, "escape")
        assert "[Breakages]" in flat(screens)

    play(book_farm, steps)


def test_a_notebook_lies_open_with_its_columns_its_rows_and_its_questions(book_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *OPEN)
        assert "98 rows to save" in flat(screens)
        assert "5 to ask about" in flat(screens)
        await kept(pilot, "notebook_columns")
        await enter(pilot, "right")
        await kept(pilot, "notebook_rows")
        await enter(pilot, "right")
        await kept(pilot, "notebook_questions")

    play(book_farm, steps)


def test_what_is_sure_is_saved_as_one_entry_and_the_rest_stays(book_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *OPEN, "a")
        assert "Saved 98 of 103 rows as one entry; u in the daybook takes it back." in flat(screens)
        await enter(pilot, "escape")
        assert "98 in the log already, 5 to ask about" in flat(screens)
        await enter(pilot, "a")
        assert "No row is sure and new" in flat(screens)

    play(book_farm, steps)
    assert (len(rows(book_farm, Breakage)), len(rows(book_farm, Run)), len(rows(book_farm, OutsideLine))) == (
        51,
        46,
        98,
    )


def test_a_question_is_answered_in_place_and_an_answer_can_be_changed(book_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *OPEN, "left")
        assert "Position 141: East header has 140 only." in flat(screens)
        await enter(pilot, "enter", Text("140"), "enter")
        assert "99 rows to save" in flat(screens)
        assert "Answered; Enter changes it" in flat(screens)
        await enter(pilot, "end", "enter", "backspace", "backspace", "backspace", Text("999"), "enter")
        assert "98 rows to save" in flat(screens)
        assert "Position 999: East header has 140 only." in flat(screens)
        await enter(pilot, "escape")
        assert "Esc again leaves it" in flat(screens)

    play(book_farm, steps)
    assert rows(book_farm, Breakage) == []


def test_a_row_is_left_out_by_a_key_and_choices_by_the_arrows(book_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, *OPEN, "left", "x")
        assert "98 rows to save, 4 to ask about" in flat(screens)
        await enter(pilot, "home", "enter", "down")
        assert "answer East" in flat(screens) or "answer West" in flat(screens)
        await enter(pilot, "enter")
        assert "99 rows to save, 3 to ask about" in flat(screens)

    play(book_farm, steps)


def test_a_column_is_taken_for_something_else_and_that_is_kept_for_the_next_time(book_farm: str) -> None:
    Path("odd.csv").write_text("Date,Header,Ding,Pos,Why\n7/21/2025,East,section,12,rock\n", "utf-8")

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "3", "i", Text("odd"), "enter")
        assert "1 row to save" in flat(screens)
        await enter(pilot, "down", "down", "down", "enter", Text("nothing"), "enter")
        assert "you said so" in flat(screens)
        assert "1 row to save" not in flat(screens)
        await enter(pilot, "enter", Text("positions"), "enter", "a")
        assert "Saved 1 of" in flat(screens)

    play(book_farm, steps)
    assert [one.positions for one in rows(book_farm, Breakage)] == [(12,)]
    assert '"pos": "positions"' in rows(book_farm, ImportProfile)[0].content


def test_a_file_that_is_no_notebook_says_so(book_farm: str) -> None:
    Path("empty.csv").write_text("\n", "utf-8")

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "3", "i", Text("empty"), "enter")
        assert "Nothing stands in empty.csv" in flat(screens)
        await enter(pilot, "escape")
        assert "[Breakages]" in flat(screens)

    play(book_farm, steps)


def test_what_is_not_there_is_answered_once_for_all_its_rows(book_farm: str) -> None:
    Path("work.csv").write_text(
        "Date,Combine,Header,Field,ac\n7/21/2025,Ivy,East,Mill,85\n7/22/2025,Ivy,East,Mill,60\n7/23/2025,Oak,East,Mill,9\n",
        "utf-8",
    )

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "3", "i", Text("work"), "enter", "left")
        assert "machine 'Oak' is not there: make it?" in flat(screens)
        assert "field 'Mill' is not there: make it?" in flat(screens)
        await kept(pilot, "notebook_offers")
        await enter(pilot, "enter", Text("it is Ivy"), "enter")
        assert "'Oak'" not in flat(screens)
        await enter(pilot, "home", "enter", Text("very"), "enter")
        assert "is not there" not in flat(screens)
        await enter(pilot, "a")
        assert "Saved 3 of" in flat(screens)

    play(book_farm, steps)
    assert [one.name for one in rows(book_farm, Field)][-1] == "Mill"
    assert None not in {one.field_id for one in rows(book_farm, Run)}


async def open_sheet(screens: Screens, pilot: Pilot[None]) -> None:
    await enter(pilot, "3", "i", Text("before the season: kestrel"), "enter")
    assert "Kestrel: inspection before the season" in flat(screens)


def line_of(screens: Screens, name: str) -> str:
    from wearlog.tui.screens.papers.bring_in import SheetField

    return next(one.asks for one in screens.screen.query(SheetField) if name in one.label)


async def write(screens: Screens, pilot: Pilot[None], name: str, text: str) -> None:
    from wearlog.tui.screens.papers.bring_in import SheetLinesScreen

    form = screens.screen
    assert isinstance(form, SheetLinesScreen)
    form.focus_line(form.line(line_of(screens, name)))
    await enter(pilot, Text(text))


def test_a_printed_sheet_is_entered_line_by_line_as_one_entry(demo_log: str) -> None:
    before = len(rows(demo_log, Measurement))

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await open_sheet(screens, pilot)
        await kept(pilot, "sheet_lines")
        await enter(pilot, Text("ok"), "enter", Text("ok"), "up")
        assert screens.screen.focused is not None
        await write(screens, pilot, "hold-downs", "12: 0.02in; 12,13 order")
        await write(screens, pilot, "skid plates", "order")
        await enter(pilot, "ctrl+s")
        assert "1 measured, 6 to replace, 2 ok" in flat(screens)

    play(demo_log, steps)
    assert len(rows(demo_log, Measurement)) == before + 1
    assert sum(len(one.positions) for one in rows(demo_log, PlanChoice)) >= 6


def test_what_cannot_be_on_a_line_is_said_under_it_and_what_was_typed_is_kept(demo_log: str) -> None:
    before = len(rows(demo_log, Measurement))

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await open_sheet(screens, pilot)
        await write(screens, pilot, "hold-downs", "0.02in")
        await enter(pilot, "ctrl+s")
        assert "Which of the 32 positions" in flat(screens)
        await enter(pilot, "escape")
        assert "is not saved; what you typed is there again" in flat(screens)
        await open_sheet(screens, pilot)
        assert "0.02in" in flat(screens)

    play(demo_log, steps)
    assert len(rows(demo_log, Measurement)) == before
