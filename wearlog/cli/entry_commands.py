"""entries, enter, change: any row of any sheet of the import format, by its number."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import click

from wearlog.cli.figures import WholeBetween
from wearlog.cli.options import (
    answer,
    answer_sheet,
    asked,
    command,
    local_now,
    opened,
    rows_to_change,
    say,
    tell,
    with_by,
    with_db,
    with_json,
    with_save,
    with_yes,
)
from wearlog.errors import NotFoundError, UsageError
from wearlog.present.words import capital, counted, saved_lines

if TYPE_CHECKING:
    from wearlog.exchange.row_book import RowBook
    from wearlog.facts.fact import Fact
    from wearlog.logbook.open_log import Store

_SHAPE = "Write it like: area=62 or note='new belt'"


@command(
    "entries",
    examples=(
        "wearlog entries",
        "wearlog entries run --last 5",
        "wearlog entries breakage north knife",
        "wearlog entries part_kind --json",
    ),
)
@click.argument("sheet", required=False, default="")
@click.argument("words", nargs=-1)
@click.option("--last", "last", default=20, type=WholeBetween(1, 100_000), help="How many rows, latest first.")
@with_save
@with_json
@with_db
def entries_command(sheet: str, words: tuple[str, ...], *, last: int, as_json: bool, save: str, db: str) -> None:
    """List the rows of SHEET with their numbers (those with WORDS in them), or show one row whole by its number.

    The sheets are those of the import format; without one it says which there are. A number is made of the row's own id: it is
    the same on every laptop that has the row, and stays when the row is changed.
    """
    from wearlog.exchange.row_book import sheet_counts, sheet_rows
    from wearlog.present.digits import Measures
    from wearlog.present.files.row_sheet import row_sheet

    with opened(db) as store:
        book = rows_to_change(store, local_now())
        if not sheet:
            counts = sheet_counts(store)
            lines = [f"  {name:<16} {counted(count, 'row')}" for name, count in counts.items()]
            answer(
                [*lines, "'wearlog entries SHEET' lists them with their numbers."], as_json, lambda: {"sheets": counts}
            )
            return
        if sheet.isdigit():
            _show_one(book, sheet, as_json=as_json)
            return
        found = sheet_rows(book, sheet_called(sheet), words, last)
        answer_sheet(
            row_sheet(found.sheet, found.headings, found.rows, Measures(book.known.farm), in_all=found.in_all),
            as_json=as_json,
            save=save,
        )


def _show_one(book: RowBook, number: str, *, as_json: bool) -> None:
    from wearlog.exchange.row_book import choices_of, rows_of_entry, sheet_of
    from wearlog.present.digits import Measures
    from wearlog.present.files.row_sheet import one_row_lines

    shown: list[str] = []
    rows: list[dict[str, Any]] = []
    for fact in rows_of_entry(book.store, number):
        sheet = sheet_of(fact)
        if not sheet:
            continue
        cells = book.cells(sheet, fact)
        shown += one_row_lines(book.called(sheet, fact), cells, choices_of(sheet), Measures(book.known.farm))
        if fact.voided:
            shown.append(
                "  Taken back: it is in no sheet and counts nowhere. 'wearlog history' shows by what; undo that to have it again."
            )
        rows.append({"sheet": sheet, "taken_back": fact.voided, "cells": cells})
    if not rows:
        raise NotFoundError(f"Entry {number} wrote no row of a sheet.", "'wearlog undo' with its number takes it back.")
    answer(shown, as_json, lambda: {"entry_number": number, "rows": rows})


@command(
    "enter",
    examples=(
        "wearlog enter field name='home place' area=160 ground=clean",
        "wearlog enter moisture_sample crop=wheat tester_pct=13.4 elevator_pct=13.1",
        "wearlog enter part_kind name='seed deflector' subsystem=header meter=area words='deflector, deflectors'",
    ),
)
@click.argument("sheet")
@click.argument("cells", nargs=-1, required=True, metavar="COLUMN=VALUE ...")
@click.option("--dry-run", "dry_run", is_flag=True, help="Say what it was read as, and save nothing.")
@with_yes
@with_by
@with_json
@with_db
def enter_command(sheet: str, cells: tuple[str, ...], *, dry_run: bool, yes: bool, as_json: bool, db: str) -> None:
    """Enter a row of any SHEET of the import format: its columns as they stand there (docs/import-format.md).

    A column may go without its unit: the farm's usual one is meant, unless the value says its own (area='62 ha'). Times may be
    said as everywhere ("yesterday 16:20"); without one it was now. What has a command of its own has its consequences here too: a
    breakage changes the fittings and takes parts off the shelf.
    """
    from wearlog.exchange.row_deeds import enter_facts

    name = sheet_called(sheet)
    with opened(db, start=True) as store:
        book = rows_to_change(store, local_now())
        facts = book.entered(name, said_cells(cells))
        for taken in book.taken:
            tell(taken)
        if dry_run:
            _say_read(book, name, facts, as_json=as_json)
            return
        done = asked(lambda sure: enter_facts(book, name, facts, sure), yes=yes)
    if done is None:
        return
    number = _number(done.facts[0])
    answer(
        [*saved_lines(done), f"  Its number is {number}: 'wearlog change {number} ...', 'wearlog undo {number}'."],
        as_json,
        lambda: {"saved": done.said, "entry": done.deed.id, "entry_number": number, "also": list(done.also)},
    )


def _say_read(book: RowBook, sheet: str, facts: Sequence[Fact], *, as_json: bool) -> None:
    from wearlog.present.digits import Measures
    from wearlog.present.files.row_sheet import one_row_lines

    cells = book.cells(sheet, facts[0])
    shown = {heading: text for heading, text in cells.items() if text}
    many = f", {len(facts)} rows like it" if len(facts) > 1 else ""
    called = f"nothing was saved; it was read as {sheet.replace('_', ' ')}{many}"
    answer(
        one_row_lines(called, shown, {}, Measures(book.known.farm)),
        as_json,
        lambda: {"saved": None, "sheet": sheet, "cells": shown, "rows": len(facts)},
    )


@command(
    "change",
    examples=(
        "wearlog entries run --last 5",
        "wearlog change 482913 area=62 field='north quarter'",
        "wearlog change 482913 yield_lb_per_ac=1800 --dry-run",
    ),
)
@click.argument("number")
@click.argument("cells", nargs=-1, required=True, metavar="COLUMN=VALUE ...")
@click.option("--dry-run", "dry_run", is_flag=True, help="Say what would change, and save nothing.")
@with_by
@with_json
@with_db
def change_command(number: str, cells: tuple[str, ...], *, dry_run: bool, as_json: bool, db: str) -> None:
    """Change any entry: the columns of its sheet, as in the import format; COLUMN= empties one.

    What hangs on it follows: a breakage at another time moves its parts, its repair and its stop; other positions change the
    fittings and the parts off the shelf. 'wearlog entries NUMBER' shows the row; 'wearlog undo' brings back what it said.
    """
    from wearlog.exchange.row_book import sheet_of
    from wearlog.exchange.row_deeds import change_facts, read_change
    from wearlog.logbook.rows.entering import find_entry, standing
    from wearlog.logbook.saving import Done

    with opened(db) as store:
        book = rows_to_change(store, local_now())
        with store.reading() as connection:
            old = standing(find_entry(connection, number).fact, number)
        sheet = sheet_of(old)
        if not sheet:
            raise UsageError(f"Entry {number} is no row of a sheet.", "'wearlog undo' takes it back.")
        change = read_change(book, sheet, old, said_cells(cells))
        for taken in book.taken:
            tell(taken)
        done = change_facts(book, change, dry_run=dry_run)
    content = {
        "entry_number": number,
        "sheet": sheet,
        "changes": [dict(zip(("column", "from", "to"), one, strict=True)) for one in change.cells],
    }
    if not isinstance(done, Done):
        along = len(done.new) + len(done.changed) + len(done.gone)
        lines = [f"Nothing was saved. It would have {change.said}."]
        lines += [f"  {counted(along, 'other row')} would follow."] if along else []
        answer(lines, as_json, lambda: {"saved": None, **content, "rows_along": along})
        return
    answer(
        [*saved_lines(done), "  'wearlog undo' takes it back."],
        as_json,
        lambda: {"saved": done.said, "entry": done.deed.id, **content, "also": list(done.also)},
    )


def sheet_called(text: str) -> str:
    """Return the sheet that a person names; UsageError with the nearest when there is none."""
    from difflib import get_close_matches

    from wearlog.exchange.raw_sheet import sheet_name
    from wearlog.exchange.sheets import SHEETS

    found = sheet_name(text)
    if found is None:
        close = get_close_matches(text.casefold(), SHEETS, n=1, cutoff=0.6)
        hint = f"Did you mean {close[0]}?" if close else f"There are {', '.join(SHEETS)}."
        raise UsageError(f"No sheet is called '{text}'.", hint)
    return found


def said_cells(words: Sequence[str]) -> dict[str, str]:
    """Return column -> value of what was typed as column=value; UsageError where the sign is missing or a column stands twice."""
    found: dict[str, str] = {}
    for word in words:
        column, sign, text = word.partition("=")
        if not sign or not column.strip():
            raise UsageError(f"'{word}' says no column.", _SHAPE)
        if column.strip() in found:
            raise UsageError(f"The column {column.strip()} stands twice.", "Write it once.")
        found[column.strip()] = text.strip()
    return found


def _number(fact: Fact) -> str:
    from wearlog.ids import short_number

    return short_number(fact.id)


def undo_number(store: Store, number: str) -> None:
    """Take back what has this number: an entry of the history, or a row with what hangs on it."""
    from wearlog.exchange.row_book import sheet_of
    from wearlog.exchange.row_deeds import take_back
    from wearlog.logbook.rows.entering import find_entry, standing

    with store.reading() as connection:
        found = find_entry(connection, number)
    fact = standing(found.fact, number)
    taken = take_back(rows_to_change(store, local_now()), sheet_of(fact), fact)
    say([f"{capital(taken.said)}.", *(f"  {capital(line)}." for line in taken.also)])
