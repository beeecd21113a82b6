"""What all screens rest on: first paint before the log, stale answers dropped, errors in words, crashes told in one sentence."""

from __future__ import annotations

import asyncio
import shutil
import subprocess
import sys
import threading
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from tests.tui.piloting import play, press, screen_text, settled
from wearlog.errors import RefusedError
from wearlog.facts.closed_lists import MachineKind
from wearlog.facts.machines import Machine
from wearlog.logbook.farm.machines import add_machine
from wearlog.logbook.open_log import open_log
from wearlog.tui.app import Screens
from wearlog.tui.door import Door
from wearlog.tui.remembered import Remembered, log_file, recall, remember

HEAVY = ("sqlalchemy", "alembic", "numpy", "scipy")


def test_importing_the_app_and_its_first_screen_loads_nothing_heavy() -> None:
    script = (
        "import sys, wearlog.tui.app, wearlog.tui.screens.farm.yard, wearlog.tui.screens.parts.breakages\n"
        f"print([name for name in {HEAVY} if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_the_yard_is_painted_before_the_log_is_opened(small_farm: str, monkeypatch: pytest.MonkeyPatch) -> None:
    may_open, painted = threading.Event(), []
    really = Door.log.fget
    assert really is not None

    def slow(door: Door) -> Any:
        assert may_open.wait(10)
        return really(door)

    monkeypatch.setattr(Door, "log", property(slow))

    async def run() -> None:
        screens = Screens(small_farm)
        async with screens.run_test(size=(80, 24)) as pilot:
            await pilot.pause(0.2)
            painted.append(screen_text(screens))
            may_open.set()
            await settled(pilot)
            painted.append(screen_text(screens))

    asyncio.run(run())
    assert "[1 Yard]" in painted[0]
    assert "Kestrel" not in painted[0]
    assert "Kestrel" in painted[1]


def test_a_later_question_of_the_same_key_makes_the_earlier_answer_stale(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        let_go, taken = threading.Event(), []

        def slow(_: Door) -> str:
            let_go.wait(10)
            return "old"

        screens.gateway.ask(screens.screen, "same", slow, taken.append)
        screens.gateway.ask(screens.screen, "same", lambda _: "new", taken.append)
        await settled(pilot)
        let_go.set()
        await settled(pilot)
        await pilot.pause(0.05)
        assert taken == ["new"]

    play(small_farm, steps)


def test_an_error_of_the_log_becomes_a_line_in_words(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        def refuse(_: Door) -> None:
            raise RefusedError("It would run backwards.", "Check the figure.")

        screens.gateway.ask(screens.screen, "any", refuse, lambda _: None)
        await settled(pilot)
        assert "▲ It would run backwards. Check the figure." in screen_text(screens)

    play(small_farm, steps)


def test_a_log_that_was_replaced_is_noticed_and_the_new_one_opened(small_farm: str, tmp_path: Path) -> None:
    other = tmp_path / "other.db"
    shutil.copyfile(small_farm, other)
    store = open_log(str(other))
    add_machine(store, Machine(name="Merlin", kind=MachineKind.COMBINE), at=datetime(2025, 7, 1, tzinfo=UTC))
    store.close()

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        other.replace(small_farm)
        await press(pilot, "comma")
        assert "ANOTHER LOG LIES HERE NOW" in screen_text(screens)
        await press(pilot, "escape")
        assert "Ctrl+R opens the new one." in screen_text(screens)
        await press(pilot, "escape")
        assert "Merlin" not in screen_text(screens)
        await press(pilot, "ctrl+r")
        assert "Merlin" in screen_text(screens)
        assert "The log that lies there now is open." in screen_text(screens)
        shutil.copyfile(small_farm, other)
        other.replace(small_farm)
        await press(pilot, "comma", "enter")
        assert "The log that lies there now is open." in screen_text(screens)

    play(small_farm, steps)


def test_an_unforeseen_error_in_a_question_is_written_down_and_the_screens_go_on(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        def broken(_: Door) -> None:
            raise ZeroDivisionError("halves of nothing")

        screens.gateway.ask(screens.screen, "any", broken, lambda _: None)
        await settled(pilot)
        assert "This could not be worked out." in screen_text(screens)
        await press(pilot, "2")
        assert "[2 Machine]" in screen_text(screens)

    play(small_farm, steps)
    assert "ZeroDivisionError: halves of nothing" in log_file().read_text("utf-8")


def test_a_crash_leaves_one_sentence_a_log_and_return_code_1(small_farm: str) -> None:
    screens = Screens(small_farm)

    async def run() -> None:
        async with screens.run_test(size=(80, 24)) as pilot:
            await settled(pilot)
            screens.call_later(lambda: {}["gone"])
            await pilot.pause(0.2)

    with pytest.raises(KeyError):
        asyncio.run(run())
    assert screens.return_code == 1
    assert screens.last_words.startswith("wearlog: something broke in the screens (KeyError); what was saved is safe.")
    assert str(log_file()) in screens.last_words
    assert "KeyError: 'gone'" in log_file().read_text("utf-8")


def test_without_a_log_the_yard_says_so_instead_of_failing(tmp_path: Path) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        text = " ".join(screen_text(screens).split())
        assert "There is no log at" in text
        await press(pilot, "b")
        assert "There is no log at" in " ".join(screen_text(screens).split())

    play(str(tmp_path / "none.db"), steps)


def test_the_colours_chosen_last_are_there_the_next_time(small_farm: str) -> None:
    async def choose(screens: Screens, pilot: Pilot[None]) -> None:
        assert screens.theme == "daylight"
        await press(pilot, "ctrl+t")

    async def look(screens: Screens, pilot: Pilot[None]) -> None:
        assert screens.theme == "dark"

    play(small_farm, choose)
    play(small_farm, look)


def test_spoilt_memory_is_as_good_as_none(tmp_path: Path) -> None:
    remember(Remembered(theme="dark"))
    assert recall() == Remembered(theme="dark")
    (tmp_path / "home" / "screens.json").write_text("{", "utf-8")
    assert recall() == Remembered()


def test_help_names_every_key_of_the_screen_and_closes_again(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "question_mark")
        text = screen_text(screens)
        assert "Its first sentence, FIRST, says the one thing that presses most." in text
        for line in ("b  log a breakage", "u  take back the last entry", "? or F1  keys of this screen", "2  Machine"):
            assert line in text
        await press(pilot, "escape")
        assert "[1 Yard]" in screen_text(screens)

    play(small_farm, steps, size=(80, 60))


def test_the_palette_finds_every_action_machine_part_and_fault(small_farm: str) -> None:
    looked_for = {
        "kest": "machine    Kestrel",
        "guards": "component  North header, guards",
        "ks-1": "part       KS-1 section",
        "blows": "fault      Kestrel: fuse blows",
        "high-c": "colours    high-contrast",
        "back last": "action     take back the last entry of this device",
        "break": "area       Breakages (Daybook)",
    }

    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "colon")
        for words, found in looked_for.items():
            screens.screen.query_one(Input).value = words
            await settled(pilot)
            assert found in screen_text(screens)

    play(small_farm, steps)


def test_choosing_a_component_in_the_palette_opens_its_machine_on_it(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        for _ in range(2):
            await press(pilot, "colon", *"guard", "enter")
            assert "North header: header, 40 ft" in screen_text(screens)
            assert ">guards" in screen_text(screens)
            assert "guards, 80 positions" in screen_text(screens)
            await press(pilot, "up", "1")

    play(small_farm, steps)


def test_choosing_a_machine_in_the_palette_opens_it(small_farm: str) -> None:
    async def steps(screens: Screens, pilot: Pilot[None]) -> None:
        await press(pilot, "colon", *"north", "enter")
        assert "North header: header, 40 ft" in screen_text(screens)

    play(small_farm, steps)
