"""Ages told roughly ("about 3 seasons", "since new"), reckoned once with what the machine runs by the log."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from typing import TYPE_CHECKING
from uuid import UUID

from wearlog.exchange.cells import RoughAge
from wearlog.facts.age_scale import AgeScale
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.machines import Machine
from wearlog.facts.parts import PartKind
from wearlog.facts.wearing import Component
from wearlog.logbook.said.rough_ages import rough_age
from wearlog.present.digits import Measures

if TYPE_CHECKING:
    from wearlog.reckoning.farm import Farm
    from wearlog.store.opening import Store


@dataclass
class ToldAges:
    """Reckons them for one log; without a log by usual seasons.

    Attributes
    ----------
    said : list of str
        What each was taken for since the list was last emptied.
    """

    store: Store | None
    now: datetime
    measures: Measures
    said: list[str] = field(default_factory=list)

    @cached_property
    def _farm(self) -> Farm | None:
        if self.store is None:
            return None
        from wearlog.reckoning.farm import farm_from

        with self.store.reading() as connection:
            return farm_from(connection, self.now)

    def scale(self, machine_id: UUID, meter: MeterKind, at: datetime | None = None) -> AgeScale:
        """Return what a season of a machine comes to as things stand, and what it had run at `at` (None: now) since it was new."""
        farm = self._farm
        if farm is None or self.store is None or machine_id not in {one.id for one in farm.machines}:
            return AgeScale.guessed(meter)
        from wearlog.reckoning.wear.age_scale import age_scale

        with self.store.reading() as connection:
            return age_scale(connection, farm, machine_id, meter, at)

    def age(self, text: str, machine_id: UUID, meter: MeterKind, at: datetime | None = None) -> int:
        """Return the usage that an age comes to, and note what it was taken for. UsageError when it says none."""
        scale = self.scale(machine_id, meter, at)
        age = rough_age(text, scale)
        season = f" at {self.measures.usage(meter, scale.season)} a season{' (a guess)' if scale.is_guess else ''}"
        taken = f"{self.measures.usage(meter, age)}{season if 'season' in text.casefold() else ''}"
        self.said.append(f"'{text}' is taken as {taken}.")
        return age

    def settle(self, age: RoughAge, values: Mapping[str, object], rows: Mapping[UUID, object]) -> int | None:
        """Return what an age in a cell comes to on the component of its row; None where that is not known."""
        component = rows.get(values.get("component_id"))  # type: ignore[call-overload]
        kind = rows.get(component.part_kind_id) if isinstance(component, Component) else None
        if not isinstance(component, Component) or not isinstance(kind, PartKind):
            return None
        at = values.get("fitted_at")
        machine = rows.get(component.machine_id)
        machine_id = machine.id if isinstance(machine, Machine) else component.machine_id
        return self.age(age.text, machine_id, kind.meter_kind, at if isinstance(at, datetime) else None)
