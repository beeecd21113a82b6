"""A program in a pseudo-terminal, watched from outside: when its words appear and how soon a key is answered."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import struct
import sys
import tempfile
import termios
import time
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
LONGEST_WAIT = 60.0
#: where this process runs ahead of other work (`chrt -r 4`): what it starts stands one step below, so that what comes is seen at
#: once, and a process that goes on from there one step below that, as a machine that does nothing else lets who wakes go first
AHEAD = """import os
os.sched_setscheduler(0, os.SCHED_RR, os.sched_param(3))
os.register_at_fork(after_in_child=lambda: os.sched_setscheduler(0, os.SCHED_RR, os.sched_param(2)))
"""


class PtyApp:
    """A Python script in a terminal of 80x24; `started` is when the process was made."""

    def __init__(self, script: str) -> None:
        unlike = ("COLUMNS", "LINES", "PYTHONDONTWRITEBYTECODE")
        environment = {name: value for name, value in os.environ.items() if name not in unlike}
        environment |= {"TERM": "xterm-256color", "PYTHONPATH": str(ROOT), "WEARLOG_DEVICE": "shop"}
        # an installed program finds its modules compiled; so do all but the first of these
        environment |= {"PYTHONPYCACHEPREFIX": str(Path(tempfile.gettempdir()) / "wearlog_bench_compiled")}
        if sys.platform == "linux" and os.sched_getscheduler(0) == os.SCHED_RR:
            script = AHEAD + script
        self.started = time.perf_counter()
        self.pid, self.terminal = pty.fork()
        if self.pid == 0:
            os.execve(sys.executable, [sys.executable, "-c", script], environment)
        fcntl.ioctl(self.terminal, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        self.output = b""

    def _read(self, seconds: float) -> bytes:
        ready, _, _ = select.select([self.terminal], [], [], seconds)
        if not ready:
            return b""
        try:
            found = os.read(self.terminal, 1 << 16)
        except OSError:
            found = b""
        self.output += found
        return found

    def seconds_until(self, words: str) -> float:
        """Wait for words in the output and return the seconds since the start."""
        wanted, until = words.encode(), time.perf_counter() + LONGEST_WAIT
        while wanted not in self.output:
            assert time.perf_counter() < until, f"'{words}' did not come: {self.output[-2000:]!r}"
            self._read(0.5)
        return time.perf_counter() - self.started

    def quiet(self, seconds: float) -> None:
        """Read until nothing more comes for so long."""
        while self._read(seconds):
            pass

    def seconds_to_answer(self, key: bytes) -> float:
        """Press a key and return the seconds until the first output after it."""
        begun = time.perf_counter()
        os.write(self.terminal, key)
        assert self._read(5.0), "no answer to the key"
        return time.perf_counter() - begun

    def close(self) -> None:
        """End this process and no other."""
        os.kill(self.pid, signal.SIGKILL)
        os.waitpid(self.pid, 0)
        os.close(self.terminal)
