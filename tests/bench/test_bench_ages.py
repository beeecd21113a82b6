"""The age of every fitting of 100 demo farms in one file, read and reckoned anew."""

from __future__ import annotations

import time
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from wearlog.logbook.files.importing import bring_in
from wearlog.reckoning.farm import FleetLines
from wearlog.reckoning.parts.fitted_now import fitting_ages
from wearlog.store.histories import read_histories
from wearlog.store.location import Location
from wearlog.store.opening import create_store
from wearlog.store.schema.types import microseconds

pytestmark = pytest.mark.bench


def test_every_age_of_100_farms_in_under_two_seconds(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from demo_fleet.generator import many_farms

    store = create_store(Location(file=tmp_path / "many.db"))
    for facts in many_farms(100):
        bring_in(store, facts, source="bench", digest="")
    now = microseconds(datetime(2026, 11, 20, tzinfo=UTC))
    with store.reading() as connection:
        begun = time.perf_counter()
        histories = read_histories(connection)
        read = time.perf_counter()
        ages = fitting_ages(histories, FleetLines(histories), now)
        done = time.perf_counter()
    floor_begun = time.perf_counter()
    np.cumsum(np.sort(histories.fittings.fitted_at))
    floor = time.perf_counter() - floor_begun
    with capsys.disabled():
        print(
            f"\n{ages.exit.size:,} fittings, {histories.runs.start.size:,} runs, {len(histories.machines.ids)} machines: "
            f"read {read - begun:.2f} s, reckon {done - read:.2f} s, together {done - begun:.2f} s (allowed 2); "
            f"one sort and sum of the fittings {floor * 1e3:.1f} ms"
        )
    assert ages.exit.size > 400_000
    assert done - begun < 2
