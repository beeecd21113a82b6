"""What the rules of soundness look at and what they say: the rows at hand by id, and one finding. No rule stands here."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo
from uuid import UUID

from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine, Meter
from wearlog.facts.parts import PartKind
from wearlog.facts.wearing import Component, Repair
from wearlog.logbook.known_names import KnownNames


@dataclass(frozen=True, slots=True)
class Unsound:
    """Why a fact cannot be believed: `field` is the field of the fact, `message` a sentence, `hint` what to do."""

    fact_id: UUID
    field: str
    message: str
    hint: str = ""


@dataclass(frozen=True, slots=True)
class Around:
    """The rows that a fact may point at, by id, and the clock by which its instants are judged and written."""

    machines: dict[UUID, Machine]
    meters: dict[UUID, Meter]
    part_kinds: dict[UUID, PartKind]
    components: dict[UUID, Component]
    repairs: dict[UUID, Repair]
    now: datetime | None = None
    time_zone: tzinfo = UTC

    def written(self, instant: datetime) -> str:
        """Return the instant as the farm's clock shows it."""
        return f"{instant.astimezone(self.time_zone):%Y-%m-%d %H:%M}"

    def place(self, component_id: UUID) -> str:
        """Return the component's place and machine as a person names it."""
        component = self.components.get(component_id)
        if component is None:
            return "the component"
        machine = self.machines.get(component.machine_id)
        return f"'{component.place}' of '{machine.name}'" if machine else f"'{component.place}'"


def around(facts: Iterable[Fact], known: KnownNames, *, now: datetime | None, time_zone: tzinfo) -> Around:
    """Gather what may be pointed at: the facts themselves go before what was known under the same id."""
    found: dict[type[Fact], dict[UUID, Fact]] = {kind: {} for kind in (Machine, Meter, PartKind, Component, Repair)}
    for row in (*known.machines, *known.meters, *known.part_kinds, *known.components, *facts):
        if type(row) in found:
            found[type(row)][row.id] = row
    return Around(
        machines=found[Machine],  # type: ignore[arg-type]
        meters=found[Meter],  # type: ignore[arg-type]
        part_kinds=found[PartKind],  # type: ignore[arg-type]
        components=found[Component],  # type: ignore[arg-type]
        repairs=found[Repair],  # type: ignore[arg-type]
        now=now,
        time_zone=time_zone,
    )
