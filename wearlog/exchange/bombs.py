"""Workbooks that would fill the memory: looked at as they lie in their file, before a reader makes room for their cells."""

from __future__ import annotations

import re
import time
import zipfile
import zlib
from collections.abc import Iterator
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
#: the tables, rows and cells of an OpenDocument sheet (ODF 1.3 part 3, 9.1), which tell how often each is repeated
_TAG: Final = re.compile(
    rb"""<(/?)table:(table|table-row|table-cell|covered-table-cell)((?:\s(?:[^<>"']|"[^"]*"|'[^']*')*?)?)(/?)>"""
)
_REPEATED: Final = re.compile(rb"""\stable:number-(?:rows|columns)-repeated\s*=\s*["']([0-9]{1,18})["']""")
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
                        _look_at_cells(_pieces(opened, path.name, began), path.name)
                elif part.filename == "content.xml":
                    with packed.open(part) as opened:
                        _look_at_tables(_pieces(opened, path.name, began), path.name)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError):
        # no packed workbook, or one with a password: its reader says so
        return


def _pieces(opened: IO[bytes], name: str, began: float) -> Iterator[bytes]:
    read = 0
    while piece := opened.read(_PIECE):
        refuse_late(began, name)
        read += len(piece)
        if read > MOST_UNPACKED:
            raise SpoiltSheetError(f"{name} unpacks to far more than any workbook.", "Save it as CSV.")
        yield piece


def _look_at_cells(pieces: Iterator[bytes], name: str) -> None:
    rows = columns = 0
    rest = b""
    for piece in pieces:
        for letters, number in _CELL.findall(rest + piece):
            rows = max(rows, int(number))
            columns = max(columns, _column(letters))
        rest = piece[-200:]
    _refuse_far(rows, columns, name)


def _look_at_tables(pieces: Iterator[bytes], name: str) -> None:
    """Count rows and columns up to the last cell that holds something; what is empty behind it no reader makes room for."""
    used = _Used()
    rest = b""
    for piece in pieces:
        text = rest + piece
        for tag in _TAG.finditer(text):
            used.take(*tag.groups())
            _refuse_far(used.rows, used.columns, name)
        # a tag that is cut goes on in the next piece; none begins inside another
        rest = text[text.rfind(b"<") :] if b"<" in text else b""
        if len(rest) > _PIECE:
            raise SpoiltSheetError(f"{name} holds a cell that is larger than any.", "Save it as CSV.")


class _Used:
    """How far the tables of an OpenDocument sheet are used, tag by tag."""

    def __init__(self) -> None:
        self.rows = self.columns = 0
        self._row = self._column = self._rows_here = 0

    def take(self, closing: bytes, what: bytes, said: bytes, empty: bytes) -> None:
        repeated = _REPEATED.search(said)
        times = int(repeated[1]) if repeated else 1
        if closing:
            return
        if what == b"table":
            self._row = self._column = self._rows_here = 0
        elif what == b"table-row":
            self._row, self._column, self._rows_here = self._row + self._rows_here, 0, times
        else:
            self._column += times
            if not empty or b"value-type" in said:
                self.rows = max(self.rows, self._row + self._rows_here)
                self.columns = max(self.columns, self._column)


def _refuse_far(rows: int, columns: int, name: str) -> None:
    if rows > MOST_ROWS or columns > MOST_COLUMNS or rows * columns > MOST_CELLS:
        last = f"{column_letter(columns - 1)}{rows}" if columns else f"row {rows:,}"
        raise SpoiltSheetError(f"A sheet of {name} reaches to {last}: too far out to be read.", _HINT)


def _column(letters: bytes) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + letter - ord("A") + 1
    return number
