"""Nine invented neighbours and the file in which their lives are passed round. No farm, no name, no machine of theirs exists."""

from __future__ import annotations

import csv
import io
import math
from pathlib import Path
from statistics import NormalDist
from typing import Final

from .draws import Draws
from .known_lives import life_of

_HEADINGS: Final = ("version", "farm", "issue", "kind", "ground", "meter", "entry", "exit", "failed", "count")
_FARMS: Final = 9
#: how far farms lie apart, in ln(life)
_APART: Final = 0.3
_HECTARES: Final = 0.40468564224
#: kind, meter in the file, what its unit is of the farm's own, how many lives a farm tells, how long they last beside this farm's
_TOLD: Final = (
    ("feeder conveyor chain", "separator_hours", 1.0, 9, 1.0),
    ("knife drive", "hectares", _HECTARES, 12, 1.0),
    ("concave", "separator_hours", 1.0, 8, 0.9),
    # they cut among more stones: a guard of theirs is worn in a fifth of the acres
    ("guard", "hectares", _HECTARES, 60, 0.2),
)


def write_neighbours(folder: Path, seed: int) -> None:
    """Write lives.csv into `folder`, as nine farms one after the other would leave it."""
    folder.mkdir(parents=True, exist_ok=True)
    draws, text = Draws(seed), io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(_HEADINGS)
    for _ in range(_FARMS):
        number = "".join(f"{draws.whole(0, 15):x}" for _ in range(32))
        for kind, meter, unit, lives, beside in _TOLD:
            writer.writerows(_rows(draws, number, kind, meter, unit, lives, beside))
    (folder / "lives.csv").write_text(text.getvalue(), "utf-8", newline="\n")


def _rows(
    draws: Draws, number: str, kind: str, meter: str, unit: float, lives: int, beside: float
) -> list[tuple[str | int, ...]]:
    known = life_of(kind)
    assert known is not None
    scale = known.scale * beside * unit * math.exp(_APART * NormalDist().inv_cdf(draws.uniform()))
    found: dict[tuple[str, int], int] = {}
    for _ in range(lives):
        age = scale * (-math.log(draws.uniform())) ** (1 / known.shape)
        watched = draws.uniform(0.2, 1.8) * scale
        life = f"{float(f'{min(age, watched):.1e}'):g}", int(age <= watched)
        found[life] = found.get(life, 0) + 1
    return [
        ("1", number, 1, kind, "mixed", meter, 0, age, failed, count) for (age, failed), count in sorted(found.items())
    ]
