"""The parts that sit at the positions of one component: their true ages and failures to come. Enters a fitting at its end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Final
from uuid import UUID

import numpy as np

from wearlog.facts.closed_lists import MeterKind, Removal
from wearlog.facts.wearing import Component, Fitting
from wearlog.units import to_stored

from .draws import Draws
from .known_lives import KnownLife
from .records import Records

#: the unit in which lives are known -> by the meter of the kind
UNIT_OF: Final = {MeterKind.AREA: "ac", MeterKind.SEPARATOR_HOURS: "h", MeterKind.ENGINE_HOURS: "h"}
NEVER: Final = float("inf")


@dataclass(slots=True)
class _Seat:
    """What sits at one position: since when, how old it was then (stored and true), and the meter's usage at that time."""

    fitted_at: datetime
    stored_age: int | None
    true_age: float
    used_then: float
    failed: bool = False


class FittedSet:
    """All positions of a component. Usage is counted in acres or hours since the log began."""

    def __init__(
        self,
        component: Component,
        meter: MeterKind,
        kind: str,
        part_id: UUID | None,
        life: KnownLife | None,
        draws: Draws,
    ) -> None:
        self.component = component
        self.meter = meter
        self.kind = kind
        self.part_id = part_id
        self.life = life
        self._draws = draws
        self._seats: list[_Seat] = []
        self._fails_at = np.full(component.positions, NEVER)
        self.next_failure = NEVER

    def begin(self, at: datetime, age: int, used: float, *, age_known: bool) -> None:
        """Seat all positions at the start of the log (or when the machine was bought)."""
        stored = to_stored(Decimal(age), UNIT_OF[self.meter]) if age_known else None
        self._seats = [_Seat(at, stored, float(age), used) for _ in range(self.component.positions)]
        if self.life is not None:
            ages = np.full(self.component.positions, float(age))
            self._fails_at = used + self._draws.lives(self.life.shape, self.life.scale, ages) - age
        self.next_failure = float(self._fails_at.min())

    def worst_position(self) -> int:
        """Return the position that fails next, counted from 1."""
        return int(self._fails_at.argmin()) + 1

    def has_failed(self, position: int) -> bool:
        """Say whether a failed part was left in service here."""
        return self._seats[position - 1].failed

    def age(self, position: int, used: float) -> float:
        """Return the true age of what sits at a position."""
        seat = self._seats[position - 1]
        return seat.true_age + used - seat.used_then

    def mean_age(self, used: float) -> float:
        """Return the mean true age over all positions."""
        return sum(self.age(position, used) for position in self.all_positions()) / len(self._seats)

    def all_positions(self) -> range:
        """Return every position."""
        return range(1, self.component.positions + 1)

    def failed_positions(self) -> list[int]:
        """Return the positions at which a failed part was left in service."""
        return [position for position in self.all_positions() if self.has_failed(position)]

    def replace(self, records: Records, positions: Sequence[int], at: datetime, used: float, removal: Removal) -> None:
        """Take what sits there off and seat new parts at the same instant."""
        for position in positions:
            self._enter(records, position, at, removal)
            self._seats[position - 1] = _Seat(at, 0, 0.0, used)
            if self.life is not None:
                self._fails_at[position - 1] = used + self._draws.life(self.life.shape, self.life.scale)
        self.next_failure = float(self._fails_at.min())

    def mend(self, positions: Sequence[int], used: float) -> None:
        """Let the same parts go on at their age."""
        for position in positions:
            if self.life is not None:
                age = self.age(position, used)
                self._fails_at[position - 1] = used + self._draws.life(self.life.shape, self.life.scale, age) - age
        self.next_failure = float(self._fails_at.min())

    def leave(self, positions: Sequence[int]) -> None:
        """Leave failed parts in service; they cannot fail again."""
        for position in positions:
            self._seats[position - 1].failed = True
            self._fails_at[position - 1] = NEVER
        self.next_failure = float(self._fails_at.min())

    def write_open(self, records: Records) -> None:
        """Enter the fittings that are still on."""
        for position in self.all_positions():
            self._enter(records, position, None, None)

    def _enter(self, records: Records, position: int, at: datetime | None, removal: Removal | None) -> None:
        seat = self._seats[position - 1]
        records.add(
            Fitting(
                id=records.next_id("fitting"),
                component_id=self.component.id,
                position=position,
                fitted_at=seat.fitted_at,
                age_when_fitted_usage=seat.stored_age,
                removed_at=at,
                removal=removal,
                part_id=self.part_id,
            )
        )
