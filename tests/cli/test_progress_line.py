"""Long commands at a terminal: how far they are stands on it and goes away, and Ctrl+C in the middle leaves the log as it was."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import pytest

from wearlog.exchange.bundles import pack
from wearlog.logbook.farm.first_day import start_log
from wearlog.settings import shipped
from wearlog.store.inspection import inspect_log
from wearlog.store.location import Location
from wearlog.store.opening import open_store

#: the demo fleet is soon done: here the line stands at once, and `stops_at` sends the signal that Ctrl+C sends
PROGRAM = """
import os, signal, sys
from wearlog import progress
from wearlog.cli import progress_line
from wearlog.cli.main import main
stops_at = float(sys.argv.pop(1))
progress.PATIENCE = progress.BETWEEN = {patience}
step = progress_line.ProgressLine.step
def watched(self, share):
    step(self, share)
    if share >= stops_at:
        os.kill(os.getpid(), signal.SIGINT)
progress_line.ProgressLine.step = watched
main()
"""
NEVER = 2.0


@dataclass(frozen=True)
class Ended:
    code: int
    out: str
    terminal: str


def at_a_terminal(*words: str, stops_at: float = NEVER, patience: float = 0.0) -> Ended:
    """Run a command whose messages go to a pseudo-terminal and whose answer to a pipe."""
    ours, theirs = os.openpty()
    program = (sys.executable, "-c", PROGRAM.format(patience=patience), str(stops_at), *words)
    with subprocess.Popen(
        program,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=theirs,
        text=True,
        # a shell starts what works in the background with Ctrl+C ignored, and so would its children
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
    ) as running:
        os.close(theirs)
        said = b""
        while True:
            try:
                piece = os.read(ours, 1 << 16)
            except OSError:
                # Linux says so when the other side is closed
                break
            if not piece:
                break
            said += piece
        assert running.stdout is not None
        out = running.stdout.read()
    os.close(ours)
    return Ended(running.returncode, out, said.decode())


def shown(terminal: str) -> str:
    """What stands on the terminal in the end: each return to the beginning of the line writes over what is there."""
    lines = []
    for line in terminal.replace("\r\n", "\n").split("\n"):
        stands = ""
        for piece in line.split("\r"):
            stands = piece + stands[len(piece) :]
        lines.append(stands.rstrip())
    return "\n".join(lines)


@pytest.fixture
def log(demo_file: Path, tmp_path: Path) -> Path:
    return Path(shutil.copyfile(demo_file, tmp_path / "farm.db"))


def words_of(command: str, log: Path, folder: Path) -> Sequence[str]:
    """The words of each long command, with something to do."""
    if command == "import":
        empty = folder / "new.db"
        start_log(Location(file=empty)).close()
        return ("import", str(shipped("demo_fleet")), "--db", str(empty))
    if command == "merge":
        store, empty = open_store(Location(file=log)), folder / "new.db"
        pack(store, folder / "stick.bundle")
        store.close()
        start_log(Location(file=empty)).close()
        return ("merge", str(folder / "stick.bundle"), "--yes", "--db", str(empty))
    if command == "report":
        return ("report", str(folder / "season.html"), "--db", str(log))
    return (command, "--db", str(log))


LONG = ("import", "merge", "report", "check", "wear", "plan", "brief")


@pytest.mark.parametrize("command", LONG)
def test_a_long_command_tells_how_far_it_is_and_leaves_its_answer_alone(
    command: str, log: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "one"
    folder.mkdir()
    words = words_of(command, log, folder)
    kept = {file.name: file.read_bytes() for file in folder.iterdir() if file.suffix == ".db"}
    ran = at_a_terminal(*words)
    assert ran.code == 0, ran
    assert f"{command}: " in ran.terminal
    assert "% left" not in ran.terminal
    assert " s left (Ctrl+C stops it)" in ran.terminal
    assert "left (Ctrl+C" not in shown(ran.terminal)
    for name, content in kept.items():
        (folder / name).write_bytes(content)
    quiet = subprocess.run(
        (sys.executable, "-c", "from wearlog.cli.main import main; main()", *words),
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=True,
    )
    assert "Ctrl+C" not in quiet.stderr
    assert ran.out == quiet.stdout


def test_what_is_done_within_a_second_says_nothing(log: Path, tmp_path: Path) -> None:
    assert at_a_terminal("check", "--db", str(log), patience=60.0).terminal == ""


@pytest.mark.parametrize("command", LONG)
@pytest.mark.parametrize("stops_at", [0.2, 0.9])
def test_ctrl_c_in_the_middle_leaves_the_log_as_it_was(
    command: str, stops_at: float, log: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "one"
    folder.mkdir()
    words = words_of(command, log, folder)
    file = Path(words[-1])
    before = file.read_bytes()
    ran = at_a_terminal(*words, stops_at=stops_at)
    assert ran.code == 130
    assert ran.out == ""
    assert shown(ran.terminal).strip() == "wearlog: stopped; what was saved before stays saved."
    assert file.read_bytes() == before
    assert list(folder.rglob("*.part")) == []
    assert not (folder / "season.html").exists()
    # nothing is locked, and nothing has to be played back
    store = open_store(Location(file=file))
    assert inspect_log(store).problems == ()
    store.close()
