"""Story 4, in a real terminal: no data at all; one machine, one header, one reading; useful answers from guesses, labelled so."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from tests.e2e.terminal import Terminal

#: as a person starts it: `wearlog` alone
START = "import sys; from wearlog.cli.main import run; sys.exit(run([]))"


def test_the_first_day_leads_from_nothing_to_a_useful_yard(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    log = tmp_path / "farm.db"
    monkeypatch.setenv("WEARLOG_DB", str(log))
    with Terminal(tmp_path) as terminal:
        terminal.run(START)
        terminal.wait_for("There is no log at")
        terminal.write("Stony Hill")
        terminal.keys("C-s")
        terminal.wait_for("page 2 of 4: ONE COMBINE")
        terminal.write("Kestrel")
        terminal.keys("Down")
        terminal.write("2 310,4")
        terminal.keys("Down")
        terminal.wait_for("= 2,310.4 h")
        terminal.keys("C-s")
        terminal.wait_for("page 3 of 4: ONE HEADER WITH ITS KNIFE")
        terminal.write("North header")
        terminal.keys("Down")
        terminal.write("forty")
        terminal.keys("Enter")
        terminal.wait_for("! 'forty' is not a number.")
        terminal.keys("C-u")
        terminal.write("40 ft")
        terminal.keys("Down")
        terminal.wait_for("160, at 3 in (76.2 mm) each")
        terminal.keys("C-s")
        terminal.wait_for("page 4 of 4: IS IT RIGHT?")
        shown = " ".join(terminal.wait_for("Enter begins the log").split())
        assert "Kestrel, read" in shown
        assert "engine 2,310.4 h, separator not known" in shown
        assert "160 sections, age unknown" in shown
        assert "STARTING GUESSES, not your records" in shown
        assert not log.exists()
        terminal.keys("Enter")
        terminal.wait_for("The log is begun.")
        shown = " ".join(terminal.wait_for("STARTING GUESSES, not your records").split())
        assert "knife section (160): half are worn after 1,500-8,000 ac on 8 of 10 farms" in shown
        assert ">Kestrel nothing waits combine 2,310.4 h" in shown
        # and the first breakage can be logged at once
        terminal.keys("b")
        terminal.read_cautions()
        terminal.wait_for("Part North header, knife section")
        terminal.write("41-43")
        terminal.keys("r")
        terminal.wait_for("Enter saves: North header, knife sections 41-43: broken by impact, replaced")
        terminal.keys("Enter")
        terminal.wait_for("Saved: North header, knife sections 41-43: broken by impact, replaced")
        terminal.keys("q")
        terminal.wait_for("ENDED WITH 0")
    assert log.exists()


def test_leaving_the_first_day_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("WEARLOG_DB", str(tmp_path / "farm.db"))
    with Terminal(tmp_path, wide=46, high=20) as terminal:
        terminal.run(START)
        terminal.wait_for("There is no log at")
        terminal.write("Stony Hill")
        terminal.keys("C-s")
        terminal.wait_for("ONE COMBINE")
        # an Escape alone is told from the beginning of a longer key by the time that passes after it
        for words in ("page 1 of 4", "Esc again leaves it"):
            terminal.keys("Escape")
            terminal.wait_for(words)
        time.sleep(0.2)
        terminal.keys("Escape")
        terminal.wait_for("[1 Yard]")
        terminal.keys("q")
        terminal.wait_for("ENDED WITH 0")
    assert list(tmp_path.glob("farm.db*")) == []
