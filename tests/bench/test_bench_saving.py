"""One breakage saved, against the very rows it wrote sent raw to a copy of the file with the same durability, in turns."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.bench.many_farms_log import make_many_farms
from tests.bench.saving_beside_raw import saved_and_raw
from tests.farm_fixtures import demo_file

__all__ = ["demo_file"]
pytestmark = pytest.mark.bench


def told(what: str, file: Path, most: float, capsys: pytest.CaptureFixture[str]) -> float:
    ours, floor = saved_and_raw(file)
    with capsys.disabled():
        print(f"\na breakage saved, {what}: {ours * 1e3:.1f} ms, its rows raw {floor * 1e3:.1f} ms", end="")
        print(f": {ours / floor:.2f} x (allowed {most})")
    return ours / floor


def test_a_breakage_is_saved_in_twice_what_the_disk_takes(
    demo_file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "demo.db"
    shutil.copyfile(demo_file, file)
    assert told("demo", file, 2.0, capsys) <= 2.0


def test_among_a_hundred_farms_it_takes_hardly_more(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = make_many_farms(tmp_path, (100,), pieces=1)[100]
    assert told("100 farms", file, 2.5, capsys) <= 2.5
