"""The season plan of the demo fleet: reckoned anew, and a line toggled; beside a plain matrix product of the same run."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from tests.farm_fixtures import demo_file, demo_store
from tests.planned_choices import chosen, within
from wearlog.facts.closed_lists import Choice
from wearlog.plan.budget import Limits
from wearlog.reckoning.farm import farm_from
from wearlog.reckoning.plan.season_plan import SeasonPlanView, season_plan, what_more_buys
from wearlog.reckoning.plan.toggle import sums_at_once
from wearlog.store.opening import Store

__all__ = ["demo_file", "demo_store"]
pytestmark = pytest.mark.bench
WINTER = datetime(2026, 11, 20, 18, tzinfo=UTC)


def seconds(work: Callable[[], object]) -> float:
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun


def yardstick() -> float:
    """One product of two 500 x 500 matrices in double precision."""
    matrix = np.random.default_rng(0).random((500, 500))
    return min(seconds(lambda: matrix @ matrix) for _ in range(20))


def test_the_plan_of_the_demo_fleet_in_under_three_seconds(
    demo_store: Store, capsys: pytest.CaptureFixture[str]
) -> None:
    def plan() -> SeasonPlanView:
        with demo_store.reading() as connection:
            return season_plan(connection, farm_from(connection, WINTER))

    view = plan()
    took = statistics.median(seconds(plan) for _ in range(5))
    report = seconds(lambda: what_more_buys(view))
    floor = yardstick()
    with capsys.disabled():
        print(
            f"\n{len(view.lines)} components, {len(view.found.spares)} parts: plan {took:.2f} s (allowed 3), {took / floor:.0f}"
            f" matrix products of {floor * 1e3:.1f} ms; what the next 100 buys {report * 1e3:.0f} ms"
        )
    assert took < 3


def test_a_toggle_in_under_50_ms(demo_store: Store, capsys: pytest.CaptureFixture[str]) -> None:
    with demo_store.reading() as connection:
        view = season_plan(connection, farm_from(connection, WINTER))
    at_once = [
        seconds(lambda line=line: sums_at_once(view, view, {line.component.id: Choice.REPLACE}))  # type: ignore[misc]
        for line in view.lines[:30]
    ]
    settled = [seconds(lambda at=at: chosen(view, at, Choice.REPLACE)) for at in range(30)]  # type: ignore[misc]
    free = within(view, Limits())
    unlimited = [seconds(lambda at=at: chosen(free, at, Choice.RUN)) for at in range(30)]  # type: ignore[misc]
    with capsys.disabled():
        for name, took in (("sums at once", at_once), ("settled anew", settled), ("settled, no budget", unlimited)):
            print(f"\n{name}: median {statistics.median(took) * 1e3:.0f} ms, largest {max(took) * 1e3:.0f} ms", end="")
        print(" (allowed 50 for the sums at once)")
    assert statistics.median(at_once) < 0.05


def test_writing_the_report_in_under_six_seconds(
    demo_store: Store, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from wearlog.exchange.season_report.content import write_report

    with demo_store.reading() as connection:
        view = season_plan(connection, farm_from(connection, WINTER))
    first = seconds(lambda: write_report(demo_store, WINTER, tmp_path / "a.html", view))
    again = seconds(lambda: write_report(demo_store, WINTER, tmp_path / "b.html", view))
    size = (tmp_path / "b.html").stat().st_size
    with capsys.disabled():
        print(f"\nreport of {size / 1024:.0f} KiB: first {first:.2f} s (matplotlib loads), again {again:.2f} s")
    assert first < 6
