"""How far long work is, in one line of the terminal that is written over and goes away; answers never stand beside it."""

from __future__ import annotations

import shutil
import sys
import time
from typing import Final

from wearlog.progress import WorkProgress

#: what is done sooner says nothing
_PATIENCE: Final = 1.0
_BETWEEN: Final = 0.5
_MINUTE: Final = 60.0
#: above so many seconds minutes are told
_IN_MINUTES: Final = 100.0


class ProgressLine:
    """Looks on for a terminal: writes to stderr, after a second and not more than twice in one."""

    def __init__(self, doing: str) -> None:
        self._doing = doing
        self._progress = WorkProgress()
        self._shown_at = 0.0
        self._width = 0

    def step(self, share: float) -> None:
        """Tell how far it is and how long it will take."""
        self._progress.step(share)
        now, left = time.monotonic(), self._progress.left
        if left is None or self._progress.gone < _PATIENCE or now - self._shown_at < _BETWEEN:
            return
        self._shown_at = now
        room = shutil.get_terminal_size().columns - 1
        self._write(f"{self._doing}: {share:.0%}, {_time_said(left)} left (Ctrl+C stops it)"[:room])

    def end(self) -> None:
        """Take the line away before anything else is said."""
        self._progress.end()
        if self._width:
            self._write("")
            sys.stderr.write("\r")
            sys.stderr.flush()

    def _write(self, said: str) -> None:
        # blanks over what stood there, since not every terminal knows how to clear the rest of a line
        sys.stderr.write(f"\r{said.ljust(self._width)}")
        sys.stderr.flush()
        self._width = len(said)


def _time_said(seconds: float) -> str:
    return f"{seconds:.0f} s" if seconds < _IN_MINUTES else f"{seconds / _MINUTE:.0f} min"
