"""A service that was done with parts off the shelf, its cost and who did it, entered and taken back on the screens."""

from __future__ import annotations

import pytest
from textual.pilot import Pilot

from tests.tui.piloting import flat, play, rows, screen_lines
from tests.tui.writing import Text, enter
from wearlog.facts.bookkeeping import Deed
from wearlog.facts.closed_lists import StockChange
from wearlog.facts.machines import ServiceDone, ServiceItem
from wearlog.facts.parts import Part, StockMove
from wearlog.logbook.open_log import open_log
from wearlog.store.journal import last_deed
from wearlog.tui.app import Screens
from wearlog.tui.screens.work.services import ServiceDoneScreen, ServicesScreen

SIZES = ((46, 20), (80, 24))


def noted(log: str) -> list[ServiceDone]:
    (oil,) = (one for one in rows(log, ServiceItem) if one.name == "engine oil")
    return sorted((one for one in rows(log, ServiceDone) if one.service_item_id == oil.id), key=lambda one: one.at)


def entered_last(log: str) -> Deed:
    store = open_log(log)
    with store.reading() as connection:
        found = last_deed(connection, store.device)
    store.close()
    return found


@pytest.mark.parametrize("size", SIZES)
def test_it_is_saved_with_what_it_took_and_taken_back(small_farm: str, size: tuple[int, int]) -> None:
    before, moved = noted(small_farm), rows(small_farm, StockMove)
    (guard,) = (one for one in rows(small_farm, Part) if one.number == "KG-7")

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "f", "home", "F")
        assert isinstance(screens.screen, ServiceDoneScreen)
        assert "engine oil" in screen_lines(screens)[0]
        await enter(pilot, Text("KG-7x2"), "tab", Text("84.50"), "tab", Text("40min"), "tab", Text("Ann"))
        said = flat(screens)
        assert "84.50 USD" in said
        assert "2 x KG-7 guard, forged off the shelf; by Ann" in said
        await enter(pilot, "enter")
        assert isinstance(screens.screen, ServicesScreen)
        (done,) = (one for one in noted(small_farm) if one not in before)
        assert (done.cost_minor, done.labour_seconds, done.person_id) == (8_450, 2_400, None)
        (used,) = (one for one in rows(small_farm, StockMove) if one not in moved)
        assert (used.part_id, used.change, used.quantity) == (guard.id, StockChange.USED, 2)
        assert used.service_done_id == done.id
        assert entered_last(small_farm).person == "Ann"
        await enter(pilot, "u")
        assert noted(small_farm) == before
        assert rows(small_farm, StockMove) == moved

    play(small_farm, steps, size=size)


def test_a_part_that_is_not_there_is_told_under_its_question_and_nothing_is_saved(small_farm: str) -> None:
    before = noted(small_farm)

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "f", "home", "F", Text("XX-9x2"), "enter")
        form = screens.screen
        assert isinstance(form, ServiceDoneScreen)
        assert "XX-9" in form.line("parts").wrong
        assert noted(small_farm) == before

    play(small_farm, steps)


def test_done_with_nothing_besides_stays_one_key(small_farm: str) -> None:
    before = noted(small_farm)

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await enter(pilot, "f", "home", "f")
        assert isinstance(screens.screen, ServicesScreen)
        (done,) = (one for one in noted(small_farm) if one not in before)
        assert (done.cost_minor, done.labour_seconds, done.note) == (None, None, "")

    play(small_farm, steps)
