"""All sheets by the screens: a row of each is entered by the form of its columns, changed and taken back, as by the commands."""

from __future__ import annotations

import threading
from typing import Any
from uuid import UUID

import pytest
from textual import events
from textual.pilot import Pilot

from tests.cli.sheet_samples import SAMPLES
from tests.tui.demo_log import WINTER, demo_file, demo_log
from tests.tui.piloting import flat, play, screen_lines, screen_text, settled
from tests.tui.writing import SIZES, Text, enter
from wearlog.exchange.row_book import row_book, sheet_counts
from wearlog.exchange.row_deeds import change_facts, enter_facts, read_change
from wearlog.exchange.sheets import SHEETS
from wearlog.facts.closed_lists import Ground
from wearlog.facts.machines import Machine
from wearlog.logbook.farm.machines import add_field
from wearlog.logbook.open_log import open_log
from wearlog.store.finding import find_all
from wearlog.tui.app import Screens
from wearlog.tui.questions.sheets import SheetRowSource, take_row_back, taking_back
from wearlog.tui.screens.daybook import AskUndoPage
from wearlog.tui.screens.sheets import ColumnChoice, RowScreen, SheetScreen, SheetsScreen
from wearlog.tui.widgets.lines import SayLine
from wearlog.tui.widgets.windowed_list import WindowedList

__all__ = ["demo_file", "demo_log"]

#: the names of the samples -> those of the demo fleet, whose harvest is over in November
ON_THE_DEMO = {
    "Plover": "Osprey",
    "Kestrel": "Alder",
    "First": "Wren",
    "Second": "Merlin",
    "feeder chain": "feeder conveyor chain",
    "2026-08-2": "2026-11-1",
    "field=river": "field=river bottom",
    "=deflector": "=seed deflector",
    "cause=stone": "cause=impact",
    "shown=240": "shown=506",
    "2401.5": "5061.5",
}


def meant(text: str) -> str:
    """What a sample says, as it is said on the demo fleet."""
    for said, instead in ON_THE_DEMO.items():
        if instead not in text:
            text = text.replace(said, instead)
    return text


def on_the_demo(cell: str) -> tuple[str, str]:
    """The heading of a sample's cell and what stands there on the demo fleet."""
    heading, _, text = meant(cell).partition("=")
    return heading, text


def counts(log: str) -> dict[str, int]:
    store = open_log(log)
    found = sheet_counts(store)
    store.close()
    return found


async def answer(screens: Screens, pilot: Pilot[None], heading: str, text: str) -> None:
    """Answer one question of the form as a person does."""
    form = screens.screen
    assert isinstance(form, RowScreen)
    asked = next((one.heading for one in SHEETS[form.start.sheet] if heading == one.also), heading)
    line = form.line(asked)
    form.focus_line(line)
    if isinstance(line, ColumnChoice):
        wanted = text.replace(" ", "_")
        texts = [str(one) for one, _ in line.answers]
        line.choose(texts.index(text if text in texts else wanted))
    else:
        pilot.app.post_message(events.Paste(text))
        await pilot.pause()


async def save(screens: Screens, pilot: Pilot[None], sheet: str) -> str:
    """Save the form, whatever it asks about, and return what is said then."""
    for _ in range(3):
        if isinstance(screens.screen, RowScreen):
            await enter(pilot, "ctrl+s")
    assert isinstance(screens.screen, SheetScreen), (sheet, screen_lines(screens))
    return screens.screen.query_one(SayLine).said


def test_whatever_a_sheet_can_hold_the_screens_enter_change_and_take_back(demo_log: str) -> None:
    store = open_log(demo_log)
    book = row_book(store, WINTER)
    with store.reading() as connection:
        wagons = [one for one in find_all(connection, Machine) if one.name in ("Wren", "Merlin")]
    for machine in wagons:
        change_facts(book, read_change(book, "machine", machine, {"type": "hauler"}))
    book = row_book(store, WINTER)
    nodes = (("Alder", "work lamp", "no"), ("Wren", "tail lamp", "yes"), ("Wren", "brake lamp", "yes"))
    for machine, name, shared in nodes:
        said = {"machine": machine, "name": name, "kind": "device", "shared": shared}
        enter_facts(book, "circuit_node", book.entered("circuit_node", said))
    store.close()
    before = counts(demo_log)
    numbers: dict[str, str] = {}
    keys: dict[str, object] = {}

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        for sheet, sample in SAMPLES.items():
            screens.push(SheetScreen(sheet))
            await settled(pilot)
            rows = screens.screen.query_one("#rows", WindowedList)
            await enter(pilot, "a")
            for cell in sample.enter:
                await answer(screens, pilot, *on_the_demo(cell.format(**numbers)))
            await settled(pilot)
            assert isinstance(screens.screen, RowScreen)
            assert screens.screen.summary(), (sheet, screen_lines(screens))
            assert (await save(screens, pilot, sheet)).startswith("Saved: "), sheet
            row = next(
                one
                for one in map(rows.row_at, range(40))
                if one is not None
                and (sheet == "setting" or one.key not in keys.values())
                and _fits(one.cells, sample.enter[0].format(**numbers))
            )
            numbers[sheet], keys[sheet] = row.cells[0], row.key
            rows.move_to_key(row.key)
            await enter(pilot, "enter")
            await answer(screens, pilot, *on_the_demo(sample.change))
            said = await save(screens, pilot, sheet)
            assert said.startswith("Saved: changed the "), (sheet, said)
            assert f": {sample.heading} " in said, said
            assert f"-> {meant(sample.becomes)}" in said, said
            await enter(pilot, "escape")
        for sheet in reversed(SAMPLES):
            key = keys[sheet]
            if sheet == "setting" or not isinstance(key, UUID):
                continue
            asked = taking_back(screens.gateway.door, sheet, key)
            assert asked.startswith("This takes back the "), sheet
            assert f" {numbers[sheet]}" in asked, sheet
            assert take_row_back(screens.gateway.door, sheet, key).endswith(". u takes that back again."), sheet

    assert list(SAMPLES) == list(SHEETS)
    play(demo_log, steps)
    assert counts(demo_log) == before


def _fits(cells: tuple[str, ...], said: str) -> bool:
    """Whether a row of the list says the first thing that was entered."""
    return on_the_demo(said)[1].replace(" ", "_") in [cell.replace(" ", "_") for cell in cells]


@pytest.mark.parametrize("size", SIZES[::2])
def test_a_row_is_entered_changed_and_taken_back_by_keys(small_farm: str, size: tuple[int, int]) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "3", "right", "right", "slash", Text("grows"), "enter")
        assert isinstance(screens.screen, SheetsScreen)
        assert ">crop" in screen_text(screens)
        await enter(pilot, "enter", "a")
        await enter(pilot, Text("flax"), "tab", Text("56"), "tab", "ctrl+s")
        assert isinstance(screens.screen, SheetScreen)
        assert "Saved: entered the crop (flax" in flat(screens)
        await enter(pilot, "enter", "tab", Text("fifty"), "ctrl+s")
        assert isinstance(screens.screen, RowScreen)
        assert "! bushel" in flat(screens)
        await enter(pilot, "ctrl+u", Text("25 kg"), "ctrl+s")
        assert "bushel_lb 56 -> 55.1" in flat(screens)
        await enter(pilot, "delete", "n")
        assert "flax" in screen_text(screens)
        await enter(pilot, "u")
        assert "This takes back the crop " in flat(screens)
        await enter(pilot, "y")
        assert isinstance(screens.screen, SheetScreen)

    before = counts(small_farm)
    play(small_farm, steps, size)
    assert counts(small_farm) == before


def test_a_key_pressed_while_rows_are_read_again_has_the_row_under_the_cursor(
    small_farm: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    may_read, read = threading.Event(), SheetRowSource.page
    may_read.set()

    def slowly(source: SheetRowSource, *asked: Any) -> Any:
        may_read.wait(10)
        return read(source, *asked)

    monkeypatch.setattr(SheetRowSource, "page", slowly)
    store = open_log(small_farm)
    for name in ("home place", "river bottom", "school land"):
        add_field(store, name, 650_000, Ground.STONY)

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        screens.push(SheetScreen("field"))
        await enter(pilot, "down", "down")
        rows = screens.screen.query_one("#rows", WindowedList)
        here, columns = rows.row, rows.source.columns
        assert here is not None
        may_read.clear()
        # a longer name makes the columns others
        add_field(store, "the long field behind the school and the river", 650_000, Ground.STONY)
        screens.something_entered()
        await pilot.pause(0.5)
        await pilot.press("u")
        await pilot.pause(0.5)
        asked = flat(screens)
        may_read.set()
        await settled(pilot)
        assert isinstance(screens.screen, AskUndoPage), asked
        assert here.cells[0] in asked
        await enter(pilot, "n")
        assert tuple(rows.source.columns) != tuple(columns)
        assert rows.row is not None
        assert rows.row.key == here.key, "the cursor stays on its row"

    play(small_farm, steps)
    store.close()
