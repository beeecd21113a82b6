"""Print the long form of the simulated searches: `python -m tests.bench.fault_worlds [worlds] [way ...] [world ...]`.

Minutes until the fault is fixed, wrong repairs and how true the chances are, in worlds as the tables have them, off by a factor of
two, and where everything is told. Every way searches the same worlds, so the ratios are of pairs. `first=1000` begins at another
world, `keep=FILE` writes each search down as it ends and goes on from there another time. A world with all its ways takes some
two seconds of a core.
"""

from __future__ import annotations

import json
import sys
from dataclasses import asdict
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from tests.fault_searches import ARMS, SIZED, Arm, Search, minutes, reliability, searches
from tests.fault_trails import Asked, asked_questions

EDGES = (0.05, 0.1, 0.2, 0.4, 0.6, 0.8)
HELD_EDGES = (0.5, 0.7, 0.8, 0.9, 0.95)
SETTINGS: dict[str, dict[str, float | bool]] = {
    "as the tables": {},
    "tables off by 2": {"off_by": 2.0},
    "everything told": {"tells_all": True},
}
#: plain ways are of interest where people tell little; where everything is told the question is what sizes add
ARMS_OF = {"everything told": ("with sizes", "without sizes")}
#: trails behind each row of the table of fixes
TRAILS = 1500


def main(count: int, ways: list[str], settings: list[str], first: int, keep: Path | None) -> None:
    book = Book(keep)
    for setting in settings or list(SETTINGS):
        print(f"{setting} ({count} worlds from {first} on)")
        arms = [arm for arm in ARMS if arm.name in (ways or ARMS_OF.get(setting, [one.name for one in ARMS]))]
        found = {arm.name: [] for arm in arms}
        # world by world, so that a run that is cut short has pairs all the same
        for number in range(first, first + count):
            for arm in arms:
                found[arm.name].append(book.search(setting, arm, number))
        for name, rows in found.items():
            show(name, rows)
        for name, rows in found.items():
            if name != SIZED.name and SIZED.name in found:
                beside(name, found[SIZED.name], rows)
    for off_by in (1.0, 2.0):
        print(f"has the fix held, quality, pace and share of the hours off by {off_by:g}")
        for least in (0, 2, 3):
            show_trails(asked_questions(np.random.default_rng(11), TRAILS, off_by=off_by, least_returns=least), least)


class Book:
    """The searches that were made, one a line of a file; without a file they are made every time."""

    def __init__(self, file: Path | None) -> None:
        self.file = file
        lines = file.read_text(encoding="utf-8").splitlines() if file is not None and file.exists() else []
        rows = [json.loads(line) for line in lines]
        self.made = {tuple(row["of"]): Search(**row["search"]) for row in rows}

    def search(self, setting: str, arm: Arm, number: int) -> Search:
        key = (setting, arm.name, number)
        if key not in self.made:
            self.made[key] = searches(arm, 1, first=number, **SETTINGS[setting])[0]  # type: ignore[arg-type]
            if self.file is not None:
                with self.file.open("a", encoding="utf-8") as book:
                    book.write(json.dumps({"of": key, "search": asdict(self.made[key])}) + "\n")
        return self.made[key]


def show(name: str, found: list[Search]) -> None:
    took = minutes(found)
    wrong = np.mean([one.wrong_repairs for one in found])
    ended = sum(one.at_an_end for one in found)
    error = took.std(ddof=1) / np.sqrt(took.size)
    print(f"  {name:18} {took.mean():6.1f} +- {error:4.1f} min, wrong repairs {wrong:5.2f}, advice at an end {ended}")
    if name not in ("with sizes", "without sizes"):
        return
    for what in ("top", "off", "every"):
        said = [pair for one in found for pair in getattr(one, what)]
        print(f"      {what:6} {_bins(said, EDGES)}")
    sys.stdout.flush()


def beside(name: str, ours: list[Search], theirs: list[Search]) -> None:
    """Print our minutes by theirs and how many wrong repairs less, each with the standard error of its pairs."""
    ratio, error = ratio_of_pairs(minutes(ours), minutes(theirs))
    fewer = np.array([one.wrong_repairs - two.wrong_repairs for one, two in zip(ours, theirs, strict=True)])
    spread = fewer.std(ddof=1) / np.sqrt(fewer.size)
    print(f"  with sizes / {name}: {ratio:.3f} +- {error:.3f}; wrong repairs {fewer.mean():+.2f} +- {spread:.2f}")
    sys.stdout.flush()


def ratio_of_pairs(ours: NDArray[np.float64], theirs: NDArray[np.float64]) -> tuple[float, float]:
    """Return the ratio of two means over the same worlds and its standard error (to first order)."""
    ratio = float(ours.mean() / theirs.mean())
    return ratio, float((ours - ratio * theirs).std(ddof=1) / np.sqrt(ours.size) / theirs.mean())


def show_trails(asked: list[Asked], least: int) -> None:
    held = [one.held for one in asked]
    for way in ("by_trail", "by_hours"):
        said = [getattr(one, way) for one in asked]
        bins = _bins(list(zip(said, held, strict=True)), HELD_EDGES)
        print(f"  {least} returns or more, {way}: {np.mean(said):.3f} said, {np.mean(held):.3f} had; {bins}")


def _bins(said: list[tuple[float, bool]], edges: tuple[float, ...]) -> str:
    return "  ".join(f"{chance:.2f}->{so:.2f} ({n})" for chance, so, n in reliability(said, edges))


if __name__ == "__main__":
    words = sys.argv[1:]
    named = dict(word.split("=", 1) for word in words if "=" in word)
    numbers = [int(word) for word in words if word.isdigit()]
    main(
        numbers[0] if numbers else 100,
        [word for word in words if word in {arm.name for arm in ARMS}],
        [word for word in words if word in SETTINGS],
        int(named.get("first", 0)),
        Path(named["keep"]) if "keep" in named else None,
    )
