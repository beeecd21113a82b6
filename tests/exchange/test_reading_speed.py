"""Reading stays linear in the number of rows, and quick enough not to be waited for."""

from __future__ import annotations

import time
import tracemalloc
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from wearlog.exchange.source import read_source
from wearlog.logbook.names import KnownNames

NOW = datetime(2040, 1, 1, tzinfo=UTC)


def write_runs(folder: Path, count: int) -> Path:
    folder.mkdir()
    (folder / "machine.csv").write_text("name,kind\nJuniper,combine\nPlover,header\n")
    (folder / "field.csv").write_text("name,area_ac,ground\n" + "".join(f"F{n},100,stony\n" for n in range(50)))
    begin = datetime(2010, 1, 1)
    lines = ["combine,header,field,started,ended,area_ac,separator_h,cut_height,yield_kg_per_ha\n"]
    for n in range(count):
        start = begin + timedelta(hours=2 * n)
        end = start + timedelta(hours=1)
        lines.append(
            f"Juniper,Plover,F{n % 50},{start:%Y-%m-%d %H:%M}Z,{end:%Y-%m-%d %H:%M}Z,{n % 31}.5,0.{n % 9},low,3000\n"
        )
    (folder / "run.csv").write_text("".join(lines))
    return folder


def seconds(folder: Path, count: int) -> float:
    began = time.perf_counter()
    reading = read_source(folder, KnownNames(), time_zone="America/Chicago", now=NOW)
    assert len(reading.facts) == count + 52
    return time.perf_counter() - began


@pytest.mark.bench
def test_four_times_the_rows_take_four_times_the_time_and_memory(tmp_path: Path) -> None:
    small, large = write_runs(tmp_path / "small", 25_000), write_runs(tmp_path / "large", 100_000)
    ratio = min(seconds(large, 100_000) for _ in range(2)) / min(seconds(small, 25_000) for _ in range(2))
    peaks = []
    for folder, count in ((small, 25_000), (large, 100_000)):
        tracemalloc.start()
        seconds(folder, count)
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    print(f"time x {ratio:.2f}, memory x {peaks[1] / peaks[0]:.2f}, {peaks[1] / 100_000:.0f} bytes a row")
    assert ratio < 6
    assert peaks[1] / peaks[0] < 5
