"""How far long work is, in one line of the terminal that is written over and goes away; answers never stand beside it."""

from __future__ import annotations

import shutil
import sys
import time

from wearlog import progress
from wearlog.progress import WorkProgress


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
        now, said = time.monotonic(), self._progress.said
        if not said or now - self._shown_at < progress.BETWEEN:
            return
        self._shown_at = now
        room = shutil.get_terminal_size().columns - 1
        self._write(f"{self._doing}: {said} (Ctrl+C stops it)"[:room])

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
