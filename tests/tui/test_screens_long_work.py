"""Long work on the screens: how far it is stands above the keys, Esc stops it, and every key is answered meanwhile."""

from __future__ import annotations

import time
from collections.abc import Callable

import pytest
from textual.pilot import Pilot

from tests.tui.piloting import play, press, settled
from wearlog import progress
from wearlog.errors import WearlogError
from wearlog.progress import counted, stretch
from wearlog.tui.app import Screens
from wearlog.tui.door import Door
from wearlog.tui.screens.reading_page import HelpPage
from wearlog.tui.widgets.lines import SayLine

STEPS = 400


@pytest.fixture(autouse=True)
def _soon(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(progress, "PATIENCE", 0.1)
    monkeypatch.setattr(progress, "BETWEEN", 0.02)


class Work:
    """A question that takes as long as nobody lets it end, and says where it came to."""

    def __init__(self) -> None:
        self.steps = 0
        self.answers: list[str] = []
        self.errors: list[WearlogError] = []
        self.may_end = False

    def __call__(self, _: Door) -> str:
        with stretch():
            for self.steps in counted(range(STEPS), of=STEPS):
                if not self.may_end:
                    time.sleep(0.02)
        return "done"

    def ask(self, screens: Screens) -> None:
        screens.ask(screens.screen, "long", self, self.answers.append, self.errors.append)


def line(screens: Screens) -> str:
    return screens.screen.query_one(SayLine).said


async def until(pilot: Pilot[None], holds: Callable[[], bool]) -> None:
    for _ in range(600):
        if holds():
            return
        await pilot.pause(0.01)
    raise AssertionError("it did not come to that")


def test_how_far_it_is_stands_above_the_keys_until_it_is_done(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        work = Work()
        work.ask(screens)
        await until(pilot, lambda: "%, about " in line(screens))
        assert "s left. Esc stops it." in line(screens)
        work.may_end = True
        await settled(pilot)
        await until(pilot, lambda: line(screens) == "")
        assert work.answers == ["done"]

    play(small_farm, steps)


def test_esc_stops_it_and_closes_nothing(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        screen, work = screens.screen, Work()
        work.ask(screens)
        await until(pilot, lambda: "%, about " in line(screens))
        await pilot.press("escape")
        await until(pilot, lambda: bool(work.errors))
        assert work.errors[0].message == "Stopped."
        assert work.answers == []
        assert work.steps < STEPS - 1
        assert screens.screen is screen
        await until(pilot, lambda: line(screens) == "")
        # and then Esc means again what it meant before
        await press(pilot, "question_mark")
        assert isinstance(screens.screen, HelpPage)
        await press(pilot, "escape")
        assert screens.screen is screen

    play(small_farm, steps)


def test_the_screens_answer_meanwhile(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        first, work = screens.screen, Work()
        work.ask(screens)
        await until(pilot, lambda: "%, about " in line(screens))
        begun = work.steps
        await pilot.press("question_mark")
        await until(pilot, lambda: isinstance(screens.screen, HelpPage))
        # Esc stops what the open screen waits for, and that is nothing: it closes the page
        await pilot.pause(0.1)
        await pilot.press("escape")
        await until(pilot, lambda: screens.screen is first)
        assert not work.errors
        assert work.steps > begun
        work.may_end = True
        await settled(pilot)
        assert work.answers == ["done"]

    play(small_farm, steps)


def test_what_was_said_of_an_entry_is_not_written_over(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        work = Work()
        screens.say("Saved.")
        work.ask(screens)
        await pilot.pause(0.5)
        assert line(screens) == "Saved."
        work.may_end = True
        await settled(pilot)
        assert work.answers == ["done"]
        assert line(screens) == "Saved."

    play(small_farm, steps)
