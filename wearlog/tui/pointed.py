"""What is pointed at: by an open screen for the entry that is opened over it, by the palette for the screen that shows it."""

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


@dataclass(frozen=True, slots=True)
class Found:
    """Something with a name: `what` is machine, component, part or fault; `machine_id` is where to look at it."""

    what: str
    name: str
    row_id: UUID
    machine_id: UUID | None
