"""Entering a row by its cells, changing it, taking it back: commands and screens both do it by these."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from wearlog.exchange.headings import NAME_FIELDS, OWN_FIELDS
from wearlog.exchange.row_book import RowBook, differing
from wearlog.facts.fact import Fact
from wearlog.ids import short_number
from wearlog.logbook.checks.doubts import NO_DOUBT_SETTLED
from wearlog.logbook.rows.breakage_rows import Hanging
from wearlog.logbook.rows.changing import TakenBack, change_row, take_back_row
from wearlog.logbook.rows.entering import enter_row
from wearlog.logbook.saving import Done


@dataclass(frozen=True, slots=True)
class ReadChange:
    """A change of one row as it was read: what it was and shall be, and cell by cell (heading, before, after)."""

    old: Fact
    new: Fact
    cells: tuple[tuple[str, str, str], ...]
    said: str


def entered_sentence(book: RowBook, sheet: str, facts: Sequence[Fact]) -> str:
    """Return the sentence of the history for a new row: it has no number yet."""
    return f"entered the {book.called(sheet, facts[0])}".replace(f" {short_number(facts[0].id)}", "")


def enter_facts(book: RowBook, sheet: str, facts: Sequence[Fact], sure: Collection[str] = NO_DOUBT_SETTLED) -> Done:
    """Save what the cells of a new row were read as (`RowBook.entered`). Errors as `enter_row`."""
    own = NAME_FIELDS.get(sheet) or OWN_FIELDS[sheet]
    said = entered_sentence(book, sheet, facts)
    return enter_row(book.store, facts, said, own=own, named=sheet in NAME_FIELDS, sure=sure)


def read_change(book: RowBook, sheet: str, old: Fact, cells: Mapping[str, str]) -> ReadChange:
    """Return what some cells of a row, said anew, make of it; saves nothing. UsageError names the cell that cannot be read."""
    new = book.changed(sheet, old, cells)
    changes = tuple(differing(book.cells(sheet, old), book.cells(sheet, new)))
    what = ", ".join(f"{heading} {before or 'empty'} -> {after or 'empty'}" for heading, before, after in changes)
    return ReadChange(old, new, changes, f"changed the {book.called(sheet, old)}: {what}")


def change_facts(book: RowBook, change: ReadChange, *, dry_run: bool = False) -> Done | Hanging:
    """Save a change with all that follows from it. Errors as `change_row`."""
    return change_row(book.store, change.old, change.new, change.said, dry_run=dry_run)


def take_back(book: RowBook, sheet: str, fact: Fact) -> TakenBack:
    """Take a row back, with the entry it came in or with what hangs on it. Errors as `take_back_row`."""
    called = book.called(sheet, fact) if sheet else f"entry {short_number(fact.id)}"
    return take_back_row(book.store, fact, called)
