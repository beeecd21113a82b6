"""How long a command takes to start, as ratios to a floor of the same run; medians of 11, taken in turns."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Sequence
from pathlib import Path

import pytest

from tests.farm_fixtures import entered_farm
from tests.small_farm import SmallFarm

__all__ = ["entered_farm"]
pytestmark = pytest.mark.bench
WEARLOG = str(Path(sys.executable).with_name("wearlog"))
PASS = (sys.executable, "-c", "pass")
SQLALCHEMY = (sys.executable, "-c", "import sqlalchemy")


def seconds(words: Sequence[str], env: dict[str, str]) -> float:
    begun = time.perf_counter()
    subprocess.run(words, check=True, env=env, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    return time.perf_counter() - begun


def medians(floor: Sequence[str], ours: Sequence[str], env: dict[str, str], rounds: int = 11) -> tuple[float, float]:
    """Both commands in turns, so that whatever else the machine does hits both."""
    pairs = [(seconds(floor, env), seconds(ours, env)) for _ in range(rounds)]
    return statistics.median(one for one, _ in pairs), statistics.median(two for _, two in pairs)


def test_the_overview_starts_within_1_8_times_an_empty_python(capsys: pytest.CaptureFixture[str]) -> None:
    floor, ours = medians(PASS, (WEARLOG, "--help"), dict(os.environ))
    with capsys.disabled():
        print(f"\nwearlog --help {ours * 1e3:.0f} ms, python -c pass {floor * 1e3:.0f} ms", end="")
        print(f": {ours / floor:.2f} x (allowed 1.8)")
    assert ours <= 1.8 * floor


def test_logging_a_breakage_takes_at_most_two_and_a_half_imports_of_sqlalchemy(
    entered_farm: tuple[SmallFarm, object, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    _, _, file = entered_farm
    line = (WEARLOG, "log", "3 sections 41-43 rock, 20 min", "--yes", "--db", str(file))
    env = dict(os.environ)
    subprocess.run(line, check=True, env=env, stdout=subprocess.DEVNULL)
    floor, ours = medians(SQLALCHEMY, line, env)
    with capsys.disabled():
        print(
            f"\nwearlog log {ours * 1e3:.0f} ms, import sqlalchemy {floor * 1e3:.0f} ms: {ours / floor:.2f} x (allowed 2.5)"
        )
    assert ours <= 2.5 * floor
