"""What was saved, told back: the deed's own sentence, and what went along with it. Commands have lines, a screen one line."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from wearlog.logbook.saving import Done


def saved_lines(done: Done) -> list[str]:
    """Return what a command says."""
    return [f"Saved: {done.said}.", *(f"  {also}" for also in done.also)]


def saved_line(done: Done) -> str:
    """Return what a screen says."""
    return f"Saved: {'; '.join((done.said, *done.also))}. u undoes."
