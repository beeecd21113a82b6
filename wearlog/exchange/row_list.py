"""The rows of one sheet out of the log, as lists and commands show them: the latest first, those that hold some words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Final
from uuid import UUID

from wearlog.errors import NotFoundError
from wearlog.exchange.columns import Form, heading_with, units_of
from wearlog.exchange.headings import helpers_of
from wearlog.exchange.row_book import RowBook
from wearlog.exchange.sheet_rows import FACT_OF_SHEET
from wearlog.exchange.sheets import SHEETS
from wearlog.facts.electrics import Fault
from wearlog.facts.fact import Fact
from wearlog.facts.plain_text import folded
from wearlog.ids import short_number
from wearlog.logbook.names import known_names
from wearlog.logbook.rows.found import find_entry
from wearlog.present.files.row_sheet import SheetRow
from wearlog.store.connection import Connection
from wearlog.store.finding import count_all, find_all, find_in_order, find_many
from wearlog.store.journal import versions_of_deed
from wearlog.store.opening import Store
from wearlog.store.schema import FACT_OF_TABLE, table_of

#: the version of the ids of what was entered by hand
_ENTERED: Final = 7
_LONG_AGO: Final = datetime.min.replace(tzinfo=UTC)
_WHEN: Final = ("at", "started_at", "fitted_at", "from_at", "opened_at", "starts_on")


def row_book(store: Store, now: datetime) -> RowBook:
    """Return a reader and writer of this log's rows; `now` is by the farm's clock."""
    with store.reading() as connection:
        return RowBook(store, known_names(connection), tuple(find_all(connection, Fault)), now)


@dataclass(frozen=True, slots=True)
class SheetRows:
    """Rows of one sheet with their cells, the headings in the order of the format, and how many rows fit in all."""

    sheet: str
    headings: tuple[str, ...]
    rows: tuple[SheetRow, ...]
    facts: tuple[Fact, ...]
    in_all: int


def sheet_rows(book: RowBook, sheet: str, words: Sequence[str] = (), last: int = 20) -> SheetRows:
    """Return the latest rows of a sheet; with words those in which each of them stands, which looks at every row."""
    fact_type = FACT_OF_SHEET[sheet]
    with book.store.reading() as connection:
        facts = _latest_first(connection, fact_type, None if words else last)
        in_all = count_all(connection, fact_type)
    wanted = [folded(word) for word in words]
    rows: list[SheetRow] = []
    kept: list[Fact] = []
    hits = 0
    for fact in facts:
        row = SheetRow(short_number(fact.id), book.cells(sheet, fact))
        if wanted and not all(word in folded(" ".join(row.cells.values())) for word in wanted):
            continue
        hits += 1
        if len(rows) < last:
            rows.append(row)
            kept.append(fact)
    headings = (
        *helpers_of(SHEETS[sheet]),
        *(heading_with(column, unit) for column in SHEETS[sheet] for unit in units_of(column)),
    )
    return SheetRows(sheet, tuple(dict.fromkeys(headings)), tuple(rows), tuple(kept), hits if words else in_all)


def _latest_first(connection: Connection, fact_type: type[Fact], limit: int | None) -> Sequence[Fact]:
    """Rows by the time they tell of; rows of no time by when a hand entered them, those that an import brought last."""
    when = next((field for field in _WHEN if field in table_of(fact_type).columns), None)
    if when is not None and table_of(fact_type).columns[when].nullable:
        facts = find_all(connection, fact_type)
        return sorted(facts, key=lambda one: _by_time(one, getattr(one, when)), reverse=True)[:limit]
    if when is not None:
        return find_in_order(connection, fact_type, when, latest_first=True, limit=limit)
    # ids of what was entered are in the order of time; ids derived from a sheet are in none
    facts = sorted(find_all(connection, fact_type), key=lambda one: (one.id.version == _ENTERED, one.id), reverse=True)
    return facts[:limit]


def rows_from(book: RowBook, sheet: str, first: int, size: int) -> tuple[tuple[SheetRow, ...], tuple[Fact, ...]]:
    """Return a page of a sheet, the latest row first: the rows with their cells, and the facts that they are."""
    with book.store.reading() as connection:
        facts = tuple(_latest_first(connection, FACT_OF_SHEET[sheet], first + size))[first:]
    return tuple(SheetRow(short_number(fact.id), book.cells(sheet, fact)) for fact in facts), facts


def row_of_id(book: RowBook, sheet: str, row_id: UUID) -> Fact:
    """Return a row of a sheet by its id. NotFoundError when it was taken back meanwhile."""
    with book.store.reading() as connection:
        found = find_many(connection, FACT_OF_SHEET[sheet], [row_id])
    if not found:
        raise NotFoundError("This row is not in the log any more.", "It was taken back meanwhile; read the log again.")
    return found[0]


def _by_time(fact: Fact, at: datetime | None) -> tuple[bool, datetime, UUID]:
    """What has no time would stand behind all that has one: what a hand entered stands before it."""
    return at is None and fact.id.version == _ENTERED, at or _LONG_AGO, fact.id


def sheet_counts(store: Store) -> dict[str, int]:
    """Return how many rows each sheet has, in the order of the format."""
    with store.reading() as connection:
        return {sheet: count_all(connection, fact_type) for sheet, fact_type in FACT_OF_SHEET.items()}


def rows_of_entry(store: Store, number: str, most: int = 50) -> list[Fact]:
    """Return the row that has this number, or the rows (at most so many) that an entry of the history wrote."""
    with store.reading() as connection:
        found = find_entry(connection, number)
        if found.deed is None:
            return [found.fact] if found.fact is not None else []
        rows: list[Fact] = []
        for version in versions_of_deed(connection, found.deed.id)[:most]:
            rows += find_many(connection, FACT_OF_TABLE[version.table_name], [version.row_id], voided_too=True)
        return rows


def choices_of(sheet: str) -> dict[str, str]:
    """Return what may stand under the headings that take one of a few words."""
    return {
        column.heading: "yes or no" if column.form is Form.FLAG else ", ".join(column.closed_list or ())
        for column in SHEETS[sheet]
        if column.closed_list is not None or column.form is Form.FLAG
    }
