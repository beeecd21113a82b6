"""Workbooks of a spreadsheet program, each worksheet a sheet, its cells turned into the text a CSV file would hold."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any, Final

from wearlog.exchange.raw_sheet import RawSheet, SpoiltSheetError, sheet_name

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
    try:
        book = CalamineWorkbook.from_path(str(path))
        for called in book.sheet_names:
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
    rows = _rows(sheet)
    for line, cells in rows:
        if any(cells):
            return RawSheet(name, file, tuple(cells), line, rows, None)
    return None


def _rows(sheet: Any) -> Iterator[tuple[int, list[str]]]:
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
        return format(Decimal(f"{cell:.15g}"), "f") if cell == cell and abs(cell) < 1e18 else str(cell)
    if isinstance(cell, datetime):
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
