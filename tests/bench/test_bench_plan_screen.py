"""A choice on the plan's screen: from the key to sums in words on the demo fleet, beside the plan settled anew in the same run."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.tui.demo_log import demo_file, demo_log
from wearlog.facts.closed_lists import Choice
from wearlog.present.plan.plan_line_sheet import PlanRow
from wearlog.tui.door import Door
from wearlog.tui.questions.plan import PlanOnScreen, choose_at_once, plan_now, settle
from wearlog.tui.screens.plan.plan_lists import plan_source
from wearlog.tui.widgets.list_rows import FixedSource

__all__ = ["demo_file", "demo_log"]
pytestmark = pytest.mark.bench
#: the owner's limit for a choice, and what a key on the screens may take to its first paint
AT_ONCE_SECONDS, KEY_SECONDS = 0.050, 0.100


def seconds(work: Callable[[], object]) -> float:
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun


def other(row: PlanRow) -> Choice:
    """The choice that changes a line."""
    return Choice.RUN if row.done else Choice.REPLACE


def drawn(shown: PlanOnScreen) -> FixedSource:
    """The rows of the list in words."""
    return plan_source("lines", shown.page, show_all=False)


def test_a_choice_has_its_sums_in_words_within_50_ms(demo_log: str, capsys: pytest.CaptureFixture[str]) -> None:
    door = Door(demo_log)
    shown = plan_now(door)
    at_once, anew = [], []
    for row in shown.page.rows.values():
        choices = {row.component_id: other(row)}
        at_once.append(seconds(lambda now=choices: drawn(choose_at_once(door, shown, now))))  # type: ignore[misc]
        anew.append(seconds(lambda now=choices: drawn(settle(door, shown, now))))  # type: ignore[misc]
    door.close()
    p95 = sorted(at_once)[int(0.95 * len(at_once))]
    with capsys.disabled():
        print(
            f"\n{len(at_once)} choices, words included: at once median {statistics.median(at_once) * 1e3:.0f} ms, p95"
            f" {p95 * 1e3:.0f} ms, largest {max(at_once) * 1e3:.0f} ms (allowed 50); settled anew median"
            f" {statistics.median(anew) * 1e3:.0f} ms, largest {max(anew) * 1e3:.0f} ms"
        )
    assert p95 < AT_ONCE_SECONDS


def test_a_key_changes_the_sums_on_the_screen(
    demo_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    import shutil

    from tests.bench.pty_app import PtyApp

    shutil.copyfile(demo_file, tmp_path / "demo.db")
    script = (
        f"import sys; from wearlog.tui.start import open_screens; sys.exit(open_screens({str(tmp_path / 'demo.db')!r}))"
    )
    app = PtyApp(script)
    took = []
    try:
        app.seconds_until("OPEN FAULTS")
        app.quiet(0.5)
        app.seconds_to_answer(b"6")
        app.seconds_until("failures")
        app.quiet(1.0)
        for _ in range(20):
            # the terminal's first output after the key is the line with its mark and the sums, painted together
            took.append(app.seconds_to_answer(b" "))
            app.quiet(0.4)
    finally:
        app.close()
    p95 = sorted(took)[int(0.95 * len(took))]
    with capsys.disabled():
        print(f"\nkey to painted sums: median {statistics.median(took) * 1e3:.0f} ms, p95 {p95 * 1e3:.0f} ms")
    assert p95 < KEY_SECONDS
