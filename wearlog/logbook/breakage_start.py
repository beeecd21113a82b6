"""What the entry of a breakage starts from: where the last one was, and which parts are dangerous to touch. Writes nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from uuid import UUID

from wearlog.facts.closed_lists import Hazard
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.parts import PartKind
from wearlog.facts.wearing import Breakage
from wearlog.store.finding import find_all, find_in_order, settings_of
from wearlog.store.opening import Store


@dataclass(frozen=True, slots=True)
class BreakageStart:
    """`hazards` by part kind; the last breakage's component and its last position, None when nothing broke yet."""

    hazards: Mapping[UUID, Hazard]
    last_component_id: UUID | None
    last_position: int | None
    settings: FarmSettings


def breakage_start(store: Store) -> BreakageStart:
    """Read it."""
    with store.reading() as connection:
        hazards = {kind.id: kind.hazard for kind in find_all(connection, PartKind) if kind.hazard is not None}
        last = find_in_order(connection, Breakage, "at", latest_first=True, limit=1)
        settings = settings_of(connection)
    return BreakageStart(
        hazards=hazards,
        last_component_id=last[0].component_id if last else None,
        last_position=last[0].positions[-1] if last else None,
        settings=settings,
    )
