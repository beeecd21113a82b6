"""Running what a text shows, in one process, as a person in a terminal who answers every question with Enter."""

from __future__ import annotations

import io
import shlex
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path

import pytest

from tests.cli.running import Wearlog
from wearlog.cli.main import run
from wearlog.machine_clock import MachineClock

#: the evening on which the lines of the texts are typed: the harvest is on, and the season to plan is the next one
EVENING = datetime(2026, 8, 14, 21, 0, tzinfo=MachineClock())


class Enter(io.StringIO):
    """A person at a terminal who only ever presses Enter."""

    def isatty(self) -> bool:
        return True

    def readline(self, size: int | None = -1, /) -> str:
        return "\n"


def at_the_terminal(monkeypatch: pytest.MonkeyPatch, folder: Path, now: datetime) -> None:
    """Work in `folder` from now on, with its log as the usual one, at that time of this machine's clock."""
    folder.mkdir(exist_ok=True)
    monkeypatch.chdir(folder)
    monkeypatch.setenv("WEARLOG_HOME", str(folder / "home"))
    monkeypatch.setenv("WEARLOG_DB", str(folder / "farm.db"))
    monkeypatch.setattr("wearlog.cli.options.machine_now", lambda: now)
    monkeypatch.setattr("sys.stdin", Enter())


def words_of(line: str) -> list[str]:
    """Return the words behind `wearlog`, as a shell splits them; a shell's own `<FILE` and `> FILE` are not among them."""
    program, *words = shlex.split(line.partition(" > ")[0])
    assert program == "wearlog"
    return [word for word in words if not word.startswith("<")]


def failures(wearlog: Wearlog, lines: Iterable[str]) -> list[str]:
    """Run lines one after the other; return those that failed, each with what was said."""
    failed = []
    for line in lines:
        done = wearlog(*words_of(line))
        if into := line.partition(" > ")[2]:
            Path(into).write_text(done.out)
        if done.code != 0:
            failed.append(f"{line}\n    exit {done.code}: {done.err.strip()}")
    return failed


def run_in_order(lines: Iterable[str]) -> list[str]:
    """Run lines where no test captures what is said; return those that failed."""
    return [line for line in lines if run(words_of(line)) != 0]
