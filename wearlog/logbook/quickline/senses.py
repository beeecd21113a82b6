"""Cause, mode and action out of the words that say them: the firmer word wins, two equally firm ones that differ are a question."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from wearlog.facts.closed_lists import Action, Cause, Mode
from wearlog.logbook.quickline.scan import Scan, SenseMention
from wearlog.logbook.quickline.tokens import words_of
from wearlog.logbook.quickline.words import WORDS


@dataclass(slots=True, eq=False, repr=False)
class SensedBreakage:
    """Cause, mode and action, and which of them were taken for granted."""

    cause: Cause
    mode: Mode
    action: Action
    assumed: tuple[str, ...]


def weigh(scan: Scan, kind: str) -> SensedBreakage:
    """Return what the words of the line say together; `kind` is the name of the kind that broke, or empty."""
    mentions = sorted(scan.senses, key=lambda mention: mention.start)
    causes = [one for one in mentions if one.sense.cause is not None]
    modes = [one for one in mentions if one.sense.mode is not None]
    actions = [one for one in mentions if one.sense.action is not None]
    weights = [one.sense.cause_weight for one in causes], [one.sense.mode_weight for one in modes]
    firm_causes = [one for one in causes if one.sense.cause_weight == max(weights[0])]
    firm_modes = [one for one in modes if one.sense.mode_weight == max(weights[1])]
    _agree(scan, [(one, one.sense.cause) for one in firm_causes], "cause", "Keep the one that came first.")
    _agree(scan, [(one, one.sense.mode) for one in firm_modes], "mode", "Keep the worse one.")
    _agree(scan, [(one, one.sense.action) for one in actions], "action", "Log what was done last.")
    cause = firm_causes[0].sense.cause if firm_causes else None
    mode = firm_modes[0].sense.mode if firm_modes else None
    action = actions[0].sense.action if actions else None
    said = (("cause", cause), ("mode", mode), ("action", action))
    return SensedBreakage(
        cause=cause or Cause.UNKNOWN,
        mode=mode or usual_mode(kind),
        action=action or Action.REPLACED,
        assumed=tuple(name for name, choice in said if choice is None),
    )


def usual_mode(kind: str) -> Mode:
    """Return how a kind breaks when nobody says: a fuse fails, a section is broken."""
    words = words_of(kind)
    return next((mode for word, mode in WORDS.kind_modes if word in words or f"{word}s" in words), Mode.BROKEN)


def _agree(scan: Scan, voices: Sequence[tuple[SenseMention, object]], what: str, hint: str) -> None:
    """Blame equally firm words that choose differently."""
    if not voices:
        return
    first, choice = voices[0]
    other = next((mention for mention, another in voices if another is not choice), None)
    if other is not None:
        shown = f"'{scan.shown(first.start, first.stop)}' and '{scan.shown(other.start, other.stop)}'"
        scan.blame(f"two_{what}s", f"The line names two {what}s: {shown}.", hint, other.start)
