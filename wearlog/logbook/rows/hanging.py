"""The rows that are written along with one row."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from wearlog.facts.fact import Fact


@dataclass(frozen=True, slots=True)
class Hanging:
    """New rows, changed ones as they shall stand, and those that go, as they stand now; `also` says what a person should know."""

    new: Sequence[Fact] = field(default_factory=list)
    changed: Sequence[Fact] = field(default_factory=list)
    gone: Sequence[Fact] = field(default_factory=list)
    also: tuple[str, ...] = ()
