"""Writes down what is true on the demo farm, for tests that compare it with what the maths recovers. The program never reads it."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from .farm_kinds import FARM_KINDS
from .fitted_sets import UNIT_OF
from .known_lives import GROUNDS, HOT_WINDOW, LIVES, RECURRING_FAULT, WEAR

_METER: Final = {kind.name: kind.meter_kind for kind in FARM_KINDS}
_HEADINGS: Final = ("kind", "meter", "unit", "shape", "scale", *(f"impacts_{ground}_per_1000_ac" for ground in GROUNDS))


def write_truth(folder: Path) -> None:
    """Write truth.csv (lives and impacts), wear.csv (measured wear), hot_window.csv and recurring_fault.csv into `folder`."""
    folder.mkdir(parents=True, exist_ok=True)
    lives = [
        (life.kind, _METER[life.kind], UNIT_OF[_METER[life.kind]], life.shape, life.scale, *life.impacts)
        for life in LIVES
    ]
    _write(folder / "truth.csv", _HEADINGS, lives)
    wear = [(w.kind, UNIT_OF[_METER[w.kind]], w.micrometres_per_usage, w.scatter_micrometres) for w in WEAR]
    _write(folder / "wear.csv", ("kind", "unit", "micrometres_per_unit", "scatter_micrometres"), wear)
    window = HOT_WINDOW
    _write(
        folder / "hot_window.csv",
        ("header", "kind", "first", "last", "times", "since"),
        [(window.header, window.kind, window.first, window.last, window.times, window.since.isoformat())],
    )
    fault = RECURRING_FAULT
    _write(
        folder / "recurring_fault.csv",
        ("machine", "circuit", "node", "mode", "seasons"),
        [(fault.machine, fault.circuit, fault.node, fault.mode, " ".join(str(year) for year in fault.seasons))],
    )


def _write(file: Path, headings: tuple[str, ...], rows: Sequence[tuple[object, ...]]) -> None:
    text = io.StringIO()
    lines = csv.writer(text, lineterminator="\n")
    lines.writerow(headings)
    lines.writerows(rows)
    file.write_text(text.getvalue(), encoding="utf-8", newline="")
