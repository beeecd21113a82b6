"""Print the long form of the simulated searches: `python -m tests.bench.fault_worlds [worlds] [way ...]`.

Minutes until the fault is fixed, wrong repairs and reliability, in worlds as the tables have them, off by a factor of two, and
where everything is told. Some minutes for 100 worlds.
"""

from __future__ import annotations

import sys

import numpy as np

from tests.fault_searches import ARMS, Search, minutes, reliability, searches

EDGES = (0.05, 0.1, 0.2, 0.4, 0.6, 0.8)
SETTINGS: dict[str, dict[str, float | bool]] = {
    "as the tables": {},
    "tables off by 2": {"off_by": 2.0},
    "everything told": {"tells_all": True},
}


def main(count: int, names: list[str], settings: list[str], first: int) -> None:
    for setting in settings or list(SETTINGS):
        print(setting, f"({count} worlds)")
        by_arm = {}
        for arm in ARMS:
            if not names or arm.name in names:
                by_arm[arm.name] = searches(arm, count, first=first, **SETTINGS[setting])  # type: ignore[arg-type]
                show(arm.name, by_arm[arm.name])
        compared(by_arm)


def show(name: str, found: list[Search]) -> None:
    took = minutes(found)
    wrong = np.mean([one.wrong_repairs for one in found])
    ended = sum(one.at_an_end for one in found)
    error = took.std() / np.sqrt(took.size)
    print(f"  {name:18} {took.mean():6.1f} +- {error:4.1f} min, wrong repairs {wrong:5.2f}, advice at an end {ended}")
    for what in ("top", "off", "every"):
        said = [pair for one in found for pair in getattr(one, what)]
        bins = "  ".join(f"{chance:.2f}->{so:.2f} ({n})" for chance, so, n in reliability(said, EDGES))
        print(f"      {what:6} {bins}")
    sys.stdout.flush()


def compared(by_arm: dict[str, list[Search]]) -> None:
    if not {"with sizes", "without sizes"} <= by_arm.keys():
        return
    ours, theirs = minutes(by_arm["with sizes"]), minutes(by_arm["without sizes"])
    rng = np.random.default_rng(1)
    drawn = rng.integers(ours.size, size=(2000, ours.size))
    low, high = np.quantile(ours[drawn].mean(axis=1) / theirs[drawn].mean(axis=1), (0.05, 0.95))
    print(f"  with / without sizes: {ours.mean() / theirs.mean():.3f} (90 %: {low:.2f} to {high:.2f})")


if __name__ == "__main__":
    words = sys.argv[1:]
    main(
        int(words[0]) if words else 100,
        [word for word in words[1:] if word not in SETTINGS and not word.isdigit()],
        [word for word in words[1:] if word in SETTINGS],
        next((int(word) for word in words[1:] if word.isdigit()), 0),
    )
