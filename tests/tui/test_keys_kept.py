"""Keys that come while a screen asks the log are kept and done in their order; what cannot be done is refused, and it is said."""

from __future__ import annotations

import threading
from typing import Any

import pytest
from textual import events
from textual.pilot import Pilot

from tests.tui.demo_log import demo_file, demo_log
from tests.tui.piloting import flat, play, press, rows, settled
from wearlog.facts.closed_lists import Cause
from wearlog.facts.wearing import Breakage
from wearlog.tui.app import Screens
from wearlog.tui.door import Door
from wearlog.tui.kept_keys import KeptKeys
from wearlog.tui.keys_in_turn import KEYS_WAIT
from wearlog.tui.screens.cautions import A_GLANCE, ReadFirstPage
from wearlog.tui.screens.faults.close_fault import CloseFaultScreen
from wearlog.tui.screens.faults.fault_case import FaultCaseScreen
from wearlog.tui.screens.faults.faults import OpenFaultScreen
from wearlog.tui.screens.find import AreaList, FindScreen
from wearlog.tui.widgets.lines import SayLine

__all__ = ["demo_file", "demo_log"]

CHARACTERS = {"enter": "\r", "tab": "\t", "escape": "\x1b", "colon": ":", "space": " "}


async def burst(screens: Screens, pilot: Pilot[None], *keys: str) -> None:
    """Send keys as one burst, and wait until all is done."""
    for key in keys:
        screens.post_message(events.Key(key, CHARACTERS.get(key, key if len(key) == 1 else None)))
    await settled(pilot)


class Slow:
    """A log that answers nothing until it is let go."""

    def __init__(self, patch: pytest.MonkeyPatch) -> None:
        self.go = threading.Event()
        self.go.set()
        really = Door.log.fget
        assert really is not None

        def slow(door: Door) -> Any:
            assert self.go.wait(20)
            return really(door)

        patch.setattr(Door, "log", property(slow))


def test_a_burst_goes_through_lists_pages_and_forms(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await burst(screens, pilot, "4", "enter", "f")
        case = screens.screen_stack[-2 if isinstance(screens.screen, CloseFaultScreen) else -1]
        assert isinstance(case, FaultCaseScreen)
        if case.is_reading:
            # nobody could see the cautions yet: f waits behind them
            await burst(screens, pilot, "enter")
        assert isinstance(screens.screen, CloseFaultScreen), flat(screens)
        await press(pilot, "escape")
        await press(pilot, "escape")
        await burst(screens, pilot, "4", "a", *"horn", "space", *"dead")
        assert isinstance(screens.screen, OpenFaultScreen)
        assert screens.screen.line("title").text == "horn dead"

    play(demo_log, steps)


def test_an_acknowledgement_cannot_be_typed_ahead_and_what_was_is_done_after_it(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        before = {one.id for one in rows(small_farm, Breakage)}
        await burst(screens, pilot, "b", "4", "1", "r", "enter")
        assert isinstance(screens.screen, ReadFirstPage)
        assert {one.id for one in rows(small_farm, Breakage)} == before
        await pilot.pause(A_GLANCE + 0.05)
        await burst(screens, pilot, "enter")
        more = [one for one in rows(small_farm, Breakage) if one.id not in before]
        assert [(one.positions, one.cause) for one in more] == [((41,), Cause.IMPACT)]

    play(small_farm, steps, unread=True)


def test_on_a_slow_log_they_wait_and_that_is_said(small_farm: str, monkeypatch: pytest.MonkeyPatch) -> None:
    slow = Slow(monkeypatch)

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        slow.go.clear()
        for key in ("7", "plus", "2", "5"):
            screens.post_message(events.Key(key, key if len(key) == 1 else "+"))
        for _ in range(100):
            if KEYS_WAIT in flat(screens):
                break
            await pilot.pause(0.05)
        assert KEYS_WAIT in flat(screens)
        assert "[7 Stock]" in flat(screens)
        slow.go.set()
        await settled(pilot)
        assert KEYS_WAIT not in flat(screens)
        assert "saves: received 25 x" in flat(screens)

    play(small_farm, steps)


def test_esc_forgets_them_and_what_needs_no_answer_is_done_at_once(
    small_farm: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    slow = Slow(monkeypatch)

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        slow.go.clear()
        for key in ("7", "plus", "escape", "8", "colon"):
            screens.post_message(events.Key(key, CHARACTERS.get(key, key)))
        # nothing is answered meanwhile, so a busy machine may take its time
        for _ in range(100):
            if isinstance(screens.screen, FindScreen):
                break
            await pilot.pause(0.1)
        assert isinstance(screens.screen, FindScreen)
        slow.go.set()
        await settled(pilot)
        assert isinstance(screens.screen, FindScreen)

    play(small_farm, steps)


def test_what_cannot_be_done_is_refused_and_said(small_farm: str, monkeypatch: pytest.MonkeyPatch) -> None:
    slow = Slow(monkeypatch)

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        # the screen has not come when x is pressed, however quick the machine is
        slow.go.clear()
        for key in ("3", "x"):
            screens.post_message(events.Key(key, key))
        await pilot.pause(0.1)
        slow.go.set()
        await settled(pilot)
        assert "x: nothing here; ? names the keys." in flat(screens)

    play(small_farm, steps)


def test_a_key_that_no_screen_has_rings_and_says_so_in_one_line(small_farm: str) -> None:
    rung: list[str] = []

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        screens.bell = lambda: rung.append(flat(screens))  # type: ignore[method-assign]
        for way in ("1", "2", "3", "5", "9"):
            await press(pilot, way, "z")
            assert "z: nothing here; ? names the keys." in flat(screens), way
        await press(pilot, "question_mark", "z")
        assert "z: nothing here; Esc goes back." in flat(screens)
        await press(pilot, "escape", "comma", "tab", "z")
        assert "z: no answer begins so." in flat(screens)
        await press(pilot, "f9")
        assert "F9: nothing here; F1 names the keys." in flat(screens)
        assert len(rung) == 8
        # nobody who goes back once too often is told so
        await press(pilot, "escape", "escape", "escape")
        assert len(rung) == 8

    play(small_farm, steps)


def test_the_cautions_of_a_fault_say_why_a_key_does_nothing(demo_log: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await burst(screens, pilot, "4", "enter")
        await burst(screens, pilot, "exclamation_mark")
        await pilot.press("f")
        await settled(pilot)
        assert "f: read this first; Enter says that you have." in flat(screens)

    play(demo_log, steps)


def test_keys_are_given_back_in_their_order_and_as_old_as_they_are() -> None:
    kept, first = KeptKeys(), events.Key("a", "a")
    assert not kept.keep(None, first, is_opening=False)  # type: ignore[arg-type]
    assert kept.keep(None, first, is_opening=True)  # type: ignore[arg-type]
    assert kept.keep(None, events.Paste("horn"), is_opening=True)  # type: ignore[arg-type]
    assert not kept.keep(None, events.Key("escape", None), is_opening=True)  # type: ignore[arg-type]
    assert kept.go_on()
    assert not kept.go_on(), "they are on their way"
    assert kept.keep(None, events.Key("b", "b"), is_opening=False), "none overtakes"  # type: ignore[arg-type]
    assert kept.next_for(None, is_opening=True) is None  # type: ignore[arg-type]
    given = [kept.next_for(None, is_opening=False) for _ in range(4)]  # type: ignore[arg-type]
    assert isinstance(given[0], events.Key)
    assert (given[0].key, given[0].time) == ("a", first.time)
    assert given[0] is not first
    assert isinstance(given[1], events.Paste)
    assert isinstance(given[2], events.Key)
    assert given[3] is None
    assert kept.drop() == 0


def test_what_is_said_while_a_screen_is_opening_is_said_on_it(small_farm: str) -> None:
    """The screen is open before its lines are there: a machine that is slow is told so just then."""

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        screens.push_screen(AreaList(screens.screen))
        assert not screens.screen.query(SayLine)
        screens.say("One moment.")
        await settled(pilot)
        assert "Where to?" in flat(screens)

    play(small_farm, steps)
