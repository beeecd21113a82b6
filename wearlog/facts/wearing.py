"""What sits where on a machine, what broke there, what was repaired and what was measured."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from wearlog.facts.closed_lists import Action, Cause, Mode, Removal, RepairKind
from wearlog.facts.fact import Fact, without_trailing_none


@dataclass(frozen=True, slots=True, kw_only=True)
class Component(Fact):
    """A kind of part at a place on a machine, with one or more equal positions counted from 1 at the left."""

    machine_id: UUID
    part_kind_id: UUID
    place: str
    positions: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitting(Fact):
    """One part at one position during [fitted_at, removed_at). Its age is read off the meter line, never stored.

    `age_when_fitted_usage` is 0 for a new part, a known age for a used one (seconds or square metres of the kind's meter), and
    None when nobody knows.
    """

    component_id: UUID
    position: int
    fitted_at: datetime
    age_when_fitted_usage: int | None = 0
    removed_at: datetime | None = None
    removal: Removal | None = None
    part_id: UUID | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Breakage(Fact):
    """One event at one or more positions of a component.

    `replaced` ends the fittings there and begins new ones; `mended` lets the same fittings go on at their age; `left` leaves the
    failed part in service. Which fitting broke at each position, and which followed it, is noted in the order of the positions
    (None: nobody knows; empty: nobody knows of any). `seen_whole_at` is when the part was last seen whole, where the failure was
    only found at `at`; `caused_by_id` the breakage that took this one along.
    """

    component_id: UUID
    positions: tuple[int, ...]
    at: datetime
    cause: Cause = Cause.UNKNOWN
    mode: Mode = Mode.BROKEN
    action: Action = Action.REPLACED
    repair_id: UUID | None = None
    note: str = ""
    broke_fitting_ids: tuple[UUID | None, ...] = ()
    followed_fitting_ids: tuple[UUID | None, ...] = ()
    seen_whole_at: datetime | None = None
    caused_by_id: UUID | None = None

    def __post_init__(self) -> None:
        for name in ("broke_fitting_ids", "followed_fitting_ids"):
            object.__setattr__(self, name, without_trailing_none(getattr(self, name)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Repair(Fact):
    """Work on a machine. `labour_seconds` is man-time of the farm's own people, `hired_minor` what others charged.

    `invoice` names the paper that says so.
    """

    machine_id: UUID
    kind: RepairKind
    started_at: datetime
    ended_at: datetime | None = None
    labour_seconds: int | None = None
    hired_minor: int | None = None
    component_id: UUID | None = None
    note: str = ""
    invoice: str = ""
    person_id: UUID | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement(Fact):
    """The wear dimension of a kind, measured at one position (a chain: the length over the kind's pitches)."""

    component_id: UUID
    position: int = 1
    at: datetime
    measured_micrometres: int
    note: str = ""
