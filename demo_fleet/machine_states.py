"""The true meters of the demo fleet: what each machine has cut and run since the log began, and what its counters show."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import Final
from uuid import UUID

from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.machines import Meter, Reading
from wearlog.units import ACRE_SQUARE_METRES

from .fitted_sets import FittedSet
from .fleet_parts import START_ENGINE_HOURS, START_SEPARATOR_HOURS
from .records import Records

_HOUR: Final = 3600
#: a counter shows tenths of an hour
_TENTH: Final = 360
_ACRE: Final = float(ACRE_SQUARE_METRES)


@dataclass(slots=True)
class MachineState:
    """Usage since the log began, in whole stored units; `sets` are the components with what sits in them."""

    name: str
    id: UUID
    square_metres: int = 0
    separator_seconds: int = 0
    engine_seconds: int = 0
    sets: list[FittedSet] = field(default_factory=list)

    def used(self, meter: MeterKind) -> float:
        """Return the usage on a meter in acres or hours."""
        if meter is MeterKind.AREA:
            return self.square_metres / _ACRE
        return (self.separator_seconds if meter is MeterKind.SEPARATOR_HOURS else self.engine_seconds) / _HOUR

    def set_of(self, kind: str) -> FittedSet:
        """Return the component of this kind."""
        return next(fitted for fitted in self.sets if fitted.kind == kind)


class Counters:
    """The engine and separator counters of a combine, entered as meters and readings."""

    def __init__(self, records: Records, state: MachineState) -> None:
        self._records = records
        self._state = state
        self._ids: dict[MeterKind, UUID] = {}
        #: what a counter showed when the machine's own count (since the log began) stood at zero
        self._offset = {
            MeterKind.ENGINE_HOURS: START_ENGINE_HOURS[state.name] * _HOUR,
            MeterKind.SEPARATOR_HOURS: START_SEPARATOR_HOURS[state.name] * _HOUR,
        }
        for kind in self._offset:
            meter = Meter(id=records.id_of("meter", f"{state.name} {kind}"), machine_id=state.id, kind=kind)
            records.add(meter)
            self._ids[kind] = meter.id

    def read(self, kind: MeterKind, at: datetime, *, new_leg: bool = False, note: str = "") -> None:
        """Enter what the counter shows, in full tenths of an hour."""
        shown = self._true_seconds(kind) + self._offset[kind]
        self._records.add(
            Reading(
                id=self._records.next_id("reading"),
                meter_id=self._ids[kind],
                at=at,
                shown_usage=shown // _TENTH * _TENTH,
                new_leg=new_leg,
                note=note,
            )
        )

    def replace(self, kind: MeterKind, at: datetime, old_read_at: datetime) -> None:
        """Read the old counter a last time and begin a new one at zero."""
        self.read(kind, old_read_at, note="last reading of the old counter")
        self._offset[kind] = -self._true_seconds(kind)
        self.read(kind, at, new_leg=True, note="new counter, starts at 0")

    def _true_seconds(self, kind: MeterKind) -> int:
        return self._state.engine_seconds if kind is MeterKind.ENGINE_HOURS else self._state.separator_seconds
