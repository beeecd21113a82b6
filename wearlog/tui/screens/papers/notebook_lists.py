"""The lists of a notebook on the desk: its columns, its rows as understood, its questions with their answers. Words only."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from wearlog.logbook.lines.open_notebook import SKIP, OpenBook
from wearlog.present.notebook_words import (
    columns_shown,
    entry_told,
    held_told,
    means_said,
    notebook_told,
    offer_told,
    table_told,
    where_told,
)
from wearlog.present.words import counted
from wearlog.tui.widgets.list_rows import FixedSource, ListColumn, ListRow

if TYPE_CHECKING:
    from collections.abc import Sequence

    from wearlog.logbook.lines.notebook_answers import AskedLine
    from wearlog.logbook.notebook.note_entry import NoteRow

#: so many rows of each sort are shown as understood, until all are asked for
_FIRST: Final = 3
_MOST_CHOICES: Final = 6

_COLUMN_LIST: Final = (
    ListColumn("column", 12, 32),
    ListColumn("is taken for", 17, 28),
    ListColumn("by", 11, 20, weight=1),
)
_ROW_LIST: Final = (ListColumn("row", 4, 14), ListColumn("is", 9, 22), ListColumn("says", 20, 200))
_ASKED_LIST: Final = (ListColumn("row", 4, 14), ListColumn("question", 24, 52), ListColumn("answer", 6, 40))


@dataclass(frozen=True, slots=True)
class ColumnKey:
    """A column of a table, by their numbers."""

    table: int
    column: int


@dataclass(frozen=True, slots=True)
class AskedKey:
    """A question, by its number among those that are listed."""

    number: int


@dataclass(frozen=True, slots=True)
class OfferKey:
    """Something that is not there, by its number."""

    number: int


def column_list(book: OpenBook) -> FixedSource:
    """Return what each column is taken for, table by table."""
    rows: list[ListRow] = []
    for number, seen in enumerate(book.desk.notebook.tables):
        rows.append(ListRow(("table", number), (table_told(seen),), heading=True))
        rows += [
            ListRow(
                ColumnKey(number, seen.columns.index(one)),
                (one.heading or "(no heading)", held_told(one), one.by.value),
            )
            for one in columns_shown(seen)
        ]
    return FixedSource(_COLUMN_LIST, rows)


def row_list(book: OpenBook, *, every: bool) -> FixedSource:
    """Return the rows that would be saved: the first of each sort, or all."""
    shown: dict[str, int] = {}
    rows: list[ListRow] = []
    for row in book.desk.sure:
        means = means_said(row)
        shown[means] = shown.get(means, 0) + 1
        if every or shown[means] <= _FIRST:
            rows.append(ListRow(row.place, (_short(book, where_told(row)), means, _entries(row))))
    return FixedSource(_ROW_LIST, rows)


def _entries(row: NoteRow) -> str:
    return "; ".join(entry_told(one) for one in row.entries)


def asked_of(book: OpenBook) -> list[AskedLine]:
    """Return the questions that are open, then those that were answered, with their answers."""
    from wearlog.logbook.lines.notebook_answers import asked_lines

    return [*asked_lines(book.desk.asked), *book.given]


def asked_list(book: OpenBook, lines: Sequence[AskedLine]) -> FixedSource:
    """Return the questions as a list."""
    rows = [
        ListRow(AskedKey(number), (_short(book, _where(one)), one.question, one.answer))
        for number, one in enumerate(lines)
    ]
    offers = [
        ListRow(OfferKey(number), (str(len(one.rows)), f"{one.says}: make it?", ""))
        for number, one in enumerate(book.desk.offers)
    ]
    answered = next((number for number, one in enumerate(lines) if one.answer), None)
    if answered is not None:
        rows.insert(answered, ListRow("answered", ("Answered; Enter changes it",), heading=True))
    if offers:
        offers.insert(0, ListRow("offers", ("Not there yet, and how many rows name it",), heading=True))
        offers += [ListRow("asked", ("Questions",), heading=True)] if rows else []
    return FixedSource(_ASKED_LIST, [*offers, *rows])


def _where(line: AskedLine) -> str:
    return f"{line.sheet} {line.row} {line.columns}".rstrip()


def _short(book: OpenBook, where: str) -> str:
    """Leave the name of the sheet out where there is only one."""
    return where.removeprefix(f"{book.sheets[0].name} ") if len(book.sheets) == 1 else where


def row_about(row: NoteRow) -> str:
    """Return a row in full: what stands in it, what it is taken to say, what is taken for granted."""
    said = [f"{where_told(row)}: {row.said}", f"= {_entries(row) or 'nothing to save'}"]
    said += [f"taken for granted: {'; '.join(row.granted)}"] if row.granted else []
    return "\n".join(said)


def asked_about(line: AskedLine, lines: Sequence[AskedLine]) -> str:
    """Return a question in full: what stands in the row, what is asked, what can be answered."""
    same = sum(one.asks == line.asks for one in lines)
    said = [f"{_where(line)}: {line.says}", f"? {line.question}"]
    ways = [*line.choices[:_MOST_CHOICES], SKIP] if SKIP not in line.choices else list(line.choices)
    ending = f"; with * behind it for all {same} rows that ask this" if same > 1 else ""
    return "\n".join([*said, f"answer: {', '.join(ways)}, or what it is{ending}"])


def offer_about(book: OpenBook, number: int) -> str:
    """Return what is not there in full, with the first rows that name it."""
    offer = book.desk.offers[number]
    said = [offer_told(offer), *(f"{where_told(one)}: {one.said}" for one in offer.rows[:_FIRST])]
    said += [f"and {counted(len(offer.rows) - _FIRST, 'more row')}"] if len(offer.rows) > _FIRST else []
    return "\n".join([*said, "Enter: one answer for all of them"])


def answer_ways(line: AskedLine) -> tuple[str, ...]:
    """Return what the arrows put into the line of the answer, one after the other."""
    return tuple(dict.fromkeys((*line.choices, SKIP)))


def desk_sentences(book: OpenBook) -> tuple[str, str]:
    """Return how much is clear, and what to do next."""
    desk = book.desk
    told = notebook_told(desk.notebook, desk.states.known)
    waiting = desk.waiting(may_make=False)
    if waiting:
        asked = f", {len(desk.asked)} for an answer" if desk.asked else ""
        saves = (
            f"a saves {counted(len(desk.sure) - waiting, 'row')}"
            if len(desk.sure) > waiting
            else "Nothing can be saved yet"
        )
        return told, f"{saves}; {waiting} wait{'s' if waiting == 1 else ''} for what is not there{asked}."
    if desk.sure:
        rest = f"; {counted(len(desk.asked), 'row')} can be answered first, or later" if desk.asked else ""
        return told, f"a saves {counted(len(desk.sure), 'row')} as one entry{rest}."
    if desk.asked:
        return told, "The questions stand in the third section; what is answered is saved by a."
    return told, "Nothing is left to save."
