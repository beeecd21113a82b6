"""What a plain line was heard to say, told back before it is saved: as lines for a person, as JSON for a program."""

from __future__ import annotations

from datetime import tzinfo
from typing import TYPE_CHECKING, Any, Final

from wearlog.facts.closed_lists import Action, Mode
from wearlog.facts.plain_text import one_line
from wearlog.facts.positions import component_name, place_said
from wearlog.logbook.breakage_words import ACTION_SAID, breakage_said, lasting, noted
from wearlog.logbook.quickline.description import say_moment
from wearlog.present.json_form import plain_value

if TYPE_CHECKING:
    from wearlog.logbook.plain_line import Heard, HeardEntry

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
    words = dict.fromkeys(_taken_word(name, entry, zone) for name in heard.assumed for entry in heard.entries)
    return [f"Not said, so taken for granted: {', '.join(word for word in words if word)}"]


def _taken_word(name: str, entry: HeardEntry, zone: tzinfo) -> str:
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
        said = {"day": f"{local:%Y-%m-%d}", "month": f"{local:%B}", "year": f"{local.year}", "time": f"{local:%H:%M}"}
        return f"the {name} {said[name]}"
    if name == "cause" and entry.cause is None:
        return ""
    return _ASSUMED.get(name, name)


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
