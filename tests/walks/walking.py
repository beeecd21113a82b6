"""Plays a story in a terminal of its own on a log of its own, by one hand at one size; the log begun empty is entered once."""

from __future__ import annotations

import os
import shlex
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stdout
from dataclasses import dataclass
from datetime import timedelta
from io import StringIO
from pathlib import Path
from unittest.mock import patch

from tests.e2e.terminal import Terminal
from tests.walks.stories import HARVEST, Stage, Story
from tests.walks.walker import Count, Hand, Walker

SIZES = ((46, 20), (80, 24), (120, 40))
#: as a person starts it, by a clock that stands on the evening of the story
START = """
import sys
from datetime import UTC, datetime
import wearlog.tui.door as door
door.machine_now = lambda: datetime({when}, tzinfo=UTC).astimezone()
from wearlog.cli.main import run
sys.exit(run([]))
"""


@dataclass(frozen=True)
class Walked:
    """What a story took: all of it, and how far it was at its marks."""

    count: Count
    marks: dict[str, Count]


def walked(story: Story, hand: Hand, size: tuple[int, int], folder: Path, log: Path | None, *, on_demo: bool) -> Walked:
    """Play a story to its end and return what it took.

    Parameters
    ----------
    story : Story
    hand : Hand
    size : (int, int)
        Columns and lines of the terminal.
    folder : Path
        An empty one, which it gets for itself.
    log : Path or None
        The log that is copied; None where the story begins without one.
    on_demo : bool
        Whether that is the demo fleet.
    """
    when = story.on_demo if on_demo else story.on_own
    assert when is not None
    names = ("Merlin", "Tamarack") if on_demo else ("North", "Kestrel")
    stage = Stage(folder, folder / "farm.db", on_demo, *names)
    if log is not None:
        shutil.copyfile(log, stage.log)
    story.lays(stage)
    with _there(folder), Terminal(folder, *size) as terminal:
        seen = os.environ.get("WALKS_SEEN")
        file = (
            Path(seen) / f"{story.number}_{size[0]}_{hand.value}_{'demo' if on_demo else 'own'}.txt" if seen else None
        )
        walk = Walker(terminal, hand, *size, seen=file)
        terminal.run(START.format(when=f"{when.year},{when.month},{when.day},{when.hour}"))
        walk.sees("page 1 of 4" if story.from_nothing else "[1 Yard]")
        walk.settles()
        story.play(walk, stage)
        return Walked(walk.count, walk.marks)


@contextmanager
def _there(folder: Path) -> Iterator[None]:
    environment = {"WEARLOG_HOME": str(folder / "home"), "WEARLOG_DB": str(folder / "farm.db")}
    before = Path.cwd()
    os.chdir(folder)
    try:
        with patch.dict(os.environ, environment):
            yield
    finally:
        os.chdir(before)


#: what the first day leaves in a log, typed instead of walked; the cuts of two days behind it
_OWN = (
    "add combine Kestrel --engine 2310.4 --separator 1702 --price 585000 --services usual",
    "add header North --width 40ft --knife 160 --guards 80 --services usual",
    "hitch north kestrel",
    "add component hold-downs --on north --kind hold-down --positions 40 --age unknown",
    "add component 'feeder chain' --on kestrel --kind 'feeder conveyor chain' --age 900",
    "add component 'rasp bars' --on kestrel --kind 'rasp bars' --age 650",
    "add part KS-3 --fits 'knife section' --price 4.60 --pack 25 --on-hand 50 --keep 40 --supplier 'the counter'",
    "add season 2026",
)


def own_log(folder: Path) -> Path:
    """Begin a log empty with one combine, one header and a shelf; return its file."""
    from wearlog.cli.main import run

    file = folder / "own.db"
    morning = HARVEST.astimezone() - timedelta(days=3)
    with patch("wearlog.cli.options.machine_now", lambda: morning), redirect_stdout(StringIO()):
        for line in _OWN:
            assert run([*shlex.split(line), "--db", str(file)]) == 0, line
    return file
