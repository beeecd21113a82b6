"""Plays a year on three devices: a command or keys at a moment, on the log of the device; what it answers is kept for the page."""

from __future__ import annotations

import asyncio
import contextlib
import io
import os
import re
import shlex
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Final
from unittest.mock import patch

from tests.texts.running_texts import Enter
from tests.tui.piloting import screen_lines, settled
from wearlog.cli.main import run
from wearlog.machine_clock import MachineClock
from wearlog.tui.screens.cautions import A_GLANCE, ReadFirstPage

if TYPE_CHECKING:
    from textual.pilot import Pilot

    from wearlog.tui.app import Screens

#: a phone in its terminal, and a laptop
PHONE, LAPTOP = (46, 20), (80, 24)
_NUMBER = re.compile(r"(?<![\d,.])\d{6}(?![\d,.])")
#: of a printed sheet: six figures and letters, of which all may be figures
_MARK = re.compile(r"(?<=sheet-in )[0-9A-F]{6}\b|(?<=sheet )[0-9A-F]{6}(?= of )")
_SIZE: Final = re.compile(r"\([\d.]+ [kM]B\)")
#: a key that stands by its name among what is typed
_KEY_NAMES = {"Enter": "enter", "Tab": "tab", "Esc": "escape", "Ctrl+S": "ctrl+s", "Right": "right", "Down": "down"}
_CHARACTERS = {
    "-": "minus",
    ",": "comma",
    " ": "space",
    "+": "plus",
    "=": "equals_sign",
    "/": "slash",
    ".": "full_stop",
}


@dataclass(frozen=True)
class Device:
    """A laptop or a phone: how it is called, by whom it is used, and how many columns and lines it shows."""

    name: str
    person: str
    size: tuple[int, int] = LAPTOP


@dataclass(frozen=True)
class Typed:
    """A command: `first` lines of its answer stand on the page (None: all of it, 0: none); `ends` is its exit code."""

    device: Device
    at: str
    line: str
    first: int | None = None
    ends: int = 0


@dataclass(frozen=True)
class Pressed:
    """Keys on the screens, from the yard; the lines of the screen in which one of the words stands are on the page."""

    device: Device
    at: str
    keys: tuple[str, ...]
    shows: tuple[str, ...]


@dataclass(frozen=True)
class Written:
    """A file that somebody has: what a thumb wrote on the phone."""

    name: str
    content: str


@dataclass(frozen=True)
class Scene:
    """A day of the year: its heading, what happens in words, and what is done."""

    heading: str
    words: str
    deeds: tuple[Typed | Pressed | Written, ...]


def moment(said: str) -> datetime:
    """Return a day and time of the machines' clocks."""
    return datetime.fromisoformat(said).replace(tzinfo=MachineClock())


def as_kept(line: str) -> str:
    """A line as it stands on the page: numbers and marks of entries, and so the size of a bundle, are other ones each time."""
    line = _SIZE.sub("(N kB)", line)
    return _NUMBER.sub("482913", _MARK.sub("E2F409", line.rstrip()))


@dataclass
class Year:
    """The folder in which all devices and the stick lie, and what was answered."""

    folder: Path
    #: the mark of the printed sheet of which the words tell, as the last command showed it
    mark: str = ""
    #: the numbers of the first two that look entered twice
    twins: str = ""

    def answer(self, deed: Typed | Pressed | Written) -> list[str]:
        """Do it and return the lines of its answer as they stand on the page."""
        if isinstance(deed, Written):
            (self.folder / deed.name).write_text(deed.content, "utf-8")
            return []
        with self._at(deed.device, deed.at):
            if isinstance(deed, Typed):
                return self._typed(deed)
            return asyncio.run(self._pressed(deed))

    @contextlib.contextmanager
    def _at(self, device: Device, at: str) -> Iterator[None]:
        home = self.folder / device.name.replace(" ", "-")
        home.mkdir(exist_ok=True)
        now, before = moment(at), Path.cwd()
        environment = {
            "WEARLOG_HOME": str(home / "home"),
            "WEARLOG_DB": str(home / "farm.db"),
            "WEARLOG_DEVICE": device.name,
        }
        os.chdir(self.folder)
        try:
            with (
                patch.dict(os.environ, environment),
                patch("wearlog.cli.options.machine_now", lambda: now),
                patch("wearlog.tui.door.machine_now", lambda: now),
                patch("sys.stdin", Enter()),
            ):
                yield
        finally:
            os.chdir(before)

    def _typed(self, deed: Typed) -> list[str]:
        said = io.StringIO()
        program, *words = shlex.split(deed.line.replace("E2F409", self.mark).replace("482913 591022", self.twins))
        assert program == "wearlog"
        with contextlib.redirect_stdout(said), contextlib.redirect_stderr(said):
            code = run(words)
        answer = said.getvalue()
        assert code == deed.ends, f"{deed.device.name}, {deed.at}: {deed.line}\n    exit {code}: {answer}"
        if found := _MARK.search(answer):
            self.mark = found[0]
        if offered := re.search(r"wearlog join (\d+ \d+)", answer):
            self.twins = offered[1]
        return [as_kept(line) for line in answer.rstrip("\n").replace(f"{self.folder}/", "").splitlines()]

    async def _pressed(self, deed: Pressed) -> list[str]:
        from wearlog.tui.app import Screens

        screens = Screens(os.environ["WEARLOG_DB"])
        async with screens.run_test(size=deed.device.size) as pilot:
            await settled(pilot)
            for one in deed.keys:
                await _press(screens, pilot, one)
            shown = screen_lines(screens)
        screens.gateway.close()
        found = [as_kept(line) for line in shown if any(words in line for words in deed.shows)]
        missing = [words for words in deed.shows if not any(words in line for line in shown)]
        assert not missing, f"{deed.at}: {missing} not on the screen:\n" + "\n".join(shown)
        return found


async def _press(screens: Screens, pilot: Pilot[None], one: str) -> None:
    """Press a key by its name, or the letters of a text one after the other; cautions are read when they stand there."""
    keys: Sequence[str] = (_KEY_NAMES[one],) if one in _KEY_NAMES else [_CHARACTERS.get(key, key) for key in one]
    for key in keys:
        await pilot.press(key)
    await settled(pilot)
    for _ in range(8):
        if not isinstance(screens.screen, ReadFirstPage):
            return
        await pilot.pause(A_GLANCE + 0.05)
        await pilot.press("enter")
        await settled(pilot)


def said_keys(keys: Sequence[str]) -> str:
    """Keys as the page writes them."""
    return " ".join(f"`{one}`" for one in keys)
