"""log, undo, history: what broke or was done in one plain line, taking it back, and who entered what."""

from __future__ import annotations

import sys
from datetime import UTC
from uuid import UUID

import click

from wearlog.cli.options import (
    answer,
    answer_sheet,
    command,
    local_now,
    say,
    tell,
    with_by,
    with_db,
    with_json,
    with_save,
)
from wearlog.errors import UsageError
from wearlog.logbook.doors import Store, by_farms_clock, opened
from wearlog.present.words import saved_lines


@command(
    "log",
    examples=(
        'wearlog log "3 sections 41-43 rock, 20 min"',
        'wearlog log "guard 12 bent, straightened, north header" --yes',
        'wearlog log "feeder chain stretched, yesterday 16:20, 1.5 h -- slat 4 was loose"',
        'wearlog log "north sections 60-62 and guard 61, stone, 40 min" --dry-run',
    ),
)
@click.argument("words", nargs=-1, required=True)
@click.option("--dry-run", "dry_run", is_flag=True, help="Say what was understood, and save nothing.")
@click.option("--yes", is_flag=True, help="Save without asking.")
@with_by
@with_json
@with_db
def log_command(words: tuple[str, ...], *, dry_run: bool, yes: bool, as_json: bool, db: str) -> None:
    """Log in plain words, in any order, what broke or what was done.

    Say what broke and where (3 sections 41-43), why (rock, worn, loose), what was done (replaced, mended, left), which machine,
    how long it stood, when. Behind -- stands a note. Winter work, a fault of the electrics, a meter, acres cut, a service and a
    delivery are understood as well, and saved as what they are. It says what was understood before anything is saved.
    """
    from wearlog.cli.asking import agreed, asked
    from wearlog.logbook.lines.farm_line_words import farm_words
    from wearlog.logbook.lines.line_saving import ask_before_saving, save_heard
    from wearlog.logbook.plain_line import hear
    from wearlog.present.heard_words import heard_json, heard_lines

    with opened(db) as store:
        now = by_farms_clock(store, local_now())
        heard = hear(" ".join(words), farm_words(store), now)
        understood = heard_lines(heard, now.tzinfo or UTC)
        if dry_run:
            answer(understood, as_json, lambda: heard_json(heard))
            return
        if heard.question:
            raise UsageError(heard.question, heard.hint)
        if heard.corrected and yes:
            tell("\n".join(understood))
        if not yes:
            tell("\n".join(understood))
            if not sys.stdin.isatty():
                # what is doubtful is said rather than that nobody could be asked
                ask_before_saving(store, heard)
            if not agreed("Save it?", nothing="Nothing was saved.", yes_does="save it", default=True):
                return
        done = asked(lambda sure: save_heard(store, heard, sure), yes=yes)
    if done is None:
        return
    lines = [*saved_lines(done), "  'wearlog undo' takes it back."]
    answer(lines, as_json, lambda: {"saved": done.said, "entry": done.deed.id, "also": list(done.also)})


@command(
    "undo",
    examples=(
        "wearlog undo",
        "wearlog undo 482913",
        "wearlog undo --yes",
        "wearlog undo --entry 482913",
    ),
)
@click.argument("number", required=False, default="")
@click.option(
    "--entry",
    "entry",
    default="",
    metavar="NUMBER",
    help="Which entry of 'wearlog history'; else the last of this device.",
)
@click.option("--yes", is_flag=True, help="Take back an import or many rows without asking.")
@with_by
@with_db
def undo_command(*, number: str, entry: str, yes: bool, db: str) -> None:
    """Take the last entry back, whole, or what has NUMBER: parts return to stock, fittings are as before.

    NUMBER is that of an entry in 'wearlog history', or of a row in any list ('wearlog entries'): the entry that it belongs to is
    taken back whole, unless it wrote other things as well; then the row alone, with what hangs on it. Before a whole import or
    more than 200 rows are taken back, it asks.
    """
    from wearlog.cli.asking import agreed
    from wearlog.cli.entry_commands import undo_number
    from wearlog.logbook.files.undo import undo, undo_ahead
    from wearlog.present.files.deed_sheet import undo_question

    with opened(db) as store:
        deed_id = _deed_of_number(store, number) if number else _entry_id(store, entry) if entry else None
        if number and deed_id is None:
            undo_number(store, number)
            return
        ahead = undo_ahead(store, deed_id)
        if ahead.is_large and not yes:
            tell(undo_question(ahead.deed.said, ahead.rows))
            if not agreed("Take it back?", nothing="Nothing was taken back.", yes_does="take it back", default=False):
                return
        deed = undo(store, ahead.deed.id)
    say(deed.said[:1].upper() + deed.said[1:])


def _deed_of_number(store: Store, number: str) -> UUID | None:
    """Return the entry of the history that has this number; None when it is a row's."""
    from wearlog.logbook.rows.found import find_entry

    with store.reading() as connection:
        deed = find_entry(connection, number).deed
    return deed.id if deed is not None else None


def _entry_id(store: Store, text: str) -> UUID:
    """Return the entry of the history of this id or number."""
    of_number = _deed_of_number(store, text) if text.isdigit() else None
    if of_number is not None:
        return of_number
    try:
        return UUID(text)
    except ValueError as error:
        raise UsageError(f"'{text}' is not the id of an entry.", "'wearlog history' shows their numbers.") from error


@command(
    "history",
    examples=("wearlog history", "wearlog history --last 100 --json", "wearlog history --entry last"),
)
@click.option("--last", "last", type=click.IntRange(1, 100_000), help="How many entries, latest first (20).")
@click.option(
    "--entry", "entry", default="", metavar="NUMBER", help="What one entry did, row by row; 'last' is the latest."
)
@with_save
@with_json
@with_db
def history_command(*, last: int | None, entry: str, as_json: bool, save: str, db: str) -> None:
    """Show who entered what, latest first; what was undone stays in the list."""
    from wearlog.present.digits import Measures
    from wearlog.present.files.deed_sheet import deed_sheet
    from wearlog.reckoning.files.history import recent_deeds

    if entry and last is not None:
        raise UsageError("--entry shows one entry, --last so many.", "Write one of the two.")
    with opened(db) as store:
        if entry:
            _show_entry(store, entry, as_json=as_json, save=save)
            return
        rows, settings = recent_deeds(store, last or 20)
    answer_sheet(deed_sheet(rows, Measures(settings)), as_json=as_json, save=save)


def _show_entry(store: Store, entry: str, *, as_json: bool, save: str) -> None:
    from wearlog.logbook.doors import settings_of
    from wearlog.present.digits import Measures
    from wearlog.present.files.deed_row_sheet import deed_row, deed_row_sheet
    from wearlog.present.sheet_faces import answer_lines
    from wearlog.reckoning.files.history import said_of, whole_deed

    with store.reading() as connection:
        measures = Measures(settings_of(connection))
        deed_id, said = said_of(connection, None if entry == "last" else _entry_id(store, entry))
        pieces = whole_deed(connection, deed_id)
        rows = [deed_row(change, names, measures) for changes, names in pieces for change in changes]
    sheet = deed_row_sheet(rows, measures, said)
    answer_sheet(sheet, as_json=as_json, save=save, lines=lambda: answer_lines(sheet, headed=True))
