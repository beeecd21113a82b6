"""Walks the stories and writes docs/walked.md: python -m tests.walks > docs/walked.md (some minutes; needs tmux)."""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from collections.abc import Iterator
from contextlib import redirect_stdout
from pathlib import Path

from tests.e2e.terminal import ROOT
from tests.walks.page import Row, page
from tests.walks.stories import STORIES
from tests.walks.walker import Hand
from tests.walks.walking import SIZES, own_log, walked


def demo_log(folder: Path) -> Path:
    """Bring the demo fleet into a log of its own and return its file."""
    from wearlog.cli.main import run

    file = folder / "demo.db"
    with redirect_stdout(sys.stderr):
        assert run(["import", str(ROOT / "demo_fleet"), "--db", str(file)]) == 0
    return file


def rows(place: Path) -> Iterator[Row]:
    """Walk every story on its logs, by both hands, at every size."""
    logs = {True: demo_log(place), False: own_log(place)}
    for story in STORIES:
        for on_demo in (True, False):
            if (story.on_demo if on_demo else story.on_own) is None:
                continue
            for size in SIZES:
                for hand in Hand:
                    folder = place / f"{story.number}-{on_demo}-{size[0]}-{hand.value}"
                    folder.mkdir()
                    log = None if story.from_nothing else logs[on_demo]
                    yield Row(story, on_demo, size, hand, walked(story, hand, size, folder, log, on_demo=on_demo))
                    shutil.rmtree(folder)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as home:
        os.environ.update(WEARLOG_HOME=home, WEARLOG_DEVICE="shop")
        sys.stdout.write(page(list(rows(Path(home)))))
