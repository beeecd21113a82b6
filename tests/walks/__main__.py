"""Walks the stories and writes docs/walked.md: python -m tests.walks > docs/walked.md (some minutes; needs tmux)."""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from concurrent.futures import ProcessPoolExecutor
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


def walk_alone(number: int, on_demo: bool, size: tuple[int, int], hand: Hand, place: Path) -> Row:
    """Walk one story on a copy of its log; what stopped a walk stands in its row, the first line of it."""
    story = next(one for one in STORIES if one.number == number)
    folder = place / f"{number}-{on_demo}-{size[0]}-{hand.value}"
    folder.mkdir()
    log = None if story.from_nothing else place / ("demo.db" if on_demo else "own.db")
    try:
        return Row(story, on_demo, size, hand, walked(story, hand, size, folder, log, on_demo=on_demo))
    except (AssertionError, ValueError, StopIteration, IndexError) as error:
        # a screen that shows something else than the walk expects, in whichever way it notices
        sys.stderr.write(f"{folder.name}: {error}\n")
        return Row(story, on_demo, size, hand, None)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def rows(place: Path, at_once: int = 3) -> list[Row]:
    """Walk every story on its logs, by both hands, at every size; `at_once` side by side, since most of a walk is waiting.

    What did not come to its end so is walked once more alone.
    """
    demo_log(place)
    own_log(place)
    with ProcessPoolExecutor(at_once) as pool:
        waiting = [
            pool.submit(walk_alone, story.number, on_demo, size, hand, place)
            for story in STORIES
            for on_demo in (True, False)
            if (story.on_demo if on_demo else story.on_own) is not None
            for size in SIZES
            for hand in Hand
        ]
        walked = [one.result() for one in waiting]
    # three side by side, on a machine that others work on, may keep a screen waiting for longer than the walk does
    return [
        one if one.walked else walk_alone(one.story.number, one.on_demo, one.size, one.hand, place) for one in walked
    ]


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as home:
        os.environ.update(WEARLOG_HOME=home, WEARLOG_DEVICE="shop")
        sys.stdout.write(page(rows(Path(home))))
