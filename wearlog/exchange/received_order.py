"""Reading a delivery back from an order file: which parts came, how many, and what one cost. Nothing is entered here."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path

from wearlog.errors import NotFoundError, RefusedError, UsageError
from wearlog.exchange.cell_text import unguarded
from wearlog.exchange.found_files import ENDINGS, cell_text, decoded
from wearlog.exchange.raw_sheet import SpoiltSheetError
from wearlog.facts.parts import Part
from wearlog.facts.plain_text import folded
from wearlog.logbook.parts.stocking import Delivered
from wearlog.units import read_number

_NEEDED = ("number", "pieces")


def read_delivery(file: Path, parts: Sequence[Part]) -> tuple[Delivered, ...]:
    """Read an order file that wearlog wrote, its pieces and prices corrected to what came.

    Raises
    ------
    NotFoundError
        When the file is not there, or a part number is not in the log.
    RefusedError
        When the file cannot be read, has not the columns of an order, or a cell in them is no number.
    """
    file = Path(file)
    if not file.is_file():
        raise NotFoundError(f"There is no file {file}.")
    rows = _workbook_rows(file) if file.suffix.casefold() in ENDINGS else _csv_rows(file)
    if not rows:
        raise RefusedError(f"{file.name} is empty.")
    places = {folded(heading): place for place, heading in enumerate(rows[0])}
    missing = [name for name in _NEEDED if name not in places]
    if missing:
        raise RefusedError(
            f"{file.name} is no order: it has no column '{missing[0]}'.", "Use a file that 'wearlog plan --xlsx' wrote."
        )
    by_number = {folded(part.number): part for part in parts}
    lines = []
    for line, cells in enumerate(rows[1:], 2):
        number = unguarded(_cell(cells, places, "number"))
        if not number:
            continue
        part = by_number.get(folded(number))
        if part is None:
            raise NotFoundError(
                f"{file.name}, line {line}: there is no part {number} in the log.", "Enter it: wearlog add part."
            )
        lines.append(_line(file, line, part, cells, places))
    return tuple(lines)


def _line(file: Path, line: int, part: Part, cells: Sequence[str], places: dict[str, int]) -> Delivered:
    pieces = _number(file, line, "pieces", _cell(cells, places, "pieces") or "0")
    if pieces != pieces.to_integral_value() or pieces < 0:
        raise RefusedError(f"{file.name}, line {line}: {pieces} pieces cannot come.", "Write a whole number.")
    price = _cell(cells, places, "price each")
    minor = None if not price else int((_number(file, line, "price each", price) * 100).to_integral_value())
    return Delivered(part.id, int(pieces), minor, _cell(cells, places, "order"))


def _cell(cells: Sequence[str], places: dict[str, int], name: str) -> str:
    place = places.get(name)
    return "" if place is None or place >= len(cells) else cells[place].strip()


def _number(file: Path, line: int, column: str, text: str) -> Decimal:
    try:
        return read_number(text)
    except UsageError as error:
        raise RefusedError(f"{file.name}, line {line}, column '{column}': {error.message}", error.hint) from error


def _csv_rows(file: Path) -> list[list[str]]:
    try:
        text, _ = decoded(file.read_bytes())
    except (OSError, SpoiltSheetError) as error:
        raise RefusedError(f"{file.name} cannot be read.", "Save it as CSV (UTF-8) or .xlsx.") from error
    heading = next(iter(text.splitlines()), "")
    return list(csv.reader(text.splitlines(), delimiter=max(",;\t", key=heading.count)))


def _workbook_rows(file: Path) -> list[list[str]]:
    """The first worksheet that has the columns of an order: the one with all the lines."""
    from python_calamine import CalamineError, CalamineWorkbook

    try:
        book = CalamineWorkbook.from_path(str(file))
        sheet = book.get_sheet_by_index(0)
    except CalamineError:
        raise RefusedError(f"{file.name} cannot be read as a workbook.", "Save it as .xlsx or as CSV.") from None
    return [[cell_text(cell) for cell in row] for row in sheet.iter_rows()]
