"""What is measured of the screens in a terminal of their own, each beside a bare app in turns, as ratios of seconds on the wall."""

from __future__ import annotations

import math
import statistics
from collections.abc import Callable
from functools import lru_cache
from pathlib import Path

import pytest

from tests.bench.big_log import make_big_log
from tests.bench.pty_app import PtyApp
from tests.bench.test_bench_screens import BARE, OPEN, USAGE_ROWS, start
from tests.tui.small_farm import make_small_farm

ROUNDS, KEYS = 9, 200
#: a word of the Yard's figures, none of its names
FIGURES = "OVERDUE"
#: at the frame rate of the screens: at the usual one a key may wait for its frame, and the floor would be none
BARE_KEYS = """
import os
os.environ["TEXTUAL_FPS"] = "240"
from textual.app import App
from textual.widgets import Static
class Bare(App):
    pressed = 0
    def compose(self):
        yield Static("BARE APP")
    def on_key(self):
        self.pressed += 1
        self.query_one(Static).update(f"key {self.pressed}")
Bare().run()
"""


def first_paint(folder: Path) -> float:
    """The first paint of the Yard of a small farm, against the first of a bare app."""
    return _opened(folder)[0]


def all_figures(folder: Path) -> float:
    """All figures of the Yard of a small farm, against the first paint of a bare app."""
    return _opened(folder)[1]


@lru_cache(maxsize=1)
def _opened(folder: Path) -> tuple[float, float]:
    log = _made(folder / "small.db", make_small_farm)
    # one after the other within each round, so that a busy machine slows both alike; the first round only compiles
    both = [(start(BARE, "BARE APP")[0], start(OPEN.format(log=log), "Yard]", FIGURES)) for _ in range(ROUNDS + 1)]
    rounds = both[1:]
    bare = statistics.median(one for one, _ in rounds)
    paint, figures = (statistics.median(column) for column in zip(*(ours for _, ours in rounds), strict=True))
    return paint / bare, figures / bare


def key_to_paint(folder: Path) -> float:
    """A key in a list of a million runs, against a key that a bare app shows, both so that 95 of 100 are quicker."""
    log = _made(folder / "big.db", lambda file: make_big_log(file, USAGE_ROWS))
    bare, ours = PtyApp(BARE_KEYS), PtyApp(OPEN.format(log=log))
    try:
        bare.seconds_until("BARE APP")
        ours.seconds_until(FIGURES)
        for key, word in ((b"3", ""), (b"\x1b[C", "from")):
            ours.quiet(0.5)
            ours.seconds_to_answer(key)
            if word:
                ours.seconds_until(word)
        bare.quiet(1.0)
        ours.quiet(1.0)
        pairs = []
        for number in range(KEYS):
            # down through the rows, a page now and then
            key = b"\x1b[6~" if number % 10 == 9 else b"\x1b[B"
            pairs.append((bare.seconds_to_answer(key), ours.seconds_to_answer(key)))
            bare.quiet(0.02)
            ours.quiet(0.02)
    finally:
        bare.close()
        ours.close()
    floor, took = (sorted(column)[math.ceil(0.95 * KEYS) - 1] for column in zip(*pairs, strict=True))
    return took / floor


def _made(file: Path, make: Callable[[Path], object]) -> str:
    if not file.exists():
        with pytest.MonkeyPatch.context() as patch:
            patch.setenv("WEARLOG_HOME", str(file.with_name("screens_home")))
            patch.setenv("WEARLOG_DEVICE", "shop")
            make(file)
    return str(file)
