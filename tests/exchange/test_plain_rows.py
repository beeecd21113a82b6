"""Rows that are read many at once become what they become one by one; whatever is out of the ordinary is said as it is there."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.farm_fixtures import demo_file, demo_store
from wearlog.exchange import plain_rows, raw_sheet
from wearlog.exchange.source import SheetReading, read_source
from wearlog.ids import derived_id
from wearlog.logbook.files.importing import known_names
from wearlog.logbook.names import KnownNames
from wearlog.settings import shipped
from wearlog.store.opening import Store

__all__ = ["demo_file", "demo_store"]

NOW = datetime(2026, 11, 20, 18, tzinfo=UTC)
ZONE = "America/Chicago"
#: sheets of the demo fleet whose rows go many at once
AT_ONCE = (
    *("hitch", "loss_check", "measurement", "moisture_sample", "part_fit", "reading", "run"),
    *("stock_move", "stoppage"),
)
#: cells that are empty, wrong, written otherwise, of another kind, guesses, or times that a clock showed twice or never
ODD = (
    *("", " ", "x", "0", "-1", "1.5", "1,5", "1e3", "½", "1" * 19, "=1+1", "'=1", "\t", "a\nb", "\u202e", "é"),
    *("unknown", "new", "about 3 seasons", "yes", "no", "No ", "worn", "12 h", "2 h 5 min", "1.234,5", "1,234.5"),
    *("2025-02-30", "2025-11-02 01:30", "2025-03-09 02:30", "2031-01-01 10:00", "2025-07-28T16:20Z", "2025-07-28"),
    *(
        "2025-07-28 16:20",
        "2025-07-28 6:20:05.25 +02:00",
        "28 July 2025",
        "july 28 2025 4 pm",
        "Kes",
        "kestrel",
        "KESTREL",
    ),
    *("engine_hours", "Engine hours", str(derived_id("a row")), str(derived_id("a row")).upper(), "k1"),
)


def read(path: Path, known: KnownNames, monkeypatch: pytest.MonkeyPatch, at_once: int) -> SheetReading:
    """Read with so many rows at once; with none of them where that is 0."""
    with monkeypatch.context() as patched:
        patched.setattr(raw_sheet, "MOST_SHOWN", 10**6)
        if at_once:
            patched.setattr(plain_rows, "_AT_ONCE", at_once)
        else:
            patched.setattr(plain_rows.RowsAtOnce, "can_be_read", False)
        return read_source(path, known, time_zone=ZONE, now=NOW)


def write(file: Path, headings: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    with file.open("w", newline="", encoding="utf-8") as opened:
        csv.writer(opened).writerows([headings, *rows])


def content(sheet: str) -> tuple[list[str], list[list[str]]]:
    with (shipped("demo_fleet") / f"{sheet}.csv").open(newline="", encoding="utf-8") as opened:
        headings, *rows = csv.reader(opened)
    return headings, rows


def counted(monkeypatch: pytest.MonkeyPatch) -> dict[str, int]:
    """Count from now on the rows that are read at once, by sheet."""
    found: dict[str, int] = {}
    plain = plain_rows.RowsAtOnce.read

    def counting(self: plain_rows.RowsAtOnce, rows: Sequence[plain_rows.RawRow]) -> object:
        told = plain(self, rows)
        found[self.sheet] = found.get(self.sheet, 0) + len(told or ())
        return told

    monkeypatch.setattr(plain_rows.RowsAtOnce, "read", counting)
    return found


def test_the_demo_fleet_is_read_the_same_and_most_of_it_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    by_row = read(shipped("demo_fleet"), KnownNames(), monkeypatch, 0)
    found = counted(monkeypatch)
    for at_once in (7, 2_000):
        found.clear()
        assert read(shipped("demo_fleet"), KnownNames(), monkeypatch, at_once) == by_row
        assert sorted(found) == sorted(AT_ONCE)
        assert all(found.values())
        assert found["run"] == 961
        assert found["reading"] == 540


@pytest.mark.parametrize("at_once", [1, 3, 2_000])
@pytest.mark.parametrize("sheet", AT_ONCE)
def test_odd_cells_say_the_same_at_once_and_one_by_one(
    sheet: str, at_once: int, demo_store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every column of every such sheet with every odd cell, with a key and without, a cell too few and one too many."""
    known = known_names(demo_store)
    headings, rows = content(sheet)
    headings = [*(one for one in headings if one != "key"), "key"]
    rows = [row[: len(headings) - 1] for row in rows[:: max(len(rows) // 40, 1)]]
    odd: list[list[str]] = []
    for place in range(len(headings)):
        for number, text in enumerate(ODD):
            row = [*rows[number % len(rows)], ""]
            row[place] = text
            odd += [row, row[:-1], [*rows[(number + 1) % len(rows)], "k2"]]
    odd += [[*rows[0], "", ""], [*rows[0], "", "beyond"], rows[0][:1], [], [" "] * 3]
    write(tmp_path / f"{sheet}.csv", headings, odd)
    by_row = read(tmp_path, known, monkeypatch, 0)
    assert len(by_row.problems) > 20
    found = counted(monkeypatch)
    assert read(tmp_path, known, monkeypatch, at_once) == by_row
    if at_once == 1:
        assert 0 < found[sheet] < len(odd)


@pytest.mark.parametrize("sheet", AT_ONCE)
def test_rows_that_are_not_wrong_are_read_the_same(
    sheet: str, demo_store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is refused keeps no facts to compare: here are the odd cells alone that are none the worse."""
    known = known_names(demo_store)
    headings, rows = content(sheet)
    odd = [
        [*rows[number % len(rows)][:place], text, *rows[number % len(rows)][place + 1 :]]
        for place in range(len(headings))
        for number, text in enumerate(one for one in ODD if "\n" not in one)
    ]
    write(tmp_path / f"{sheet}.csv", headings, odd)
    wrong = {one.line for one in read(tmp_path, known, monkeypatch, 0).problems}
    kept = [row for line, row in enumerate(odd, 2) if line not in wrong]
    write(tmp_path / f"{sheet}.csv", headings, kept)
    by_row = read(tmp_path, known, monkeypatch, 0)
    assert len(by_row.rows[0][2]) == len(kept) > 1
    for at_once in (1, 2, 5):
        assert read(tmp_path, known, monkeypatch, at_once) == by_row


def test_a_file_that_breaks_off_keeps_what_came_before(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    headings, rows = content("machine")
    write(tmp_path / "machine.csv", headings, rows)
    lines = (shipped("demo_fleet") / "run.csv").read_text("utf-8").splitlines()[:50]
    (tmp_path / "run.csv").write_text("\n".join([*lines, '"never closed']), "utf-8")
    by_row = read(tmp_path, KnownNames(), monkeypatch, 0)
    assert [one.line for one in by_row.problems][-1] == 51
    for at_once in (10, 2_000):
        assert read(tmp_path, KnownNames(), monkeypatch, at_once) == by_row
