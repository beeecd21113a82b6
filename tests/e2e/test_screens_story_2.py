"""Story 2, in a real terminal: February; a plan within 6,000; a rebuild toggled, saved, undone; the order written; received."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from tests.e2e.terminal import Terminal
from tests.farm_fixtures import demo_file

__all__ = ["demo_file"]

#: the demo farm's story ends in November 2026; the plan is made in the February after
OPEN = """
import sys
from datetime import datetime, UTC
from wearlog.tui.door import Door
Door.now = lambda self: datetime(2027, 2, 10, 17, tzinfo=UTC).astimezone()
from wearlog.tui.start import open_screens
sys.exit(open_screens({log!r}))
"""


def failures(screen: str) -> float:
    """Return the breakages that the plan still expects."""
    found = re.search(r"still about ([\d.]+) breakages", " ".join(screen.split()))
    assert found is not None
    return float(found[1])


def test_the_plan_of_february_from_the_budget_to_the_parts_on_the_shelf(
    demo_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    log = tmp_path / "demo.db"
    shutil.copyfile(demo_file, log)
    monkeypatch.chdir(tmp_path)
    with Terminal(tmp_path, wide=100, high=30) as terminal:
        terminal.run(OPEN.format(log=str(log)))
        terminal.wait_for("OPEN FAULTS")
        terminal.keys("6")
        before = terminal.wait_for("of 6,000 ")
        # what was chosen by hand and loses stands in sight, behind what saves most
        assert ">[x] Plover knife sections" in before
        assert " [x] Alder rasp bars" in before
        # left out for want of money, third in what it would save
        terminal.keys("Down", "Down", "Down")
        before = terminal.wait_for(">[ ] Merlin knife sections")
        # a rebuild of the knife put into the plan: the sums change, and it is marked as not saved
        terminal.keys("Space")
        after = terminal.wait_for("* 1 not saved")
        assert ">[x] Merlin knife sections" in after
        assert failures(after) < failures(before)
        terminal.keys("Enter")
        terminal.wait_for("chosen by hand, saves")
        terminal.keys("Escape")
        terminal.wait_for("* 1 not saved")
        terminal.keys("C-s")
        terminal.wait_for("Saved: the plan for 2027: chose to replace")
        terminal.keys("Right", "Right")
        terminal.wait_for("Hollow Road Parts:")
        # the sums are reckoned anew after the saving: until they stand the key is refused, and says so
        terminal.keys("s")
        while "Enter saves:" not in terminal.wait_until(
            lambda shown: "Enter saves:" in shown or "press the key again" in " ".join(shown.split()), "the file's form"
        ):
            terminal.keys("s")
        terminal.wait_for("Enter saves: the order as one workbook")
        terminal.keys("C-s")
        terminal.wait_for("order-2027.xlsx")
        terminal.keys("s")
        terminal.wait_for("Enter saves: the order as one workbook")
        terminal.keys("Left", "C-s")
        terminal.wait_for("plan-2027.html")
        terminal.keys("+")
        terminal.wait_for("Saved: received")
        terminal.keys("7")
        terminal.wait_for("[7 Stock]")
        # two undos bring the shelf and the plan back
        terminal.keys("u")
        terminal.wait_for("undid: received")
        terminal.keys("u")
        terminal.wait_for("undid: the plan for 2027: chose to replace")
        terminal.keys("6")
        terminal.keys("Left", "Left")
        shown = terminal.wait_for("[ ] Merlin knife sections")
        terminal.wait_until(lambda screen: failures(screen) == failures(before), "the plan as before")
        assert "not saved" not in shown
        terminal.keys("q")
        terminal.wait_for("ENDED WITH 0")
    page = (tmp_path / "plan-2027.html").read_text("utf-8")
    assert "Merlin" in page
    from openpyxl import load_workbook

    sheet = load_workbook(tmp_path / "order-2027.xlsx").active
    assert [cell.value for cell in sheet[1]][:4] == ["order", "supplier", "number", "part"]
    assert any(row[2].value == "QF-1010" for row in sheet.iter_rows(min_row=2))
