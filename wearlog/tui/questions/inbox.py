"""Questions about a note of many lines: what its lines mean, and saving those that are sure.

Reading and saving are those of the command `inbox`: a line brought in once is known again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from wearlog.errors import DoubtError, UsageError, WearlogError

if TYPE_CHECKING:
    from wearlog.logbook.lines.inbox import Inbox, InboxLine
    from wearlog.tui.door import Door


@dataclass(frozen=True, slots=True)
class NotedLine:
    """A line of the note on the screen.

    Attributes
    ----------
    line : InboxLine
        As it is understood, with the wording or the day that was given here.
    words : tuple of str
        What it means or what is asked, line by line.
    state : str
        "save", "asked", "known", "doubt" (it is asked whether to save it all the same) or "left" (taken out).
    doubt : str
        What it is about, for the log.
    said : str
        Its wording where that was written otherwise here.
    """

    line: InboxLine
    words: tuple[str, ...]
    state: str
    doubt: str = ""
    sure: frozenset[str] = frozenset()
    said: str = ""


@dataclass(frozen=True, slots=True)
class NoteShown:
    """A note as it is understood, and as of when."""

    inbox: Inbox
    now: datetime
    rows: tuple[NotedLine, ...]
    said: str


#: what a command says of itself -> the same by keys
_BY_KEYS = (
    ("; --day gives it for all of them.", ". Enter asks for it once for all."),
    (": 'wearlog undo'.", ": Esc, then u."),
)


_STATES = {"known": "known", "new": "save", "asked": "asked"}


def read_note(door: Door, path: Path) -> NoteShown:
    """Return a note, or all of a folder, as understood; saves nothing."""
    from wearlog.exchange.notebook_files import read_notes
    from wearlog.logbook.lines.inbox import read_inbox
    from wearlog.present.heard_words import inbox_told

    log, now = door.log, door.farm_now()
    inbox = read_inbox(log, read_notes(path), now)
    rows = tuple(_row(line, now) for line in inbox.lines)
    return NoteShown(inbox, now, rows, inbox_told(inbox))


def _row(line: InboxLine, now: datetime) -> NotedLine:
    from wearlog.present.heard_words import line_said

    words = []
    for said in line_said(line, now.tzinfo or UTC):
        for command, keys in _BY_KEYS:
            said = said.replace(command, keys)
        words.append(said.strip())
    return NotedLine(line, tuple(words), _STATES[line.state.value])


def answered(shown: NoteShown, row: NotedLine, *, said: str = "", day: str = "") -> NotedLine:
    """Return a line understood anew, with another wording or the day that a person gave. UsageError for no day."""
    from wearlog.logbook.lines.inbox import day_said, heard_again

    given = day_said(day, shown.now) if day.strip() else None
    if day.strip() and given is None:
        raise UsageError(f"'{day.strip()}' is no day that has been.", "Write it like 'aug 14 2026' or 2026-08-14.")
    again = heard_again(shown.inbox, row.line, shown.now, said=said, day=given or row.line.note.day)
    anew = replace(_row(again, shown.now), said=said or row.said)
    if not anew.said or anew.state != "asked":
        return anew
    # what was written otherwise and is still asked about stands as it was written
    return replace(anew, words=(f"line {row.line.note.number}: {anew.said}", *anew.words[1:]))


def save_note(door: Door, rows: Sequence[NotedLine], now: datetime) -> tuple[NotedLine, ...]:
    """Save the lines that are sure, a deed each; what is doubted or refused comes back with its question."""
    return tuple(_saved(door, row, now) if row.state == "save" else row for row in rows)


def _saved(door: Door, row: NotedLine, now: datetime) -> NotedLine:
    from wearlog.logbook.lines.inbox import take_line

    try:
        done = take_line(door.log, row.line, row.line.heard, now, row.sure)
    except DoubtError as error:
        words = (*row.words[:1], f"? {error.message} {error.question}", "Space: yes, save it.")
        return replace(row, words=words, state="doubt", doubt=error.doubt)
    except WearlogError as error:
        return replace(row, words=(*row.words[:1], f"? {error.message}", error.hint), state="asked")
    return replace(row, words=(f"line {row.line.note.number}: saved: {done.said}",), state="known")
