"""A real terminal for end-to-end tests: a tmux session of its own, keys in, the screen out."""

from __future__ import annotations

import os
import shlex
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from types import TracebackType

import pytest

from wearlog.tui.screens.cautions import A_GLANCE

ROOT = Path(__file__).parent.parent.parent
#: long enough for a slow machine that is busy with other tests
PATIENCE_SECONDS = 30.0


class Terminal:
    """A session on a tmux server of its own. Use it in a with block: leaving it ends that server only."""

    def __init__(self, folder: Path, wide: int = 80, high: int = 24) -> None:
        if shutil.which("tmux") is None and sys.platform != "linux":
            # on Linux its absence is an error: the test command installs it
            pytest.skip("no tmux on this machine, so no terminal is driven")
        self.socket = str(folder / "tmux.sock")
        # the size comes from the terminal itself, not from what other tests are told
        left_out = ("TMUX", "TMUX_PANE", "COLUMNS", "LINES")
        self.environment = {name: value for name, value in os.environ.items() if name not in left_out}
        self.environment |= {"TERM": "xterm-256color", "PYTHONPATH": str(ROOT), "WEARLOG_DEVICE": "shop"}
        self._tmux("-f", "/dev/null", "new-session", "-d", "-x", str(wide), "-y", str(high), "sh")

    def __enter__(self) -> Terminal:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._tmux("kill-server")

    def _tmux(self, *words: str) -> str:
        done = subprocess.run(
            ["tmux", "-S", self.socket, *words], capture_output=True, text=True, check=True, env=self.environment
        )
        return done.stdout

    def run(self, script: str) -> None:
        """Run a Python script in the terminal; when it has ended, its exit code is written as "ENDED WITH n"."""
        command = f"{shlex.quote(sys.executable)} -c {shlex.quote(script)}; echo ENDED WITH $?"
        self._tmux("send-keys", "-l", command)
        self.keys("Enter")

    def keys(self, *names: str) -> None:
        """Press keys by tmux's names."""
        self._tmux("send-keys", *names)

    def read_cautions(self) -> None:
        """Look at the cautions that stand before the work, and say that they are read."""
        self.wait_for("Enter I have read it")
        time.sleep(2 * A_GLANCE)
        self.keys("Enter")

    def write(self, text: str) -> None:
        """Type a text letter by letter."""
        self._tmux("send-keys", "-l", text)

    def screen(self) -> str:
        """Return what the terminal shows."""
        return self._tmux("capture-pane", "-p")

    def wait_for(self, words: str) -> str:
        """Wait until the screen shows these words, whatever lines they are on, and return it."""
        return self.wait_until(lambda shown: words in " ".join(shown.split()), f"'{words}'")

    def wait_until(self, holds: Callable[[str], bool], what: str) -> str:
        """Wait until something holds for the screen."""
        until = time.monotonic() + PATIENCE_SECONDS
        while True:
            shown = self.screen()
            if holds(shown):
                return shown
            assert time.monotonic() < until, f"{what} did not come; the screen shows:\n{shown}"
            time.sleep(0.05)
