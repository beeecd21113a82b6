"""Understanding a notebook of 100,000 rows, against reading its file with the same library."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.bench.big_notebook import ROWS, understood_beside_reading

pytestmark = pytest.mark.bench

_MOST_TIMES = 10.0


def test_a_hundred_thousand_rows_take_at_most_ten_times_reading_their_workbook(tmp_path: Path) -> None:
    took = understood_beside_reading(tmp_path)
    print(f"\n{ROWS:,} rows: {took.ours:.1f} s, {took.times:.1f} times reading the workbook ({took.floor:.2f} s)")
    print(f"reading them as plain text takes {took.plain:.2f} s, {took.ours / took.plain:.0f} times less")
    assert took.times <= _MOST_TIMES
