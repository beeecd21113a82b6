"""How soon the screens are there and how soon a key is answered: medians of 11, beside a bare app in the same run."""

from __future__ import annotations

import statistics
from pathlib import Path

import pytest

from tests.bench.big_log import make_big_log
from tests.bench.pty_app import PtyApp
from tests.tui.small_farm import make_small_farm

pytestmark = pytest.mark.bench

RUNS = 11
USAGE_ROWS = 1_000_000
KEYS = 200
FIRST_PAINT_RATIO, FIRST_DATA_RATIO, KEY_SECONDS = 1.3, 2.5, 0.016
BARE = """
from textual.app import App
from textual.widgets import Static
class Bare(App):
    def compose(self):
        yield Static("BARE APP")
Bare().run()
"""
OPEN = "import sys; from wearlog.tui.start import open_screens; sys.exit(open_screens({log!r}))"


@pytest.fixture(scope="module")
def logs(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    folder = tmp_path_factory.mktemp("logs")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("WEARLOG_HOME", str(folder / "home"))
        patch.setenv("WEARLOG_DEVICE", "shop")
        make_small_farm(folder / "small.db")
        make_big_log(folder / "big.db", USAGE_ROWS)
    return {"small": str(folder / "small.db"), "big": str(folder / "big.db")}


def start(script: str, *words: str) -> list[float]:
    """Return the seconds until each of the words was on the terminal."""
    app = PtyApp(script)
    try:
        return [app.seconds_until(one) for one in words]
    finally:
        app.close()


def test_first_paint_and_first_data_beside_a_bare_app(logs: dict[str, str]) -> None:
    bare: list[float] = []
    ours: dict[str, list[list[float]]] = {name: [] for name in logs}
    # one after the other within each round, so that a busy machine slows all of them alike
    for _ in range(RUNS):
        bare += start(BARE, "BARE APP")
        for name, log in logs.items():
            ours[name].append(start(OPEN.format(log=log), "Yard]", "Kestrel"))
    base = statistics.median(bare)
    print(f"\nbare app: first paint {base:.3f} s")
    for name, times in ours.items():
        paint, data = (statistics.median(column) for column in zip(*times, strict=True))
        print(
            f"{name}: first paint {paint:.3f} s = {paint / base:.2f} x, first data {data:.3f} s = {data / base:.2f} x"
        )
        assert paint <= FIRST_PAINT_RATIO * base
        assert data <= FIRST_DATA_RATIO * base


def test_a_key_is_answered_within_a_frame_in_a_list_of_a_million_rows(logs: dict[str, str]) -> None:
    app = PtyApp(OPEN.format(log=logs["big"]))
    try:
        app.seconds_until("OVERDUE")
        app.quiet(0.3)
        app.seconds_to_answer(b"3")
        app.quiet(0.3)
        app.seconds_to_answer(b"\x1b[C")
        app.seconds_until("from")
        app.quiet(1.0)
        took = []
        for number in range(KEYS):
            # down through the rows, a page now and then
            took.append(app.seconds_to_answer(b"\x1b[6~" if number % 10 == 9 else b"\x1b[B"))
            app.quiet(0.02)
    finally:
        app.close()
    ordered = sorted(took)
    p95 = ordered[int(0.95 * len(ordered))]
    print(f"\nkey to paint: median {ordered[len(ordered) // 2] * 1e3:.1f} ms, p95 {p95 * 1e3:.1f} ms")
    assert p95 <= KEY_SECONDS


def test_a_million_rows_open_as_fast_as_a_thousand(logs: dict[str, str], tmp_path: Path) -> None:
    import time

    from wearlog.tui.door import Door
    from wearlog.tui.questions.farm import combines
    from wearlog.tui.questions.work import runs
    from wearlog.tui.widgets.list_face import PAGE
    from wearlog.tui.widgets.list_rows import ListOrder

    thousand = str(tmp_path / "thousand.db")
    make_big_log(Path(thousand), 1_000)
    order = ListOrder(sort="when", backwards=True)
    medians = {}
    for name, log in (("thousand", thousand), ("million", logs["big"])):
        door = Door(log)
        source = runs(combines(door)[0].row_id)
        took = []
        for _ in range(RUNS):
            begun = time.perf_counter()
            assert len(source.page(door, order, 0, 2 * PAGE)) == 2 * PAGE
            took.append(time.perf_counter() - begun)
        medians[name] = statistics.median(took)
        door.close()
    print("\nfirst page: " + ", ".join(f"{name} {took * 1e3:.1f} ms" for name, took in medians.items()))
    assert medians["million"] <= 2 * medians["thousand"]
