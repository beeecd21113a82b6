"""What an open screen points at, for the entry that is opened over it."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID


@dataclass(frozen=True, slots=True)
class Pointed:
    """What the screen that was open points at: a machine, a component, marked positions, a cursor."""

    machine_id: UUID | None = None
    component_id: UUID | None = None
    marked: tuple[int, ...] = ()
    cursor: int | None = None
