"""Story 1, in a real terminal: at the header a section breaks; logged in at most ten keys, seen on the strip, undone."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.e2e.terminal import Terminal
from tests.tui.small_farm import make_small_farm

OPEN = "import sys; from wearlog.tui.start import open_screens; sys.exit(open_screens({log!r}))"


@pytest.fixture
def log(tmp_path: Path) -> str:
    make_small_farm(tmp_path / "farm.db")
    return str(tmp_path / "farm.db")


def marks(screen: str) -> str:
    """Return the breakage marks of the whole bar."""
    return next(line for line in screen.splitlines() if line.strip().startswith("broke ·")).split()[1]


def test_a_breakage_is_logged_seen_and_undone(log: str, tmp_path: Path) -> None:
    with Terminal(tmp_path) as terminal:
        terminal.run(OPEN.format(log=log))
        terminal.wait_for("KS-1 section: 17 on hand")
        pressed = ["b", "4", "1", "-", "4", "3", "r", "Enter"]
        # one more says that the cautions are read
        assert len(pressed) + 1 <= 10
        terminal.keys("b")
        terminal.read_cautions()
        terminal.wait_for("Enter saves: North header, knife section 41")
        terminal.keys(*pressed[1:-1])
        terminal.wait_for("Enter saves: North header, knife sections 41-43: broken by impact, replaced")
        terminal.keys("Enter")
        terminal.wait_for("Saved: North header, knife sections 41-43: broken by impact, replaced;")
        terminal.wait_for("KS-1 section: 14 on hand")
        # each list opens on what its answer names: the header with what runs broken is the second, its knife below the guards
        terminal.keys("Home", "Down", "Enter")
        terminal.wait_for("guards, 80 positions")
        terminal.keys("Down")
        # 3 positions to a mark: 41 and 42 share one, where 41 had broken once before
        assert marks(terminal.wait_for("knife section, 160 positions"))[13:15] == "31"
        terminal.keys("u")
        terminal.wait_for("undid: North header, knife sections 41-43")
        terminal.wait_until(lambda shown: marks(shown)[13:15] == "1·", "the strip as before")
        terminal.keys("1")
        terminal.wait_for("KS-1 section: 17 on hand")
        terminal.keys("q")
        terminal.wait_for("ENDED WITH 0")


def test_an_arrow_and_save_sent_as_one_burst_save_what_the_arrow_chose(log: str, tmp_path: Path) -> None:
    with Terminal(tmp_path) as terminal:
        terminal.run(OPEN.format(log=log))
        terminal.wait_for("KS-1 section: 17 on hand")
        terminal.keys("d")
        terminal.wait_for("Enter saves: Kestrel stands from")
        terminal.keys("Right", "C-s")
        assert "on: weather" in " ".join(terminal.wait_for("Saved: Kestrel stands from").split())
        terminal.keys("q")
        terminal.wait_for("ENDED WITH 0")


def test_a_crash_gives_one_sentence_a_log_file_and_exit_code_1(log: str, tmp_path: Path) -> None:
    script = f"import wearlog.tui.app as app; app.Screens.action_help = lambda self: 1 / 0; {OPEN.format(log=log)}"
    with Terminal(tmp_path, wide=160) as terminal:
        terminal.run(script)
        terminal.wait_for("KS-1 section")
        terminal.keys("?")
        shown = terminal.wait_for("ENDED WITH 1")
    told = " ".join(shown.split())
    assert "wearlog: something broke in the screens (ZeroDivisionError); what was saved is safe." in told
    assert "Traceback" not in told
    written = tmp_path / "home" / "log" / "screens.log"
    assert "ZeroDivisionError: division by zero" in written.read_text("utf-8")


def test_without_a_terminal_the_screens_say_so_and_end_with_2(log: str) -> None:
    done = subprocess.run(
        [sys.executable, "-c", OPEN.format(log=log)],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("wearlog: the screens need a terminal.")


def test_a_whole_breakage_sent_as_one_burst_waits_for_the_cautions_and_is_saved_behind_them(
    log: str, tmp_path: Path
) -> None:
    with Terminal(tmp_path, wide=46, high=20) as terminal:
        terminal.run(OPEN.format(log=log))
        terminal.wait_for("[1 Yard]")
        terminal.keys("b", "4", "1", "r", "Enter")
        terminal.read_cautions()
        assert "knife section 41" in " ".join(terminal.wait_for("Saved: North header").split())
        # a list, what lies under its cursor, and a key of that
        terminal.keys("5", "Enter", "Right")
        terminal.wait_for("[Parts now]")
        terminal.keys("q")
        terminal.wait_for("ENDED WITH 0")
