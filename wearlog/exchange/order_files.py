"""The order list as a workbook and as CSV files, one for each supplier, all or nothing; and a delivery read back from one.

What to order is reckoned before, and nothing is entered here.
"""

from __future__ import annotations

import csv
import io
import re
import secrets
import unicodedata
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from decimal import Decimal
from pathlib import Path
from typing import Any, Final

from wearlog.disk import put_folder_in_place, put_in_place, take_away_if_it_can_be, why_unread
from wearlog.errors import NotFoundError, RefusedError, UsageError
from wearlog.exchange.cell_text import guarded, unguarded
from wearlog.exchange.found_files import ENDINGS, cell_text, decoded
from wearlog.exchange.raw_sheet import SpoiltSheetError
from wearlog.facts.parts import Part
from wearlog.facts.plain_text import folded
from wearlog.logbook.parts.stocking import Delivered
from wearlog.present.plan.spare_sheet import OrderRow, SupplierLines, WholeOrder
from wearlog.units import read_number

#: headings of an order file; the reader of a delivery knows them by these words
HEADINGS: Final = (
    "order",
    "supplier",
    "number",
    "part",
    "packs",
    "pieces in a pack",
    "pieces",
    "price each",
    "sum",
)

_NO_SUPPLIER: Final = "no supplier"

_MONEY: Final = "#,##0.00"

_WIDTHS: Final = (14, 22, 16, 30, 8, 16, 9, 12, 12)

#: characters that the name of a worksheet may not hold
_NOT_IN_NAMES: Final = re.compile(r"[\[\]:*?/\\]")


def write_order_workbook(order: WholeOrder, file: Path) -> Path:
    """Write the order as .xlsx: all lines on the first worksheet, then one worksheet for each supplier.

    Raises
    ------
    RefusedError
        When the name does not end in .xlsx, or the file cannot be written; what was there before stays then.

    Notes
    -----
    Text is written as text, whatever it begins with: no cell is a formula. Sums are numbers, not formulas.
    """
    from openpyxl import Workbook

    file = Path(file)
    if file.suffix.casefold() != ".xlsx":
        raise RefusedError(f"{file.name} is not the name of a workbook.", "Let it end in .xlsx.")
    book = Workbook()
    first = book.active
    assert first is not None
    first.title = "order"
    _fill(first, order, order.suppliers)
    taken = {"order"}
    for supplier in order.suppliers:
        _fill(book.create_sheet(_title(supplier.supplier, taken)), order, (supplier,))
    with whole_file(file) as part:
        book.save(part)
    return file


def write_order_folder(order: WholeOrder, folder: Path) -> tuple[Path, ...]:
    """Write the order as CSV (UTF-8), a file for each supplier, into a new folder or one that holds earlier orders alone.

    Raises
    ------
    RefusedError
        When the folder holds other files or cannot be written; nothing of it is changed then.
    """
    import shutil

    folder = Path(folder)
    others = _others(folder)
    if others:
        raise RefusedError(f"{folder.name} holds other files: {', '.join(others[:3])}.", "Name a new or empty folder.")
    part = folder.with_name(f".{folder.name}.{secrets.token_hex(4)}.part")
    try:
        part.mkdir(parents=True)
        names = [_write_csv(supplier, part) for supplier in order.suppliers]
        put_folder_in_place(part, folder)
    except OSError as error:
        raise RefusedError(f"{folder} cannot be written: {error.strerror}.", "Name another folder.") from error
    finally:
        shutil.rmtree(part, ignore_errors=True)
    return tuple(folder / name for name in names)


@contextmanager
def whole_file(file: Path) -> Iterator[Path]:
    """Give a file beside the real one that takes its name when all is written. RefusedError when it cannot be written."""
    part = file.with_name(f".{file.name}.{secrets.token_hex(4)}.part")
    try:
        yield part
        put_in_place(part, file)
    except OSError as error:
        raise RefusedError(f"{file} cannot be written: {error.strerror}.", "Name another file.") from error
    finally:
        take_away_if_it_can_be(part)


def write_whole(file: Path, text: str) -> Path:
    """Write a text file whole or not at all. RefusedError when it cannot be written."""
    with whole_file(Path(file)) as part:
        part.write_text(text, "utf-8", newline="\n")
    return Path(file)


def _others(folder: Path) -> list[str]:
    if not folder.exists():
        return []
    if not folder.is_dir():
        return [folder.name]
    return sorted(one.name for one in folder.iterdir() if not re.fullmatch(r"order-.*\.csv", one.name))


def _write_csv(supplier: SupplierLines, folder: Path) -> str:
    name = f"order-{_slug(supplier.supplier or _NO_SUPPLIER)}.csv"
    number = 2
    while (folder / name).exists():
        name = f"order-{_slug(supplier.supplier)}-{number}.csv"
        number += 1
    with (folder / name).open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(HEADINGS)
        writer.writerows(_cells(supplier, row, text=guarded, money=_decimal_text) for row in supplier.rows)
        total = _decimal_text(supplier.sum_minor)
        writer.writerow(["", "", "", "together", "", "", "", "", total])
    return name


def _cells(
    supplier: SupplierLines,
    row: OrderRow,
    *,
    text: Callable[[str], str],
    money: Callable[[int | None], object],
) -> list[Any]:
    return [
        supplier.mark,
        text(supplier.supplier),
        text(row.number),
        text(row.part),
        row.packs,
        row.pack_size,
        row.pieces,
        money(row.price_minor),
        money(row.sum_minor),
    ]


def _decimal_text(minor: int | None) -> str:
    return "" if minor is None else str(Decimal(minor).scaleb(-2))


def _decimal(minor: int | None) -> Decimal | None:
    return None if minor is None else Decimal(minor).scaleb(-2)


def _fill(worksheet: Any, order: WholeOrder, suppliers: tuple[SupplierLines, ...]) -> None:
    from openpyxl.styles import Font
    from openpyxl.utils import get_column_letter

    worksheet.append(list(HEADINGS))
    for supplier in suppliers:
        for row in supplier.rows:
            worksheet.append(_cells(supplier, row, text=str, money=_decimal))
    total = sum(supplier.sum_minor for supplier in suppliers)
    worksheet.append([None, None, None, f"together, in {order.currency}", None, None, None, None, _decimal(total)])
    for line in worksheet.iter_rows():
        for cell in line:
            if isinstance(cell.value, str):
                # a text that begins with = would be taken for a formula
                cell.data_type = "s"
                cell.quotePrefix = cell.value[:1] in "=+-@"
    for column in (8, 9):
        for line in worksheet.iter_rows(min_row=2, min_col=column, max_col=column):
            line[0].number_format = _MONEY
    for cell in (*worksheet[1], *worksheet[worksheet.max_row]):
        cell.font = Font(bold=True)
    for column, width in enumerate(_WIDTHS, 1):
        worksheet.column_dimensions[get_column_letter(column)].width = width
    worksheet.freeze_panes = "A2"
    worksheet.page_setup.orientation = "landscape"
    worksheet.page_setup.fitToWidth, worksheet.page_setup.fitToHeight = 1, 0
    worksheet.sheet_properties.pageSetUpPr.fitToPage = True


def _title(supplier: str, taken: set[str]) -> str:
    """A name that a worksheet may have and no other one has."""
    name = _NOT_IN_NAMES.sub(" ", supplier).strip(" '")[:28].strip() or _NO_SUPPLIER
    found, number = name, 2
    while found.casefold() in taken:
        found, number = f"{name[:25]} {number}", number + 1
    taken.add(found.casefold())
    return found


def _slug(name: str) -> str:
    """The name in letters that any file system takes."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().casefold()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:40] or "supplier"


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
    except OSError as error:
        raise RefusedError(f"{file.name} cannot be read: {why_unread(error)}.", "Nothing was received.") from error
    except SpoiltSheetError as error:
        raise RefusedError(f"{file.name} cannot be read.", "Save it as CSV (UTF-8) or .xlsx.") from error
    heading = next(iter(text.splitlines()), "")
    return list(csv.reader(text.splitlines(), delimiter=max(",;\t", key=heading.count)))


def _workbook_rows(file: Path) -> list[list[str]]:
    """The first worksheet that has the columns of an order: the one with all the lines."""
    from python_calamine import CalamineError, CalamineWorkbook

    try:
        book = CalamineWorkbook.from_filelike(io.BytesIO(file.read_bytes()))
        sheet = book.get_sheet_by_index(0)
    except OSError as error:
        raise RefusedError(f"{file.name} cannot be read: {why_unread(error)}.", "Nothing was received.") from error
    except CalamineError:
        raise RefusedError(f"{file.name} cannot be read as a workbook.", "Save it as .xlsx or as CSV.") from None
    return [[cell_text(cell) for cell in row] for row in sheet.iter_rows()]
