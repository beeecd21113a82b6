"""Every row of the table of speed, against its own mark."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.bench.speed_rows import ROWS, Bench, Row, bench

pytestmark = pytest.mark.bench


@pytest.fixture(scope="module")
def given() -> Iterator[Bench]:
    with bench() as laid_out:
        yield laid_out


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.work)
def test_the_work_takes_no_more_than_its_mark(row: Row, given: Bench, capsys: pytest.CaptureFixture[str]) -> None:
    figure = row.figure(given)
    with capsys.disabled():
        print(f"\n{row.shown(figure)}")
    assert figure <= row.mark
