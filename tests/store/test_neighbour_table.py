"""Lives of many farms on a real server: its own sums are those of numpy, and end in the same guesses."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from sqlalchemy import MetaData

from wearlog.errors import NotFoundError, RefusedError
from wearlog.exchange.neighbour_desk import HEADINGS, read_neighbour_files, read_neighbour_server
from wearlog.store.engine import make_engine
from wearlog.store.location import Location
from wearlog.store.neighbour_table import neighbour_table

pytestmark = pytest.mark.postgres


def rows_of(farms: int, lives: int) -> list[dict[str, object]]:
    rng = np.random.default_rng(6)
    rows: list[dict[str, object]] = []
    for farm in range(farms):
        for kind, ground in (("guard", "stony"), ("guard", "mixed"), ("knife section", "clean")):
            for _ in range(lives):
                leaving = float(rng.uniform(20, 5000))
                entry = 0.0 if rng.random() < 0.7 else leaving * 0.4
                rows.append(
                    {
                        "version": "1",
                        "farm": f"{farm + 1:032x}",
                        "issue": 2,
                        "kind": kind,
                        "ground": ground,
                        "meter": "hectares",
                        "entry": entry,
                        "exit": leaving,
                        "failed": int(rng.random() < 0.4),
                        "count": int(rng.integers(1, 5)),
                    }
                )
    return rows


def on_server(location: Location, rows: list[dict[str, object]]) -> None:
    metadata = MetaData()
    table = neighbour_table(metadata)
    engine = make_engine(location)
    with engine.begin() as connection:
        metadata.create_all(connection)
        if rows:
            connection.execute(table.insert(), rows)
    engine.dispose()


def test_the_server_adds_up_what_numpy_adds_up(empty_server_location: Location, tmp_path: Path) -> None:
    rows = rows_of(12, 40)
    on_server(empty_server_location, rows)
    file = tmp_path / "lives.csv"
    with file.open("w", newline="", encoding="utf-8") as stream:
        writer = csv.DictWriter(stream, HEADINGS[:10])
        writer.writeheader()
        writer.writerows(rows)
    by_file = {(one.farm, one.kind): one for one in read_neighbour_files([file]).sums}
    by_server = {(one.farm, one.kind): one for one in read_neighbour_server(empty_server_location.name).sums}
    assert by_file.keys() == by_server.keys()
    assert len(by_file) == 24
    for key, one in by_file.items():
        assert one.by_ground.keys() == by_server[key].by_ground.keys()
        for ground, (lives, sums) in one.by_ground.items():
            count, theirs = by_server[key].by_ground[ground]
            assert count == lives
            np.testing.assert_allclose(theirs, sums, rtol=1e-12)


def test_rows_that_no_life_can_be_are_counted(empty_server_location: Location) -> None:
    rows = rows_of(1, 5)
    rows[0]["exit"] = -1.0
    rows[1]["farm"] = "the Miller farm"
    on_server(empty_server_location, rows)
    found = read_neighbour_server(empty_server_location.name)
    assert found.refused_rows == 2
    assert sum(lives for one in found.sums for lives, _ in one.by_ground.values()) == sum(
        int(str(row["count"])) for row in rows[2:]
    )


def test_a_server_without_the_table_or_of_another_version_is_refused(empty_server_location: Location) -> None:
    with pytest.raises(NotFoundError, match="no table"):
        read_neighbour_server(empty_server_location.name)
    rows = rows_of(1, 5)
    rows[-1]["version"] = "2"
    on_server(empty_server_location, rows)
    with pytest.raises(RefusedError, match="version 2"):
        read_neighbour_server(empty_server_location.name)
