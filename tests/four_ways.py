"""How many files of wearlog work on four ways that everybody goes: python -m tests.four_ways LOG (a log of the demo fleet).

A file counts when one of its functions runs for the way itself. What is only imported does not count, and neither does what a
module does while it is loaded. The screens' ways are counted from the first key, which is pressed when all is painted, to the
answer that is painted; what the deed does not wait for (`BESIDE`: the yard below, the strip's picture) is not of it. LOG is copied
first.
"""

from __future__ import annotations

import contextlib
import io
import shutil
import sys
import tempfile
import threading
from collections.abc import Callable
from pathlib import Path
from time import monotonic
from types import FrameType
from typing import Any

from textual.worker import active_worker

import wearlog
from wearlog.tui.gateway import BESIDES

PACKAGE = str(Path(wearlog.__file__).parent)
#: optimized and with locals of its own: a function, and not the body of a class or a module
_FUNCTION = 0x3
#: seconds after which an answer is not waited for any more
LONGEST = 120
#: questions that a deed does not wait for
BESIDE = BESIDES | {"strip"}


class Ran:
    """The files whose functions ran while it is on."""

    def __init__(self) -> None:
        self.files: set[str] = set()
        self.is_on = False
        threading.setprofile(self._called)
        sys.setprofile(self._called)

    def _called(self, frame: FrameType, event: str, arg: Any) -> None:
        if not self.is_on or event != "call":
            return
        name = frame.f_code.co_filename
        is_new = name.startswith(PACKAGE) and name not in self.files and frame.f_code.co_flags & _FUNCTION == _FUNCTION
        if is_new and not _while_loading(frame) and not _is_beside():
            self.files.add(name)


def _while_loading(frame: FrameType | None) -> bool:
    """Whether a module is being loaded further up: decorators and tables of a module run then, and not the way."""
    while frame is not None:
        if frame.f_code.co_name == "<module>" and frame.f_code.co_filename.startswith(PACKAGE):
            return True
        frame = frame.f_back
    return False


def _is_beside() -> bool:
    """Whether this thread works on a question that the deed does not wait for."""
    worker = active_worker.get(None)
    return threading.current_thread() is not threading.main_thread() and worker is not None and worker.name in BESIDE


def command(ran: Ran, *words: str) -> None:
    """Run a command line, its answer thrown away."""
    from wearlog.cli.main import run

    ran.is_on = True
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
        code = run([*words])
    ran.is_on = False
    assert code == 0, words


def screen(ran: Ran, log: str, before: tuple[str, ...], keys: tuple[str, ...], until: str) -> None:
    """Open the screens, press `before` uncounted, then the keys of the way, until its answer is painted."""
    from tests.tui.piloting import play, press, screen_text, settled

    async def steps(screens: Any, pilot: Any) -> None:
        await press(pilot, *before)
        await screens.workers.wait_for_complete()
        await settled(pilot)
        ran.is_on = True
        for key in keys:
            await pilot.press(key)
        given_up = monotonic() + LONGEST
        while until not in screen_text(screens):
            assert monotonic() < given_up, f"'{until}' was not painted: {screen_text(screens)}"
            await pilot.pause(0.005)
        ran.is_on = False

    play(log, steps)


def ways(log: str) -> dict[str, Callable[[Ran], None]]:
    """The four ways on a log that is theirs."""
    line = "3 sections 41-43 rock, 20 min, merlin"
    return {
        "a breakage from the command to disk": lambda ran: command(ran, "log", line, "--yes", "--db", log),
        "a breakage from the screen to disk": lambda ran: screen(ran, log, (), ("b", *"41-43", "r", "enter"), "Saved"),
        "wear KIND": lambda ran: command(ran, "wear", "knife section", "--db", log),
        "a plan line toggled": lambda ran: screen(ran, log, ("6",), ("space",), "by hand *"),
    }


def main(log: str, only: str = "") -> None:
    """Print the number of files of each way; with the beginning of a way's name its files as well."""
    for name in ways(log):
        with tempfile.TemporaryDirectory() as folder:
            copy = shutil.copyfile(log, Path(folder) / "log.db")
            ran = Ran()
            ways(str(copy))[name](ran)
        sys.setprofile(None)
        threading.setprofile(None)
        print(f"{len(ran.files):4} {name}")
        if only and name.startswith(only):
            print("\n".join(sorted(file.removeprefix(PACKAGE + "/") for file in ran.files)))


if __name__ == "__main__":
    main(*sys.argv[1:])
