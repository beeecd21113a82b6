"""Bringing in 100,000 readings: a CSV file against a raw insert of its rows and versions, a workbook against reading it."""

from __future__ import annotations

import statistics
from pathlib import Path

import pytest

from tests.bench.big_import import brought_in_beside_raw

pytestmark = pytest.mark.bench

CSV_ALLOWED, WORKBOOK_ALLOWED = 2.0, 8.0


def test_bringing_in_a_big_sheet(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    turns = brought_in_beside_raw(tmp_path)
    with capsys.disabled():
        for one in turns:
            print(
                f"\nCSV {one.csv:.2f} s, raw insert {one.raw:.2f} s: {one.csv_times:.1f} times; "
                f"workbook {one.workbook:.2f} s, reading it {one.reading:.2f} s: {one.workbook_times:.1f} times"
            )
    assert statistics.median(one.csv_times for one in turns) <= CSV_ALLOWED
    assert statistics.median(one.workbook_times for one in turns) <= WORKBOOK_ALLOWED
