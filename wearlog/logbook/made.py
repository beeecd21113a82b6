"""What an entry writes, worked out and not yet saved, so that several of one line can be one deed."""

from __future__ import annotations

from dataclasses import dataclass

from wearlog.facts.fact import Fact
from wearlog.facts.wearing import Repair


@dataclass(frozen=True, slots=True)
class Made:
    """The sentence of an entry, its new and changed facts, what goes along unasked, and its repair where it has one.

    `beside` holds the stored rows that its rules between rows ask for, where they were read already.
    """

    said: str
    new: tuple[Fact, ...]
    changed: tuple[Fact, ...] = ()
    also: tuple[str, ...] = ()
    repair: Repair | None = None
    beside: tuple[Fact, ...] | None = None
