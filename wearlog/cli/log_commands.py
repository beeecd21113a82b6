"""log, inbox, undo, history: plain lines entered one by one or many at once, taken back, and shown with who entered them."""

from __future__ import annotations

import sys
from datetime import UTC
from pathlib import Path
from typing import TYPE_CHECKING, Final
from uuid import UUID

import click

from wearlog.cli.figures import WholeBetween
from wearlog.cli.options import (
    answer,
    answer_sheet,
    by_farms_clock,
    command,
    local_now,
    opened,
    say,
    tell,
    with_by,
    with_db,
    with_json,
    with_save,
)
from wearlog.errors import DoubtError, UsageError, WearlogError
from wearlog.present.words import saved_lines

if TYPE_CHECKING:
    from datetime import date, datetime

    from wearlog.logbook.lines.inbox import Inbox, InboxLine
    from wearlog.logbook.open_log import Store
    from wearlog.logbook.saving import Done


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
    from wearlog.cli.options import agreed, asked
    from wearlog.logbook.lines.line_saving import ask_before_saving, farm_words, save_heard
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
    from wearlog.cli.entry_commands import undo_number
    from wearlog.cli.options import agreed
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
    from wearlog.logbook.rows.entering import find_entry

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
@click.option("--last", "last", type=WholeBetween(1, 100_000), help="How many entries, latest first (20).")
@click.option(
    "--entry", "entry", default="", metavar="NUMBER", help="What one entry did, row by row; 'last' is the latest."
)
@click.option(
    "--limit",
    "limit",
    type=WholeBetween(1, 1_000_000),
    help="How many rows of --entry (40; all in a file and as JSON).",
)
@with_save
@with_json
@with_db
def history_command(*, last: int | None, entry: str, limit: int | None, as_json: bool, save: str, db: str) -> None:
    """Show who entered what, latest first; what was undone stays in the list."""
    from wearlog.present.digits import Measures
    from wearlog.present.files.deed_sheet import deed_sheet
    from wearlog.reckoning.files import recent_deeds

    if entry and last is not None:
        raise UsageError("--entry shows one entry, --last so many.", "Write one of the two.")
    if limit is not None and not entry:
        raise UsageError("--limit is for the rows of one entry.", "Name it with --entry, or write --last.")
    with opened(db) as store:
        if entry:
            # a file and a program take the whole; an import of 10,000 rows would run off the screen
            most = limit if limit is not None or save or as_json else _ROWS_SHOWN
            _show_entry(store, entry, most, as_json=as_json, save=save)
            return
        rows, settings = recent_deeds(store, last or 20)
    answer_sheet(deed_sheet(rows, Measures(settings)), as_json=as_json, save=save)


#: rows of an entry on the screen before "and N more"
_ROWS_SHOWN: Final = 40


def _show_entry(store: Store, entry: str, most: int | None, *, as_json: bool, save: str) -> None:
    from wearlog.logbook.open_log import settings_of
    from wearlog.present.digits import Measures
    from wearlog.present.files.row_sheet import deed_row, deed_row_sheet
    from wearlog.present.sheet_faces import answer_lines
    from wearlog.reckoning.files import count_rows, said_of, version_query, whole_deed

    with store.reading() as connection:
        measures = Measures(settings_of(connection))
        deed_id, said = said_of(connection, None if entry == "last" else _entry_id(store, entry))
        pieces = whole_deed(connection, deed_id, most)
        rows = [deed_row(change, names, measures) for changes, names in pieces for change in changes]
        in_all = count_rows(connection, version_query(connection, deed_id, ""))
    sheet = deed_row_sheet(rows, measures, said, in_all=in_all)
    answer_sheet(sheet, as_json=as_json, save=save, lines=lambda: answer_lines(sheet, headed=True))


@command(
    "inbox",
    examples=(
        "wearlog inbox note.txt --dry-run",
        "wearlog inbox note.txt",
        "wearlog inbox notes --yes",
        "wearlog inbox note.txt --day 'aug 14 2026'",
    ),
)
@click.argument("path", type=click.Path(path_type=Path))
@click.option("--day", "day", default="", metavar="DAY", help="The day of the lines that stand under none.")
@click.option("--dry-run", "dry_run", is_flag=True, help="Say what was understood, and save nothing.")
@click.option("--yes", is_flag=True, help="Save what is sure without asking, and leave the rest.")
@with_json
@with_db
def inbox_command(path: Path, *, day: str, dry_run: bool, yes: bool, as_json: bool, db: str) -> None:
    """Bring in a note, or every note of a folder: a line each, with the day above the lines.

    Every line is what 'wearlog log' takes. It shows all as understood, asks about the doubtful lines (without a terminal it tells
    them and leaves them), and saves the rest, each as an entry of its own. A line brought in once is not brought in again.
    """
    from wearlog.exchange.notebook_files import read_notes
    from wearlog.logbook.lines.inbox import day_said, read_inbox
    from wearlog.present.heard_words import inbox_json, inbox_lines, inbox_told

    with opened(db) as store:
        now = by_farms_clock(store, local_now())
        given = day_said(day, now) if day else None
        if day and given is None:
            raise UsageError(f"'{day}' is no day that has been.", "Write it like 'aug 14 2026' or 2026-08-14.")
        inbox = read_inbox(store, read_notes(path), now, day=given)
        shown = [*inbox_lines(inbox, now.tzinfo or UTC), inbox_told(inbox)]
        if dry_run:
            answer(shown, as_json, lambda: inbox_json(inbox, {}, {}))
            return
        tell("\n".join(shown))
        saved, left = _bring_in(store, inbox, now, yes=yes)
    told = f"Saved {len(saved)} of {len(inbox.lines)} lines; 'wearlog undo' takes the last one back."
    answer([told] if saved else ["Nothing was saved."], as_json, lambda: inbox_json(inbox, saved, left))


def _bring_in(store: Store, inbox: Inbox, now: datetime, *, yes: bool) -> tuple[dict[str, UUID], dict[str, str]]:
    """Save what is sure, ask about the rest where somebody can be asked: deeds and refusals by the digest of their line."""
    from wearlog.cli.options import agreed
    from wearlog.logbook.lines.inbox import InboxState

    saved: dict[str, UUID] = {}
    left: dict[str, str] = {}
    new = inbox.of(InboxState.NEW)
    if new and not yes and not agreed("Save them?", nothing="Nothing was saved.", yes_does="save them", default=True):
        return saved, left
    for line in new:
        _save(store, line, now, saved, left)
    if sys.stdin.isatty() and not yes:
        day = _ask_day(inbox, now)
        for line in inbox.of(InboxState.ASKED):
            answered = _ask(inbox, line, now, day)
            if answered is not None:
                _save(store, answered, now, saved, left)
    return saved, left


def _save(store: Store, line: InboxLine, now: datetime, saved: dict[str, UUID], left: dict[str, str]) -> None:
    """Save one line; tell why where it cannot be saved."""
    from wearlog.cli.options import asked
    from wearlog.logbook.lines.inbox import take_line

    try:
        done: Done | None = asked(lambda sure: take_line(store, line, line.heard, now, sure), yes=False)
    except WearlogError as error:
        # --yes of the inbox takes what is sure, so the hint of the single line would send nobody on
        doubted = isinstance(error, DoubtError)
        hint = "In a terminal the inbox asks; else 'wearlog log' takes it with --yes." if doubted else error.hint
        left[line.note.digest] = f"{error.message} {hint}".strip()
        tell(f"  line {line.note.number} was left: {left[line.note.digest]}")
        return
    if done is not None:
        saved[line.note.digest] = done.deed.id


def _ask_day(inbox: Inbox, now: datetime) -> date | None:
    """Ask once for the day of all lines that stand under none."""
    from wearlog.logbook.lines.inbox import InboxState, day_said

    if not any(line.no_day for line in inbox.of(InboxState.ASKED)):
        return None
    said = click.prompt(
        "Of which day are the lines without one (Enter leaves them)", default="", show_default=False, err=True
    )
    day = day_said(said, now) if said.strip() else None
    if said.strip() and day is None:
        tell(f"'{said}' is no day that has been: these lines are left.")
    return day


def _ask(inbox: Inbox, line: InboxLine, now: datetime, day: date | None) -> InboxLine | None:
    """Ask about one line until it is clear; None where the person leaves it."""
    from wearlog.logbook.lines.inbox import InboxState, heard_again
    from wearlog.present.heard_words import line_said

    zone = now.tzinfo or UTC
    given = day if line.no_day else None
    if line.no_day and given is None:
        return None
    current = heard_again(inbox, line, now, day=given) if given is not None else line
    while current.state is InboxState.ASKED:
        tell("\n".join(line_said(current, zone)))
        said = click.prompt(
            "Write the line as it was meant (Enter leaves it)", default="", show_default=False, err=True
        )
        if not said.strip():
            return None
        current = heard_again(inbox, current, now, said=said)
    tell("\n".join(line_said(current, zone)))
    return current if click.confirm("Save it?", default=True, err=True) else None
