"""Print what answers are worth on farms that are not the model: `python -m tests.bench.long_worlds [farms] [world ...]`.

Every farm is a log of 4 headers, 4 seasons and so many kinds of part (`kinds=60`, `rows=20` that only stones break), read and
reckoned by the whole program. A world is named by the beginning of its name. `first=10` begins at another farm, `keep=FILE`
writes each farm down as it ends and goes on from there another time. A farm of 80 kinds takes about half a minute of a core.
"""

from __future__ import annotations

import json
import sys
from dataclasses import asdict
from pathlib import Path

from tests.long_worlds.judged import STATEMENTS, Judged, figures, judge
from tests.long_worlds.worlds import WORLDS, World

COLUMNS = (*STATEMENTS, "came / said", "pieces came / said", "plan's gain", "failures a kind")


def main(farms: int, names: list[str], first: int, kinds: int, rows: int, keep: Path | None) -> None:
    book = _read(keep)
    print("| world | " + " | ".join(COLUMNS) + " |")
    print("|---" * (len(COLUMNS) + 1) + "|")
    for world in WORLDS:
        if names and not any(world.name.startswith(name) for name in names):
            continue
        found = [_farm(world, number, kinds, rows, book, keep) for number in range(first, first + farms)]
        row = figures(found)
        print(f"| {world.name} | " + " | ".join(str(row[what]) for what in COLUMNS) + " |", flush=True)


def _read(keep: Path | None) -> dict[tuple[str, int, int, int], list[Judged]]:
    lines = keep.read_text(encoding="utf-8").splitlines() if keep is not None and keep.exists() else []
    rows = [json.loads(line) for line in lines]
    return {tuple(row["of"]): [Judged(**one) for one in row["kinds"]] for row in rows}


def _farm(
    world: World,
    number: int,
    kinds: int,
    rows: int,
    book: dict[tuple[str, int, int, int], list[Judged]],
    keep: Path | None,
) -> list[Judged]:
    key = (world.name, number, kinds, rows)
    if key not in book:
        book[key] = judge(world, number, kinds, rows)
        if keep is not None:
            with keep.open("a", encoding="utf-8") as file:
                file.write(json.dumps({"of": key, "kinds": [asdict(one) for one in book[key]]}) + "\n")
    return book[key]


if __name__ == "__main__":
    words = sys.argv[1:]
    named = dict(word.split("=", 1) for word in words if "=" in word)
    counts = [int(word) for word in words if word.isdigit()]
    main(
        counts[0] if counts else 5,
        [word for word in words if "=" not in word and not word.isdigit()],
        int(named.get("first", 0)),
        int(named.get("kinds", 60)),
        int(named.get("rows", 20)),
        Path(named["keep"]) if "keep" in named else None,
    )
