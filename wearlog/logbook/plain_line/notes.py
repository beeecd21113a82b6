"""What a line says beside what was understood, kept word for word as the note of its entry."""

from __future__ import annotations

from typing import Final

from wearlog.logbook.plain_line.line import SMALL, Line, Tag
from wearlog.logbook.quickline.scan import Role

_LEADING: Final = frozenset(
    {"and", "so", "it", "was", "is", "were", "are", "then", "that", "plus", "or", "but", "also", "too", "we"}
)
_OUTER: Final = " ,;.:/+&-|"


def note_of(line: Line, start: int, stop: int) -> str:
    """Return the words of this stretch that nothing has claimed, in the order of the line; runs are parted by a semicolon."""
    runs: list[str] = []
    index = start
    while index < stop:
        if not _loose(line, index):
            index += 1
            continue
        end = index
        while end < stop and _loose(line, end):
            end += 1
        text = _run(line, index, end)
        if text:
            runs.append(text)
        index = end
    return "; ".join(runs)


def _loose(line: Line, index: int) -> bool:
    """Say whether a word is kept: nothing claimed it, it says why or in which field, or its mode is only taken from it."""
    role = line.scan.roles[index]
    if role is Role.SENSE:
        says = next((mark.phrase.said for mark in line.of(Tag.SAID) if mark.start <= index < mark.stop), None)
        return says is not None and says.soft and says.action is None
    return role in (None, Role.REASON, Role.PLACE)


def _run(line: Line, start: int, end: int) -> str:
    """Return a run word for word; nothing where it holds small words and signs only."""
    while start < end and (line.text(start) in _LEADING or _is_sign(line, start)):
        start += 1
    while end > start and _is_sign(line, end - 1) and line.text(end - 1) not in "%!)":
        end -= 1
    says = [at for at in range(start, end) if not _is_sign(line, at) and line.text(at) not in SMALL]
    if not says:
        return ""
    text = line.scan.shown(start, end).strip(_OUTER)
    return text if "(" in text else text.rstrip(")")


def _is_sign(line: Line, index: int) -> bool:
    token = line.tokens[index]
    return not (token.is_word or token.is_number)
