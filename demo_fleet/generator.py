"""Writes the demo fleet: `python -m demo_fleet.generator [FOLDER]`; the same seed, the same bytes. The story is told elsewhere."""

from __future__ import annotations

import runpy
import sys
from pathlib import Path

if __name__ == "__main__" and not __package__:
    # run by its path: start again as a part of the folder it lies in
    _here = Path(__file__).resolve().parent
    sys.path.insert(0, str(_here.parent))
    runpy.run_module(f"{_here.name}.generator", run_name="__main__", alter_sys=True)
    sys.exit(0)

from .farm_story import SEED, farm_facts, many_farms
from .neighbour_farms import write_neighbours
from .sheet_writer import SheetWriter
from .truth_file import write_truth
from .usage_rows import usage_rows

__all__ = ["SEED", "farm_facts", "many_farms", "usage_rows", "write_farm"]


def write_farm(folder: Path, seed: int = SEED) -> None:
    """Write a farm's sheets into `folder`, what is true of it and what its neighbours tell into folders of their own."""
    SheetWriter(farm_facts(seed)).write(folder)
    write_truth(folder / "truth")
    write_neighbours(folder / "neighbours", seed)


if __name__ == "__main__":
    write_farm(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).resolve().parent)
