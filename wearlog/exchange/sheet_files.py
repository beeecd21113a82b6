"""An answer as a file for a spreadsheet or as a page: .csv, .xlsx or .html, whole or not at all."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from html import escape
from pathlib import Path
from typing import Any, Final

from wearlog.errors import RefusedError
from wearlog.exchange.cell_text import guarded
from wearlog.exchange.order_files import whole_file, write_whole
from wearlog.present.answer_sheet import AnswerSheet, Row
from wearlog.present.digits import NOTHING


@dataclass(frozen=True, slots=True)
class Heading:
    """A column: its title, whether figures stand in it, and whether it is left for a hand to fill in."""

    title: str
    figures: bool = False
    box: bool = False


@dataclass(frozen=True, slots=True)
class PageTable:
    """A table of text; `foot` stands under a rule, or is empty."""

    headings: tuple[Heading, ...]
    rows: tuple[tuple[str, ...], ...]
    foot: tuple[str, ...] = ()
    caption: str = ""


def page_table(sheet: AnswerSheet[Row]) -> PageTable:
    """Return the table of an answer."""
    columns, measures = sheet.printed, sheet.measures

    def cells(row: Row) -> tuple[str, ...]:
        return tuple(column.cell(row, measures) for column in columns)

    return PageTable(
        tuple(Heading(column.heading(measures), column.figures, column.paper) for column in columns),
        tuple(cells(row) for row in sheet.listed),
        () if sheet.foot is None else cells(sheet.foot),
        sheet.caption,
    )


_CELLS_OF_A_CHARACTER: Final = 1.2
_WIDEST: Final = 60
#: a figure with a sign is no formula
_FIGURE: Final = re.compile(r"[+-]?[\d,]+(\.\d+)?( |$)")
#: words that say no more than a figure does
_BARE: Final = re.compile(r"[+-]?[\d,]+(\.\d+)?( %)?")


def save_sheet(sheet: AnswerSheet[Row], file: Path) -> Path:
    """Write the rows of an answer, as the ending of the name says.

    Raises
    ------
    RefusedError
        When the name ends otherwise, or the file cannot be written; what was there before stays then.

    Notes
    -----
    In a workbook figures are numbers, in CSV (UTF-8) they are written as people read them, with the farm's units in the headings
    or beside the figure. Text is text, whatever it begins with: no cell is a formula.
    """
    file = Path(file)
    ending = file.suffix.casefold()
    if ending == ".csv":
        return write_whole(file, _csv(sheet))
    if ending == ".xlsx":
        return _write_workbook(sheet, file)
    if ending in (".html", ".htm"):
        return write_whole(file, _page(sheet))
    raise RefusedError(f"{file.name} ends in nothing that is known.", "Let it end in .csv, .xlsx or .html.")


def _csv(sheet: AnswerSheet[Row]) -> str:
    table, text = page_table(sheet), io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow([heading.title for heading in table.headings])
    rows = [*table.rows, table.foot] if table.foot else table.rows
    for row in rows:
        writer.writerow([_csv_cell(cell, heading) for cell, heading in zip(row, table.headings, strict=True)])
    return text.getvalue()


def _csv_cell(words: str, heading: Heading) -> str:
    if words == NOTHING:
        return ""
    return words if heading.figures and _FIGURE.match(words) else guarded(words)


def _page(sheet: AnswerSheet[Row]) -> str:
    """A table that a browser prints; the season report has its own, larger page."""
    table = page_table(sheet)

    def line(cells: tuple[str, ...], tag: str) -> str:
        ranged = zip(cells, table.headings, strict=True)
        return "".join(
            f'<{tag} style="text-align:{"right" if heading.figures else "left"}">{escape(cell)}</{tag}>'
            for cell, heading in ranged
        )

    titles = line(tuple(heading.title for heading in table.headings), "th")
    rows = "".join(f"<tr>{line(row, 'td')}</tr>\n" for row in table.rows)
    foot = f"<tfoot><tr>{line(table.foot, 'th')}</tr></tfoot>" if table.foot else ""
    said = "".join(f"<p>{escape(one)}</p>\n" for one in (sheet.headline, *sheet.sentences) if one)
    style = (
        "body{font:11pt sans-serif}table{border-collapse:collapse}td,th{padding:2pt 6pt;border-bottom:1px solid #000}"
    )
    return (
        f'<!doctype html>\n<html lang="en"><meta charset="utf-8"><title>{escape(sheet.name)}</title><style>{style}</style>\n'
        f"{said}<table><thead><tr>{titles}</tr></thead>\n<tbody>\n{rows}</tbody>{foot}</table></html>\n"
    )


def _write_workbook(sheet: AnswerSheet[Row], file: Path) -> Path:
    from openpyxl import Workbook

    book = Workbook()
    page = book.active
    assert page is not None
    page.title = sheet.name[:31]
    fill_worksheet(page, sheet)
    with whole_file(file) as part:
        book.save(part)
    return file


def fill_worksheet(page: Any, sheet: AnswerSheet[Row]) -> None:
    """Write the rows of an answer into an empty worksheet: figures as numbers, text as text."""
    from openpyxl.styles import Font
    from openpyxl.utils import get_column_letter

    measures, columns = sheet.measures, sheet.printed
    page.append([column.heading(measures) or column.json_key(measures) for column in columns])
    for row in [*sheet.listed, *([] if sheet.foot is None else [sheet.foot])]:
        page.append(
            [
                _worksheet_value(
                    column.value(row, measures), column.cell(row, measures), only_figures=column.tells_more
                )
                for column in columns
            ]
        )
    for line in page.iter_rows():
        for cell in line:
            if isinstance(cell.value, str):
                # a text that begins with = would be taken for a formula
                cell.data_type = "s"
                cell.quotePrefix = cell.value[:1] in tuple("=+-@")
    for place in range(1, len(columns) + 1):
        longest = max(len(str(cell.value or "")) for cell in page[get_column_letter(place)])
        page.column_dimensions[get_column_letter(place)].width = min(_WIDEST, 2 + longest * _CELLS_OF_A_CHARACTER)
        page.cell(1, place).font = Font(bold=True)
    page.freeze_panes = "A2"


def _worksheet_value(value: Any, words: str, *, only_figures: bool) -> Any:
    """The value where a worksheet can hold it as it is, else the words; `only_figures`: the words where they say more than it."""
    if only_figures and not _BARE.fullmatch(words):
        return words
    if isinstance(value, datetime):
        # a worksheet knows no zones: the farm's own clock is in the words
        return words
    if isinstance(value, bool | Enum | str) or not isinstance(value, int | float):
        return words
    return value
