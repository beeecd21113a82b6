"""What was measured of wear each spring and autumn: chains, rasp bars, concaves, hold-down gaps. Changes no state."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Final

from wearlog.facts.starting_guesses import STARTING_KINDS
from wearlog.facts.wearing import Measurement
from wearlog.units import to_stored

from .draws import Draws
from .known_lives import wear_of
from .machine_states import MachineState
from .records import Records, farm_time

_NEW: Final = {kind.name: kind.new_micrometres or 0 for kind in STARTING_KINDS}
#: how fine the tool reads, in thousandths of an inch: feeler gauge, depth gauge, tape
_STEPS: Final = ((1_000, 1), (100_000, 5), (10_000_000, 20))


def measure(records: Records, draws: Draws, state: MachineState, day: date) -> None:
    """Enter a measurement of every measured kind on a machine; of many positions only every eighth is measured."""
    for fitted in state.sets:
        wear = wear_of(fitted.kind)
        if wear is None:
            continue
        for position in range(1, fitted.component.positions + 1, 8):
            age = fitted.age(position, state.used(fitted.meter))
            true = _NEW[fitted.kind] + wear.micrometres_per_usage * age
            seen = draws.normal(true, wear.scatter_micrometres)
            step = next(step for below, step in _STEPS if true < below)
            thousandths = max(0, round(seen / 25.4 / step) * step)
            records.add(
                Measurement(
                    id=records.next_id("measurement"),
                    component_id=fitted.component.id,
                    position=position,
                    at=farm_time(day, 13.5),
                    measured_micrometres=to_stored(Decimal(thousandths) / 1000, "in"),
                )
            )
