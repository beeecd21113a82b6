"""inbox: notes of many lines, typed or dictated elsewhere, brought in a line at a time."""

from __future__ import annotations

import sys
from datetime import UTC
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import UUID

import click

from wearlog.cli.options import answer, command, local_now, tell, with_db, with_json
from wearlog.errors import UsageError, WearlogError
from wearlog.logbook.doors import by_farms_clock, opened

if TYPE_CHECKING:
    from datetime import date, datetime

    from wearlog.logbook.doors import Store
    from wearlog.logbook.lines.inbox import Inbox, InboxLine
    from wearlog.logbook.saving import Done


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
    from wearlog.exchange.note_files import read_notes
    from wearlog.logbook.lines.inbox import day_said, read_inbox
    from wearlog.present.inbox_words import inbox_json, inbox_lines, inbox_told

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
    from wearlog.cli.asking import agreed
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
    from wearlog.cli.asking import asked
    from wearlog.logbook.lines.inbox import take_line

    try:
        done: Done | None = asked(lambda sure: take_line(store, line, line.heard, now, sure), yes=False)
    except WearlogError as error:
        left[line.note.digest] = f"{error.message} {error.hint}".strip()
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
    from wearlog.present.inbox_words import line_said

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
