"""A notebook of 100,000 rows, and how long understanding it takes beside reading its file with the same library, in turns."""

from __future__ import annotations

import csv
import random
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

import openpyxl
from python_calamine import CalamineWorkbook

from tests.logbook.notebook.kept_notebooks import NOW, enter_farm, expected_of
from wearlog.exchange.notebook_files import read_notebook
from wearlog.logbook.lines.line_saving import farm_words
from wearlog.logbook.notebook.understanding import understand
from wearlog.store.location import locate
from wearlog.store.opening import create_store

ROWS = 100_000
_ROUNDS = 4


@dataclass(frozen=True)
class Understood:
    """Processor seconds, the least of some rounds: reading and understanding, reading the workbook, reading plain text."""

    ours: float
    floor: float
    plain: float

    @property
    def times(self) -> float:
        """How many times reading the workbook."""
        return self.ours / self.floor


def big_rows() -> list[list[str]]:
    """Breakages and runs with names, days and units written in several ways, and who runs what in a last line."""
    rng = random.Random(1)
    rows = [["DATE", "HEADER", "ITEM", "POS", "CAUSE", "DOWN", "COST", "AC"]]
    for number in range(ROWS):
        day = date(2000, 1, 1) + timedelta(days=number * 9_000 // ROWS)
        said = day.strftime("%m/%d/%Y") if number % 3 else day.isoformat()
        header = rng.choice(["East", "east hdr", "E. header", "West", "W. header"])
        if number % 3 == 0:
            rows.append([said, header, *[""] * 5, f"{rng.randint(20, 140)} ac"])
        else:
            at = rng.randint(1, 60)
            part, cause = rng.choice(["Sections", "guard", "knife sec"]), rng.choice(["rock", "stone", "worn", ""])
            stood, cost = rng.choice(["20 min", "0.5 h", "1 h", "30min"]), f"{rng.randint(4, 90)}.70 $"
            rows.append([said, header, part, f"{at},{at + 1}", cause, stood, cost, ""])
    return [*rows, ["Ivy always runs the East header, Rusty the West"]]


def _took(work: Callable[[], object]) -> float:
    began = time.process_time()
    work()
    return time.process_time() - began


def understood_beside_reading(folder: Path) -> Understood:
    """Lay the notebook out in a folder, and measure; each side beside the other, so that a busy machine hits both."""
    rows = big_rows()
    book, text = folder / "big.xlsx", folder / "big.csv"
    workbook = openpyxl.Workbook(write_only=True)
    sheet = workbook.create_sheet("book")
    for row in rows:
        sheet.append(row)
    workbook.save(book)
    with text.open("w", newline="") as file:
        csv.writer(file).writerows(rows)
    store = create_store(locate(str(folder / "notebook.db")))
    enter_farm(store, expected_of("header_book"))
    farm = farm_words(store)
    ours, floor, plain = [], [], []
    for _ in range(_ROUNDS):
        floor.append(_took(lambda: CalamineWorkbook.from_path(str(book)).get_sheet_by_name("book").to_python()))
        ours.append(_took(lambda: understand(read_notebook(book), farm, NOW)))
        plain.append(_took(lambda: list(csv.reader(text.read_text("utf-8").splitlines()))))
    store.close()
    return Understood(min(ours), min(floor), min(plain))
