"""Workbooks that would fill the memory: looked at as they lie in their file, before a reader makes room for their cells."""

from __future__ import annotations

import re
import time
import zipfile
import zlib
from pathlib import Path
from typing import IO, Final

from wearlog.exchange.raw_sheet import SpoiltSheetError, column_letter

#: far beyond the largest farm; what a reader makes room for is the whole square up to the last cell
MOST_ROWS, MOST_COLUMNS, MOST_CELLS = 500_000, 1_000, 20_000_000
#: text of the unpacked parts
MOST_UNPACKED: Final = 600_000_000
#: a workbook of that size is read in some seconds
MOST_SECONDS = 120.0
_CELL: Final = re.compile(rb'<(?:[A-Za-z]\w*:)?(?:c|row)\s[^<>]*?\br="([A-Z]{0,4})([0-9]{1,9})"')
_PIECE: Final = 1 << 20
_HINT: Final = "Delete what lies far out on that sheet (go to its last cell), or save it as CSV."


def refuse_late(began: float, name: str) -> None:
    """Refuse a workbook that is not read after two minutes, whatever keeps its reader; `began` is by the monotonic clock."""
    if time.monotonic() - began >= MOST_SECONDS:
        raise SpoiltSheetError(
            f"{name} was not read after {MOST_SECONDS:.0f} s.",
            "Save the sheet that is needed as CSV, without pictures.",
        )


def refuse_wide(cells: int) -> None:
    """Refuse a line of headings that is wider than any sheet that people write."""
    if cells > MOST_COLUMNS:
        raise SpoiltSheetError(
            f"It has {cells:,} columns: too many to be read.", "Delete the empty ones and those not needed."
        )


def refuse_bombs(path: Path) -> None:
    """Refuse a workbook that unpacks to too much, or has a cell far outside of any sheet that people write.

    Raises
    ------
    SpoiltSheetError
        With what is too large. Files of other kinds pass: whatever reads them looks further.
    """
    began = time.monotonic()
    try:
        with zipfile.ZipFile(path) as packed:
            parts = packed.infolist()
            if sum(part.file_size for part in parts) > MOST_UNPACKED:
                raise SpoiltSheetError(f"{path.name} unpacks to far more than any workbook.", "Save it as CSV.")
            for part in parts:
                if part.filename.startswith("xl/worksheets/") and part.filename.endswith(".xml"):
                    with packed.open(part) as opened:
                        _look_at_cells(opened, path.name, began)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError):
        # no packed workbook, or one with a password: its reader says so
        return


def _look_at_cells(opened: IO[bytes], name: str, began: float) -> None:
    rows = columns = read = 0
    rest = b""
    while piece := opened.read(_PIECE):
        refuse_late(began, name)
        read += len(piece)
        if read > MOST_UNPACKED:
            raise SpoiltSheetError(f"{name} unpacks to far more than any workbook.", "Save it as CSV.")
        for letters, number in _CELL.findall(rest + piece):
            rows = max(rows, int(number))
            columns = max(columns, _column(letters))
        rest = piece[-200:]
    if rows > MOST_ROWS or columns > MOST_COLUMNS or rows * columns > MOST_CELLS:
        last = f"{column_letter(columns - 1)}{rows}" if columns else f"row {rows:,}"
        raise SpoiltSheetError(f"A sheet of {name} reaches to {last}: too far out to be read.", _HINT)


def _column(letters: bytes) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + letter - ord("A") + 1
    return number
