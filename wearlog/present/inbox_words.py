"""A note as it was understood, line by line: what is in the log already, what would be saved, what has to be asked."""

from __future__ import annotations

from datetime import tzinfo
from typing import TYPE_CHECKING, Any

from wearlog.present.heard_words import heard_json, heard_lines
from wearlog.present.json_form import plain_value
from wearlog.present.words import counted

if TYPE_CHECKING:
    from collections.abc import Mapping
    from uuid import UUID

    from wearlog.logbook.lines.inbox import Inbox, InboxLine


def inbox_lines(inbox: Inbox, zone: tzinfo) -> list[str]:
    """Return all as understood: a note's name, then each line with what it means or what is asked."""
    said: list[str] = []
    source = None
    for line in inbox.lines:
        if line.source != source:
            source = line.source
            said.append(source)
        said += line_said(line, zone)
    return said or ["The note says nothing."]


def line_said(line: InboxLine, zone: tzinfo) -> list[str]:
    """Return one line as understood."""
    where = f"  line {line.note.number}"
    if line.state.value == "known":
        return [f"{where}: in the log already: {line.note.said}"]
    if line.state.value == "asked":
        return [f"{where}: {line.note.said}", f"    ? {line.question}", f"      {line.hint}"]
    meant = heard_lines(line.heard, zone)
    return [f"{where}: {meant[0]}", *(f"    {one}" for one in meant[1:])]


def inbox_told(inbox: Inbox) -> str:
    """Return how many lines are new, known and open, in one sentence."""
    known, new, asked = (sum(one.state.value == state for one in inbox.lines) for state in ("known", "new", "asked"))
    pieces = [f"{counted(new, 'line')} to save"]
    pieces += [f"{known} in the log already"] if known else []
    pieces += [f"{asked} to ask about"] if asked else []
    return f"{', '.join(pieces)}."


def inbox_json(inbox: Inbox, saved: Mapping[str, UUID], left: Mapping[str, str]) -> dict[str, Any]:
    """Return the notes as one document.

    Parameters
    ----------
    saved : mapping of digest -> deed
        What was saved now, with the entry that takes it back.
    left : mapping of digest -> why
        What could not be saved after all.
    """
    lines = [_line_json(line, saved, left) for line in inbox.lines]
    states = [line["state"] for line in lines]
    counts = {name: states.count(name) for name in ("saved", "new", "known", "asked")}
    return {**counts, "lines": lines}


def _line_json(line: InboxLine, saved: Mapping[str, UUID], left: Mapping[str, str]) -> dict[str, Any]:
    digest = line.note.digest
    state = "saved" if digest in saved else "asked" if digest in left else line.state.value
    heard = heard_json(line.heard)
    question = f"{line.question} {line.hint}".strip() or None
    return {
        "source": line.source,
        "line": line.note.number,
        "said": line.note.said,
        "day": plain_value(line.note.day),
        "state": state,
        **heard,
        "question": None if state in ("saved", "known") else left.get(digest) or question or heard["question"],
        "entry": plain_value(saved.get(digest)),
    }
