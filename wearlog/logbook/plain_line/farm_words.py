"""What a farm has that a plain line can name: the words of the quick line and, beside them, land, services, meters and parts."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID

from wearlog.facts.closed_lists import MeterKind, Subsystem
from wearlog.logbook.quickline.vocabulary import Vocabulary


@dataclass(frozen=True, slots=True)
class KnownService:
    """A service that comes round on a machine."""

    id: UUID
    machine_id: UUID
    name: str


@dataclass(frozen=True, slots=True)
class KnownMeter:
    """A meter of a machine."""

    id: UUID
    machine_id: UUID
    kind: MeterKind


#: when a meter was read, and what it showed then in seconds or square metres
Shown = tuple[datetime, int]


def never_read(_: UUID) -> Sequence[Shown]:
    """Return the readings of a meter that nobody has read."""
    return ()


@dataclass(frozen=True, slots=True)
class KnownPart:
    """A part of the parts list: its number and name, how many a pack holds, and which kinds it fits."""

    id: UUID
    number: str
    name: str
    pack_size: int
    kind_ids: frozenset[UUID]


@dataclass(frozen=True, slots=True, repr=False)
class FarmWords:
    """All that a line can name on one farm.

    Attributes
    ----------
    fields, crops : tuple of (id, name)
        The land and what grows on it.
    readings : callable
        Takes a meter's id and returns its readings, earliest first; called only for a line that says what a meter shows.
    """

    vocabulary: Vocabulary
    fields: tuple[tuple[UUID, str], ...] = ()
    crops: tuple[tuple[UUID, str], ...] = ()
    services: tuple[KnownService, ...] = ()
    meters: tuple[KnownMeter, ...] = ()
    readings: Callable[[UUID], Sequence[Shown]] = never_read
    parts: tuple[KnownPart, ...] = ()
    subsystems: dict[UUID, Subsystem] = field(default_factory=dict)
    is_metric: bool = False
    day_first: bool = False
