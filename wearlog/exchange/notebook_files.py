"""Notebooks as files: a workbook or a text file of any delimiter becomes sheets of plain text. Nothing is understood here."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, Final

from wearlog.errors import DataError, NotFoundError, UsageError
from wearlog.exchange.found_files import ENDINGS, cell_text, decoded
from wearlog.exchange.raw_sheet import SpoiltSheetError
from wearlog.facts.plain_text import one_line
from wearlog.logbook.notebook.note_sheet import NoteSheet

TEXT_ENDINGS: Final = (".csv", ".tsv", ".txt", ".tab")
_DELIMITERS: Final = "\t;,|"
_DECIMAL_COMMA: Final = re.compile(r"\d,\d{1,2}(?!\d)")
_DECIMAL_POINT: Final = re.compile(r"(?<![\d.])\d+\.\d{1,2}(?![\d.])")
_LOOKED_AT: Final = 200

#: told how many rows were read; may raise to stop
Step = Callable[[int], None]


def _no_step(_: int) -> None:
    return


def read_notebook(path: Path, step: Step = _no_step) -> list[NoteSheet]:
    """Return the sheets of a notebook, blank ones left out.

    Raises
    ------
    NotFoundError
        When there is no such file.
    UsageError
        When it is neither a workbook nor a text file.
    DataError
        When it cannot be read, or holds nothing.
    """
    ending = path.suffix.casefold()
    if not path.is_file():
        raise NotFoundError(f"There is no file {path}.", "Name the workbook or the CSV file.")
    if ending not in (*ENDINGS, *TEXT_ENDINGS):
        raise UsageError(f"{path.name} is no notebook.", f"A notebook ends in {', '.join((*ENDINGS, *TEXT_ENDINGS))}.")
    try:
        sheets = _workbook(path, step) if ending in ENDINGS else [_text_file(path, step)]
    except SpoiltSheetError as error:
        raise DataError(f"{path.name}: {error.message}", error.hint) from error
    except OSError as error:
        raise DataError(f"{path.name} cannot be read: {error.strerror}.", "Look whether it may be opened.") from error
    held = [sheet for sheet in sheets if any(any(row) for row in sheet.rows)]
    if not held:
        raise DataError(f"Nothing stands in {path.name}.", "Save the notebook, and name that file.")
    return held


def _workbook(path: Path, step: Step) -> list[NoteSheet]:
    from python_calamine import CalamineError, CalamineWorkbook

    try:
        book = CalamineWorkbook.from_path(str(path))
        return [
            NoteSheet(one_line(name) or "sheet", _rows_of(book.get_sheet_by_name(name), step))
            for name in book.sheet_names
        ]
    except CalamineError:
        raise SpoiltSheetError(
            "It cannot be read as a workbook.", "Save it as .xlsx, without a password, or as CSV."
        ) from None


def _rows_of(sheet: Any, step: Step) -> list[list[str]]:
    before = [""] * (sheet.start[1] if sheet.start else 0)
    # a sheet is read from its first used row on; the numbers of the rows above it must not be lost
    found: list[list[str]] = [[] for _ in range(sheet.start[0] if sheet.start else 0)]
    cells = _Cells()
    for row in sheet.to_python(skip_empty_area=True):
        found.append([*before, *(cells.text(one) for one in row)])
        step(len(found))
    return found


class _Cells:
    """Cells as text; what stands in one often stands in many."""

    def __init__(self) -> None:
        self._seen: dict[object, str] = {}

    def text(self, cell: object) -> str:
        if cell == "":
            return ""
        key = (type(cell), cell)
        found = self._seen.get(key)
        if found is None:
            text = one_line(cell_text(cell))
            found = text[:10] if text.endswith(" 00:00") and len(text) == 16 else text
            if len(self._seen) < 200_000:
                self._seen[key] = found
        return found


def _text_file(path: Path, step: Step) -> NoteSheet:
    text, _ = decoded(path.read_bytes())
    lines = text.splitlines()[:_LOOKED_AT]
    said = re.match(r"\s*sep=(.)\r?\n", text)
    delimiter = said[1] if said else _delimiter(lines)
    cells = _Cells()
    rows: list[list[str]] = []
    for row in _csv_rows(text, delimiter):
        rows.append([cells.text(one) for one in row])
        step(len(rows))
    if said:
        rows[0] = []
    return NoteSheet("csv", rows, _has_decimal_comma(lines, delimiter))


def _csv_rows(text: str, delimiter: str) -> Iterable[list[str]]:
    """Return a row for each line of the file: a cell of several lines is told as one, the lines it took stay counted."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, quoting=_quoting(text, delimiter))
    before = 0
    try:
        for row in reader:
            yield row
            # spreadsheets count rows, not lines; only here is a row what it was
            before = reader.line_num
    except csv.Error:
        raise SpoiltSheetError(
            "A cell is far too long.", f"Is a quotation mark missing behind line {before}?", before
        ) from None


def _quoting(text: str, delimiter: str) -> Any:
    """A lone quotation mark in a cell is a ditto mark, and does not begin a cell of many lines."""
    lone = re.search(rf'(?:^|{re.escape(delimiter)})"(?={re.escape(delimiter)}|$)', text, re.MULTILINE)
    paired = re.search(rf'(?:^|{re.escape(delimiter)})"[^"\n]+"(?={re.escape(delimiter)}|\r?$)', text, re.MULTILINE)
    return csv.QUOTE_NONE if lone and not paired else csv.QUOTE_MINIMAL


def _delimiter(lines: list[str]) -> str:
    """Return the mark that parts most lines into equally many cells."""
    best, most = ",", 0.0
    for mark in _DELIMITERS:
        counts = Counter(re.sub(r'"[^"]*"', "", line).count(mark) for line in lines if line.strip())
        usual, often = max(((n, c) for n, c in counts.items() if n), key=lambda one: one[1] * one[0], default=(0, 0))
        score = often * min(usual, 12) * (1.0 if mark != "," else 0.7)
        if score > most:
            best, most = mark, score
    return best


def _has_decimal_comma(lines: list[str], delimiter: str) -> bool:
    if delimiter == ",":
        return False
    text = "\n".join(lines)
    return len(_DECIMAL_COMMA.findall(text)) > len(_DECIMAL_POINT.findall(text))
