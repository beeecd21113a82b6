"""The form of the word tables of the quick line: what a word can say, and which lists there are. The words are in words.py."""

from __future__ import annotations

from dataclasses import dataclass, fields
from enum import IntEnum

from wearlog.facts.closed_lists import Action, Cause, Mode


class Weight(IntEnum):
    """How firmly a word says something: the firmer word wins, two equally firm ones that differ are a question."""

    LINK = 1
    HINT = 2
    PLAIN = 3


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Sense:
    """What a word says about the cause, the mode and the action; None where it says nothing."""

    cause: Cause | None = None
    cause_weight: Weight = Weight.PLAIN
    mode: Mode | None = None
    mode_weight: Weight = Weight.PLAIN
    action: Action | None = None


Phrases = tuple[str, ...]


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Words:
    """The tables. `WORDS` is the one that is used; another language would be another one."""

    senses: tuple[tuple[Sense, Phrases], ...]
    reasons: Phrases
    kind_modes: tuple[tuple[str, Mode], ...]
    unclear: tuple[tuple[str, str], ...]
    everything: Phrases
    both: Phrases
    position_markers: Phrases
    span: Phrases
    small: Phrases
    hours: Phrases
    minutes: Phrases
    seconds: Phrases
    days: Phrases
    weeks: Phrases
    stood: Phrases
    worked: Phrases
    months: tuple[Phrases, ...]
    weekdays: tuple[Phrases, ...]
    day_parts: tuple[tuple[str, int, int], ...]
    times: Phrases
    numbers: tuple[tuple[str, int], ...]

    def all_words(self) -> frozenset[str]:
        """Return every single word of the tables: what a misspelt one is compared with."""
        found = {word for word, _ in self.unclear}
        waiting: list[object] = [getattr(self, one.name) for one in fields(self) if one.name != "unclear"]
        while waiting:
            content = waiting.pop()
            if isinstance(content, str):
                found.update(content.split())
            elif isinstance(content, tuple):
                waiting.extend(content)
        return frozenset(found)
