"""Files as spreadsheets and people write them: CSV with its encoding, delimiter, decimal sign; a worksheet is a sheet.

A workbook that would fill the memory is found out as it lies in its file, before a reader makes room for its cells.
"""

from __future__ import annotations

import codecs
import csv
import io
import re
import zipfile
import zlib
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from pathlib import Path
from time import monotonic
from typing import IO, Any, Final

from wearlog.exchange.raw_sheet import RawSheet, SpoiltSheetError, column_letter, sheet_name

#: far beyond the largest farm; what a reader makes room for is the whole square up to the last cell
MOST_ROWS, MOST_COLUMNS, MOST_CELLS = 500_000, 1_000, 20_000_000
#: text of the unpacked parts
MOST_UNPACKED: Final = 600_000_000
#: a workbook of that size is read in some seconds
MOST_SECONDS = 120.0
_CELL: Final = re.compile(rb'<(?:[A-Za-z]\w*:)?(?:c|row)\s[^<>]*?\br="([A-Z]{0,4})([0-9]{1,9})"')
#: rows and columns of cells that have one letter and no number of which this finds anything
_NEAR: Final = (499_999, 26)
_NOT_NEAR: Final = re.compile(rb'r="(?:[A-Z]{2,4}[0-9]|[A-Z]?(?:[5-9][0-9]{5}|[0-9]{7,9})")')
_LONGEST_PLACE: Final = len('r="ABCD123456789"')
#: the tables, rows and cells of an OpenDocument sheet (ODF 1.3 part 3, 9.1), which tell how often each is repeated
_TAG: Final = re.compile(
    rb"""<(/?)table:(table|table-row|table-cell|covered-table-cell)((?:\s(?:[^<>"']|"[^"]*"|'[^']*')*?)?)(/?)>"""
)
_REPEATED: Final = re.compile(rb"""\stable:number-(?:rows|columns)-repeated\s*=\s*["']([0-9]{1,18})["']""")
_PIECE: Final = 1 << 20
_TO_THE_MINUTE: Final = len("2026-07-28 16:20")
_HINT: Final = "Delete what lies far out on that sheet (go to its last cell), or save it as CSV."


def refuse_late(began: float, name: str) -> None:
    """Refuse a workbook that is not read after two minutes, whatever keeps its reader; `began` is by the monotonic clock."""
    if monotonic() - began >= MOST_SECONDS:
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
    began = monotonic()
    try:
        with zipfile.ZipFile(path) as packed:
            parts = packed.infolist()
            if sum(part.file_size for part in parts) > MOST_UNPACKED:
                raise SpoiltSheetError(f"{path.name} unpacks to far more than any workbook.", "Save it as CSV.")
            for part in parts:
                if part.filename.startswith("xl/worksheets/") and part.filename.endswith(".xml"):
                    with packed.open(part) as opened:
                        near = _is_near(_pieces(opened, path.name, began))
                    if near:
                        continue
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


def _is_near(pieces: Iterator[bytes]) -> bool:
    """Whether every cell lies within so few columns and rows that they are not too many together; False where one may not."""
    rows, columns = _NEAR
    if rows > MOST_ROWS or columns > MOST_COLUMNS or rows * columns > MOST_CELLS:
        return False
    rest = b""
    for piece in pieces:
        text = rest + piece
        if _NOT_NEAR.search(text):
            return False
        rest = text[-_LONGEST_PLACE:]
    return True


def _look_at_cells(pieces: Iterator[bytes], name: str) -> None:
    rows = columns = 0
    rest = b""
    for piece in pieces:
        # each letter and each number once: a sheet has a few columns, and every row number stands before each of its cells
        if found := _CELL.findall(rest + piece):
            letters, numbers = map(set, zip(*found, strict=True))
            rows = max(rows, *map(int, numbers))
            columns = max(columns, *map(_column, letters))
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


_MARKS: Final = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
#: a cell 12.5 or 1234.567 but not 1.234, which may be a group of thousands
_POINT_NUMBER: Final = re.compile(
    r"(?:^|[;\t])\s*-?(?:\d+\.\d{1,2}|\d+\.\d{4,}|\d{4,}\.\d+)\s*(?=[;\t\r\n]|$)", re.MULTILINE
)
_COMMA_NUMBER: Final = re.compile(r"(?:^|[;\t])\s*-?\d+,\d+\s*(?=[;\t\r\n]|$)", re.MULTILINE)


def decoded(content: bytes) -> tuple[str, bool]:
    """Return the text of a file, and whether Windows-1252 had to be guessed.

    Raises
    ------
    SpoiltSheetError
        When it is no text in any of the encodings that are known here.
    """
    try:
        for mark, encoding in _MARKS:
            if content.startswith(mark):
                return content.decode(encoding), False
        if b"\0" in content[:4000]:
            raise SpoiltSheetError("It is not a text file.", "Save it as CSV (UTF-8).")
        try:
            return content.decode("utf-8"), False
        except UnicodeDecodeError:
            return content.decode("cp1252"), True
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise SpoiltSheetError("Its letters cannot be read.", "Save it as CSV (UTF-8).", line) from None


def open_csv(name: str, file: str, content: bytes) -> tuple[RawSheet | None, bool]:
    """Return the sheet in a file and whether its encoding was guessed; no sheet when the file is empty.

    Raises
    ------
    SpoiltSheetError
        When the file cannot be read as far as its headings.
    """
    text, guessed = decoded(content)
    delimiter, skipped = _delimiter(text)
    lines = _rows(text, delimiter, skipped)
    for line, cells in lines:
        if any(cell.strip() for cell in cells):
            refuse_wide(len(cells))
            comma = _decimal_comma(text, delimiter)
            return RawSheet(name, file, tuple(cells), line, lines, comma), guessed
    return None, guessed


def _rows(text: str, delimiter: str, skipped: int) -> Iterator[tuple[int, list[str]]]:
    lines = io.StringIO(text, newline="")
    for _ in range(skipped):
        lines.readline()
    reader = csv.reader(lines, delimiter=delimiter, strict=True)
    begins = 1 + skipped
    try:
        for cells in reader:
            yield begins, cells
            begins = reader.line_num + 1 + skipped
    except csv.Error as error:
        if "field larger" in str(error):
            raise SpoiltSheetError("A cell is far too long.", "Is a quotation mark missing?", begins) from None
        raise SpoiltSheetError(
            "The quotation marks do not pair up.",
            "Put text with a quotation mark in it into quotation marks and double the ones inside.",
            begins,
        ) from None


def _delimiter(text: str) -> tuple[str, int]:
    """Return what separates the headings, and how many lines before them say so (`sep=;`)."""
    said = re.match(r"\s*sep=(.)\r?\n", text)
    if said:
        return said[1], text.count("\n", 0, said.end())
    heading = next((line for line in text.splitlines() if line.strip(" ,;\t")), "")
    unquoted = re.sub(r'"[^"]*"', "", heading)
    return max(",;\t", key=unquoted.count), 0


def _decimal_comma(text: str, delimiter: str) -> bool:
    """A file of commas has decimal points; any other has decimal commas, unless its numbers show that it has points."""
    if delimiter == ",":
        return False
    return _COMMA_NUMBER.search(text) is not None or _POINT_NUMBER.search(text) is None


ENDINGS: Final = (".xlsx", ".xlsm", ".xls", ".ods")


def open_workbook(path: Path) -> tuple[list[RawSheet], list[str]]:
    """Return the sheets of a workbook and the names of its other worksheets.

    Raises
    ------
    SpoiltSheetError
        When it is not a workbook, or is locked by a password.
    """
    from python_calamine import CalamineError, CalamineWorkbook

    sheets: list[RawSheet] = []
    others: list[str] = []
    began = monotonic()
    refuse_bombs(path)
    try:
        book = CalamineWorkbook.from_path(str(path))
        for called in book.sheet_names:
            refuse_late(began, path.name)
            name = sheet_name(called)
            if name is None:
                others.append(called)
                continue
            found = _open(name, f"{path.name}, sheet {called}", book.get_sheet_by_name(called))
            sheets += [found] if found else []
    except CalamineError:
        raise SpoiltSheetError(
            f"{path.name} cannot be read as a workbook.", "Save it as .xlsx, without a password, or as CSV."
        ) from None
    return sheets, others


def _open(name: str, file: str, sheet: Any) -> RawSheet | None:
    rows = _worksheet_rows(sheet)
    for line, cells in rows:
        if any(cells):
            return RawSheet(name, file, tuple(cells), line, rows, None)
    return None


def _worksheet_rows(sheet: Any) -> Iterator[tuple[int, list[str]]]:
    # rows come from the first used column on; the letters of the columns before it must not be lost
    before = [""] * (sheet.start[1] if sheet.start else 0)
    for line, cells in enumerate(sheet.iter_rows(), 1):
        yield line, before + [cell if type(cell) is str else cell_text(cell) for cell in cells]


def cell_text(cell: object) -> str:
    """Return a typed cell as text: 2310.4, 2025-07-28 16:20, yes. A midnight counts as a day alone."""
    if isinstance(cell, float):
        if not abs(cell) < 1e18:
            return str(cell)
        digits = f"{cell:.15g}"
        return digits if "e" not in digits else format(Decimal(digits), "f")
    if isinstance(cell, str):
        return cell
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, datetime):
        if not (cell.second or cell.microsecond or cell.tzinfo):
            # nearly every one; to ask for minutes takes half as long again
            return cell.isoformat(" ")[:_TO_THE_MINUTE]
        cut = cell
        if cell.microsecond:
            # a spreadsheet keeps a time as a fraction of a day, which is off by some microseconds
            near = cell + timedelta(milliseconds=0.5)
            cut = near.replace(microsecond=near.microsecond // 1000 * 1000)
        return cut.isoformat(sep=" ", timespec="auto" if cut.second or cut.microsecond else "minutes")
    if isinstance(cell, timedelta):
        minutes = round(cell.total_seconds() / 60)
        return f"{minutes // 60}:{minutes % 60:02}"
    if isinstance(cell, time):
        return f"{cell.hour}:{cell.minute:02}"
    return cell.isoformat() if isinstance(cell, date) else str(cell)
