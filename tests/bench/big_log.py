"""A log with as many usage rows as wanted, written past the ledger: for measuring what reading them costs, nothing else."""

from __future__ import annotations

import os
import sqlite3
from datetime import UTC, datetime
from pathlib import Path

from tests.tui.small_farm import make_small_farm

_YEAR = 365 * 86_400 * 1_000_000


def make_big_log(file: Path, usage_rows: int) -> None:
    """Write the small farm with `usage_rows` more runs of its combine, spread over the twenty years before."""
    make_small_farm(file)
    connection = sqlite3.connect(file)
    combine = connection.execute("SELECT id FROM machine WHERE name = 'Kestrel'").fetchone()[0]
    first = connection.execute("SELECT min(started_at) FROM run").fetchone()[0] - 20 * _YEAR
    step = 20 * _YEAR // max(usage_rows, 1)
    ids = os.urandom(16 * usage_rows)
    rows = (
        (ids[16 * place : 16 * place + 16], 0, combine, first + place * step, first + place * step + step // 2, 900)
        for place in range(usage_rows)
    )
    connection.executemany(
        "INSERT INTO run (id, voided, combine_id, started_at, ended_at, area_square_metres) VALUES (?, ?, ?, ?, ?, ?)",
        rows,
    )
    connection.commit()
    connection.close()


if __name__ == "__main__":
    import sys

    os.environ.setdefault("WEARLOG_DEVICE", "shop")
    make_big_log(Path(sys.argv[1]), int(sys.argv[2]))
    sys.stdout.write(f"{datetime.now(UTC):%H:%M:%S} made {sys.argv[1]}\n")
