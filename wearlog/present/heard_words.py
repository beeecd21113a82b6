"""What a plain line or a note of many was heard to say, before it is saved: as lines for a person, as JSON for a program."""

from __future__ import annotations

from datetime import tzinfo
from typing import TYPE_CHECKING, Any, Final

from wearlog.facts.closed_lists import Action, Mode
from wearlog.facts.days import date_said
from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import component_name, place_said
from wearlog.logbook.deed_sentences import ACTION_SAID, breakage_said, lasting, noted
from wearlog.logbook.quickline.moment import say_moment
from wearlog.present.json_form import plain_value
from wearlog.present.words import counted

if TYPE_CHECKING:
    from collections.abc import Mapping
    from uuid import UUID

    from wearlog.logbook.lines.inbox import Inbox, InboxLine
    from wearlog.logbook.plain_line import Heard, HeardEntry


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


_WHAT: Final = {
    "planned": "planned work",
    "fault": "electrical fault",
    "reading": "meter",
    "cut": "cut",
    "service": "service done",
    "stock": "shelf",
}

_ASSUMED: Final = {
    "cause": "cause unknown",
    "at": "just now",
    "half of day": "morning or afternoon",
    "stood": "how long it stood",
    "labour": "the hours of work",
    "positions": "the positions",
    "pack": "whole packs",
    "part": "which part of the list",
    "service": "which service",
    "hours": "hours at 12 ac an hour",
    "meter": "which meter",
    "quantity": "one piece",
    "price": "the price of a pack",
}


def heard_json(heard: Heard) -> dict[str, Any]:
    """Return what was understood as one document; `question` is null where nothing has to be asked."""
    return {
        "verdict": heard.verdict.value,
        "entries": [_entry_json(entry) for entry in heard.entries],
        "assumed": list(heard.assumed),
        "corrected": list(heard.corrected),
        "person": heard.person or None,
        "question": f"{heard.question} {heard.hint}".strip() if heard.question else None,
    }


def _entry_json(entry: HeardEntry) -> dict[str, Any]:
    sign = entry.sign.value if entry.sign is not None else None
    return {
        "is": entry.what.value,
        "machine": entry.machine.name if entry.machine is not None else None,
        "kind": entry.kind or None,
        "positions": list(entry.positions),
        "cause": entry.cause.value if entry.cause is not None else None,
        "mode": sign or (entry.mode.value if entry.mode is not None else None),
        "action": entry.action.value if entry.action is not None else None,
        "at": plain_value(entry.at),
        "stood_minutes": _minutes(entry.stood_seconds),
        "labour_minutes": _minutes(entry.labour_seconds),
        "amount": entry.amount or None,
        "note": entry.note or None,
    }


def _minutes(seconds: int | None) -> float | None:
    if seconds is None:
        return None
    return seconds // 60 if seconds % 60 == 0 else round(seconds / 60, 2)


def heard_lines(heard: Heard, zone: tzinfo) -> list[str]:
    """Return what was understood, a line for each entry, then what was mended and what is taken for granted."""
    lines = [_said(entry, heard, zone) for entry in heard.entries if entry.machine is not None or entry.kind]
    if heard.question:
        sure = [f"So far: {line}" for line in lines]
        return [*sure, *_corrected(heard), heard.question, heard.hint]
    return [*lines, *_corrected(heard), *_taken(heard, zone)]


def _corrected(heard: Heard) -> list[str]:
    return [f"Read otherwise than written: {', '.join(heard.corrected)}"] if heard.corrected else []


def _taken(heard: Heard, zone: tzinfo) -> list[str]:
    if not heard.assumed:
        return []
    said = {**_ASSUMED, "person": f"done by {one_line(heard.person)}"}
    words = dict.fromkeys(_taken_word(name, entry, zone, said) for name in heard.assumed for entry in heard.entries)
    return [f"Not said, so taken for granted: {', '.join(word for word in words if word)}"]


def _taken_word(name: str, entry: HeardEntry, zone: tzinfo, said: Mapping[str, str]) -> str:
    """Return one thing that is taken for granted, with its value where an entry has one."""
    local = entry.at.astimezone(zone)
    if name == "mode":
        sign = entry.sign.value.replace("_", " ") if entry.sign is not None else ""
        return entry.mode.value if entry.mode is not None else sign
    if name == "action":
        return ACTION_SAID[entry.action] if entry.action is not None else ""
    if name == "machine":
        return one_line(entry.machine.name) if entry.machine is not None else ""
    if name in ("day", "month", "year", "time"):
        when = {
            "day": date_said(local.date()),
            "month": f"{local:%B}",
            "year": f"{local.year}",
            "time": f"{local:%H:%M}",
        }
        return f"the {name} {when[name]}"
    if name == "cause" and entry.cause is None:
        return ""
    return said.get(name, name)


def _said(entry: HeardEntry, heard: Heard, zone: tzinfo) -> str:
    """Return one entry in a sentence; what is open is left out."""
    when = say_moment(entry.at, heard.read_at, zone)
    where = _place(entry)
    if entry.what.value in ("entry", "question") and entry.cause is not None and entry.component is not None:
        return breakage_said(
            where,
            (entry.mode or Mode.BROKEN, entry.cause, entry.action or Action.REPLACED),
            stood_seconds=entry.stood_seconds,
            labour_seconds=entry.labour_seconds,
            when=when,
            note=entry.note,
        )
    what = _WHAT.get(entry.what.value, "")
    done = ACTION_SAID[entry.action] if entry.what.value == "planned" and entry.action is not None else ""
    sign = entry.sign.value.replace("_", " ") if entry.sign is not None else ""
    pieces = [
        f"{where}: {', '.join(one for one in (what, done, sign, entry.amount) if one)}".rstrip(": "),
        "" if entry.labour_seconds is None else f"{lasting(entry.labour_seconds)} labour",
        when,
        noted(entry.note),
    ]
    return "; ".join(piece for piece in pieces if piece)


def _place(entry: HeardEntry) -> str:
    name = one_line(entry.machine.name) if entry.machine is not None else ""
    if entry.component is not None:
        kind = component_name(entry.component.place, entry.component.kind)
        return place_said(name, kind, entry.component.positions, entry.positions)
    kind = entry.kind.replace("_", " ")
    return ", ".join(one for one in (name, one_line(kind)) if one)
