"""The questions of a notebook as a CSV file that a person fills in, and that is read back."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from wearlog.errors import DataError
from wearlog.exchange.cell_text import guarded, unguarded
from wearlog.exchange.found_files import decoded
from wearlog.exchange.raw_sheet import SpoiltSheetError
from wearlog.logbook.lines.notebook_answers import AskedLine
from wearlog.logbook.notebook.holds import Holds
from wearlog.logbook.notebook.note_entry import Ask

_HEADINGS: Final = ("sheet", "row", "columns", "says", "reason", "about", "question", "choices", "answer")


def write_answers(path: Path, lines: Sequence[AskedLine]) -> None:
    """Write questions and the answers that were given; DataError when the file cannot be written."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(_HEADINGS)
    for one in lines:
        cells = (one.sheet, str(one.row), one.columns, one.says, one.ask.value, one.about.value, one.question)
        writer.writerow([guarded(cell) for cell in (*cells, "; ".join(one.choices), one.answer)])
    try:
        path.write_text(text.getvalue(), "utf-8-sig", newline="")
    except OSError as error:
        raise DataError(f"{path.name} cannot be written: {error.strerror}.", "Name another file.") from error


def read_answers(path: Path) -> list[AskedLine]:
    """Read a file of answers; DataError when it is none."""
    try:
        text, _ = decoded(path.read_bytes())
    except SpoiltSheetError as error:
        raise DataError(f"{path.name}: {error.message}", error.hint) from error
    except OSError as error:
        raise DataError(f"{path.name} cannot be read: {error.strerror}.", "Look whether it may be opened.") from error
    heading = text.split("\n", 1)[0]
    rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=max(",;\t", key=heading.count)))
    if not rows or [one.strip() for one in rows[0]] != list(_HEADINGS):
        raise DataError(
            f"{path.name} holds no answers.", f"Its headings are {', '.join(_HEADINGS)}: have it written anew."
        )
    return [_line(path, number, row) for number, row in enumerate(rows[1:], 2) if any(row)]


def _line(path: Path, number: int, row: list[str]) -> AskedLine:
    cells = [unguarded(one) for one in [*row, *[""] * (len(_HEADINGS) - len(row))]]
    try:
        return AskedLine(
            sheet=cells[0],
            row=int(cells[1]),
            columns=cells[2],
            says=cells[3],
            ask=Ask(cells[4]),
            about=Holds(cells[5]),
            question=cells[6],
            choices=tuple(one for one in cells[7].split("; ") if one),
            answer=cells[8],
        )
    except ValueError:
        raise DataError(
            f"{path.name}, line {number} was changed so that it cannot be read.", "Change the column answer only."
        ) from None
