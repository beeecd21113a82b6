"""Files as spreadsheets and people write them: CSV with its encoding, delimiter, decimal sign; a worksheet is a sheet."""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from pathlib import Path
from time import monotonic
from typing import Any, Final

from wearlog.exchange.bombs import refuse_bombs, refuse_late, refuse_wide
from wearlog.exchange.raw_sheet import RawSheet, SpoiltSheetError, sheet_name

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
    if isinstance(cell, str):
        return cell
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        if not abs(cell) < 1e18:
            return str(cell)
        digits = f"{cell:.15g}"
        return digits if "e" not in digits else format(Decimal(digits), "f")
    if isinstance(cell, datetime):
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
