"""What somebody may have forgotten to enter: stops that nobody closed. What is wrong with the file itself is not looked at here."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from wearlog.facts.closed_lists import StopReason
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import Machine
from wearlog.store.finding import find_all, settings_of
from wearlog.store.inspection import forgotten_stops
from wearlog.store.opening import Store


@dataclass(frozen=True, slots=True)
class ForgottenStop:
    """A stop that is open for more than a day."""

    machine: str
    reason: StopReason
    started_at: datetime


def forgotten_stops_view(store: Store, now: datetime) -> tuple[tuple[ForgottenStop, ...], FarmSettings]:
    """Return the stops that are open for more than a day, oldest first, and the settings to show them with."""
    with store.reading() as connection:
        names = {machine.id: machine.name for machine in find_all(connection, Machine)}
        found = tuple(
            ForgottenStop(names.get(stop.machine_id, ""), stop.reason, stop.started_at)
            for stop in forgotten_stops(connection, now)
        )
        return found, settings_of(connection)
