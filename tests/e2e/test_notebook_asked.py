"""A notebook gone through in a real terminal: columns, what is to be made, doubtful rows; then one entry is saved."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

from tests.e2e.terminal import ROOT, Terminal
from tests.farm_fixtures import entered_farm, file_farm
from tests.small_farm import SmallFarm
from wearlog.facts.bookkeeping import ImportProfile
from wearlog.facts.closed_lists import Ground, MachineKind
from wearlog.facts.machines import Machine
from wearlog.facts.wearing import Breakage
from wearlog.facts.work import Field, Run
from wearlog.store.finding import find_all

__all__ = ["entered_farm", "file_farm"]

BOOK = """Our book,,,,,,,
Date,Combine,Header,Land,Item,Pos,Remedy by,Cut there
8/3/2026,Kestrel,North,Mill,,,,85
8/4/2026,Kestrel,North,Mill,,,,60
8/4/2026,,North,,section,90,rock,
8/5/2026,,North,,section,,rock,
8/6/2026,,West,,section,12,rock,
8/7/2026,,North,,section,,stone,
"""
EVENING = (
    "import sys; from datetime import UTC, datetime; import wearlog.cli.options as options; "
    "options.machine_now = lambda: datetime(2026, 8, 20, 21, tzinfo=UTC); from wearlog.cli.main import run; "
)


def command(folder: Path, log: Path | None, *more: str) -> str:
    (folder / "book.csv").write_text(BOOK, "utf-8")
    return f"{EVENING}sys.exit(run({['notebook', str(folder / 'book.csv'), '--db', str(log), *more]!r}))"


def test_a_notebook_is_asked_through_in_a_terminal_and_saved_as_one_entry(file_farm: SmallFarm, tmp_path: Path) -> None:
    with Terminal(tmp_path, wide=150, high=60) as terminal:
        terminal.run(command(tmp_path, file_farm.store.location.file))
        for question, answer in (
            ("heading or letter (Enter: none):", "Cut there"),
            ("What does Cut there hold (Enter: it stays):", "area"),
            ("Cut there: area, by you said so Which column is wrong: heading or letter (Enter: none):", ""),
            ("day or month (Enter: asked row by row):", "month"),
            ("Machine 'West' is not there (1 row). Make it 'header' (y/n, or what it is ('header 35 ft'),", "y"),
            ("Field 'Mill' is not there (2 rows). Make it 'field 145 ac clean' (y/n,", "field 160 ac stony"),
            ("West has no knife section in the log (1 row). Make it (y/n):", "y"),
            ("csv 6: 8/5/2026 | North | section | rock Which of the 160: no position is named.", "41"),
            ("csv 8: 8/7/2026 | North | section | stone Which of the 160: no position is named.", ""),
        ):
            terminal.wait_for(question)
            terminal.write(answer)
            terminal.keys("Enter")
        terminal.wait_for("5 rows to save, 1 to ask about, 2 that save nothing. Save 5 rows as one entry? [Y/n]:")
        terminal.keys("Enter")
        shown = terminal.wait_for("ENDED WITH 0")
        assert "Saved 5 of 6 rows as one entry; 'wearlog undo' takes it back." in shown
    with file_farm.store.reading() as connection:
        assert [(one.area_square_metres, one.ground) for one in find_all(connection, Field) if one.name == "Mill"] == [
            (647_497, Ground.STONY)
        ]
        assert {one.name: one.kind for one in find_all(connection, Machine)}["West"] is MachineKind.HEADER
        assert sorted(one.positions for one in find_all(connection, Breakage)) == [(12,), (41,), (90,)]
        assert len(find_all(connection, Run)) == 2
        kept = json.loads(find_all(connection, ImportProfile, name="book.csv")[0].content)
    assert kept == {"columns": {"cut there": "area"}, "order": "month_first", "words": {}}


def test_without_a_terminal_nobody_is_asked(file_farm: SmallFarm, tmp_path: Path) -> None:
    log = file_farm.store.location.file
    ran = subprocess.run(
        [sys.executable, "-c", command(tmp_path, log)],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONPATH": str(ROOT), "WEARLOG_HOME": str(tmp_path / "home")},
        check=False,
    )
    assert "Which column is wrong" not in ran.stderr
    assert "? Which of the 160: no position is named." in ran.stderr
    assert ran.stdout == "Nothing was saved.\n"
    with file_farm.store.reading() as connection:
        assert find_all(connection, ImportProfile) == []
