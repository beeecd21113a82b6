"""An answer as a table on paper: every column that has words, boxes to tick too. Measures and pixels are in the page's template."""

from __future__ import annotations

from dataclasses import dataclass

from wearlog.present.answer_sheet import AnswerSheet, Row


@dataclass(frozen=True, slots=True)
class Heading:
    """A column: its title, and whether figures stand in it."""

    title: str
    figures: bool = False


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
        tuple(Heading(column.heading(measures), column.figures) for column in columns),
        tuple(cells(row) for row in sheet.listed),
        () if sheet.foot is None else cells(sheet.foot),
        sheet.caption,
    )
