"""What a farm has that a plain line can name: the words of the quick line and, beside them, land, services, meters and parts."""

from __future__ import annotations

from dataclasses import dataclass, field
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
    """A meter and what it showed last, in seconds or square metres; None before the first reading."""

    machine_id: UUID
    kind: MeterKind
    last_usage: int | None


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
    """All that a line can name on one farm. `fields` and `crops` are ids with names."""

    vocabulary: Vocabulary
    fields: tuple[tuple[UUID, str], ...] = ()
    crops: tuple[tuple[UUID, str], ...] = ()
    services: tuple[KnownService, ...] = ()
    meters: tuple[KnownMeter, ...] = ()
    parts: tuple[KnownPart, ...] = ()
    subsystems: dict[UUID, Subsystem] = field(default_factory=dict)
    is_metric: bool = False
    day_first: bool = False
