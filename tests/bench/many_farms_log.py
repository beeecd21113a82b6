"""Logs of many demo farms with as many usage rows as wanted, written past the ledger: for measuring what reckoning costs.

What a reckoning reads is as if every row had been entered; there is no journal, whose rows it never looks at.
"""

from __future__ import annotations

import shutil
import sqlite3
from collections import defaultdict
from collections.abc import Iterable
from itertools import islice
from pathlib import Path

from demo_fleet.generator import many_farms
from wearlog.facts.fact import Fact
from wearlog.store.content import row_of
from wearlog.store.finding import write_owned
from wearlog.store.location import Location
from wearlog.store.opening import create_store
from wearlog.store.schema import table_of

#: a run of the demo fleet is a day's work in one field; cut in so many, 100 farms have a million runs and readings
PIECES = 10

_DIVIDED = {
    "id": "randomblob(16)",
    "started_at": "started_at + (ended_at - started_at) * part / {n}",
    "ended_at": "started_at + (ended_at - started_at) * (part + 1) / {n}",
    "area_square_metres": "area_square_metres * (part + 1) / {n} - area_square_metres * part / {n}",
    "separator_seconds": "separator_seconds * (part + 1) / {n} - separator_seconds * part / {n}",
}


def make_many_farms(folder: Path, counts: Iterable[int], pieces: int = PIECES) -> dict[int, Path]:
    """Write a log of so many farms for each count, each with every run cut into `pieces` that follow each other."""
    farms, begun, made = many_farms(max(counts)), 0, {}
    growing = folder / "growing.db"
    store = create_store(Location(file=growing))
    for count in sorted(counts):
        with store.engine.begin() as connection:
            connection.exec_driver_sql("PRAGMA defer_foreign_keys = ON")
            for facts in islice(farms, count - begun):
                for fact_type, rows in _by_type(facts).items():
                    connection.execute(table_of(fact_type).insert(), [row_of(fact) for fact in rows])
                    write_owned(connection, rows)
        begun, made[count] = count, folder / f"{count}_farms.db"
        shutil.copyfile(growing, made[count])
        _cut_runs(made[count], pieces)
    store.close()
    growing.unlink()
    return made


def _by_type(facts: list[Fact]) -> dict[type[Fact], list[Fact]]:
    rows: dict[type[Fact], list[Fact]] = defaultdict(list)
    for fact in facts:
        rows[type(fact)].append(fact)
    return rows


def _cut_runs(file: Path, pieces: int) -> None:
    connection = sqlite3.connect(file)
    connection.execute("PRAGMA synchronous = OFF")
    names = [row[1] for row in connection.execute("PRAGMA table_info(run)")]
    wanted = ", ".join(_DIVIDED.get(name, name).format(n=pieces) for name in names)
    connection.execute("CREATE TEMP TABLE whole AS SELECT * FROM run ORDER BY rowid")
    connection.execute("CREATE TEMP TABLE piece AS SELECT value AS part FROM json_each(?)", [str(list(range(pieces)))])
    connection.execute("DELETE FROM run")
    connection.execute(
        f"INSERT INTO run ({', '.join(names)}) SELECT {wanted} FROM whole, piece ORDER BY whole.rowid, part"
    )
    connection.commit()
    connection.close()
