"""Cause, mode and action out of the words that say them: the firmer word wins, two equally firm ones that differ are a question."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar

from wearlog.facts.closed_lists import Action, Cause, Mode
from wearlog.logbook.quickline.scan import Scan
from wearlog.logbook.quickline.tokens import words_of
from wearlog.logbook.quickline.words import WORDS, Weight

Choice = TypeVar("Choice", Cause, Mode, Action)


@dataclass(frozen=True, slots=True)
class Verdict:
    """Cause, mode and action, and which of them were taken for granted."""

    cause: Cause
    mode: Mode
    action: Action
    assumed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Voice:
    """One word that says something: how firmly, where, and its tokens."""

    weight: Weight
    start: int
    stop: int


def weigh(scan: Scan, kind: str) -> Verdict:
    """Return what the words of the line say together; `kind` is the name of the kind that broke, or empty."""
    causes = [
        (_Voice(one.sense.cause_weight, one.start, one.stop), one.sense.cause) for one in scan.senses if one.sense.cause
    ]
    modes = [
        (_Voice(one.sense.mode_weight, one.start, one.stop), one.sense.mode) for one in scan.senses if one.sense.mode
    ]
    actions = [(_Voice(Weight.PLAIN, one.start, one.stop), one.sense.action) for one in scan.senses if one.sense.action]
    cause = _firmest(scan, causes, "cause", "Keep the one that came first.")
    mode = _firmest(scan, modes, "mode", "Keep the worse one.")
    action = _firmest(scan, actions, "action", "Log what was done last.")
    said = (("cause", cause), ("mode", mode), ("action", action))
    return Verdict(
        cause=cause or Cause.UNKNOWN,
        mode=mode or usual_mode(kind),
        action=action or Action.REPLACED,
        assumed=tuple(name for name, choice in said if choice is None),
    )


def usual_mode(kind: str) -> Mode:
    """Return how a kind breaks when nobody says: a fuse fails, a section is broken."""
    words = words_of(kind)
    return next((mode for word, mode in WORDS.kind_modes if word in words or f"{word}s" in words), Mode.BROKEN)


def _firmest(scan: Scan, voices: list[tuple[_Voice, Choice]], what: str, hint: str) -> Choice | None:
    """Return the choice of the firmest voices; blame two that differ."""
    if not voices:
        return None
    voices = sorted(voices, key=lambda voice: voice[0].start)
    most = max(voice.weight for voice, _ in voices)
    firm = [(voice, choice) for voice, choice in voices if voice.weight == most]
    first, choice = firm[0]
    other = next((voice for voice, another in firm if another is not choice), None)
    if other is not None:
        shown = f"'{scan.shown(first.start, first.stop)}' and '{scan.shown(other.start, other.stop)}'"
        scan.blame(f"two_{what}s", f"The line names two {what}s: {shown}.", hint, other.start)
    return choice
