"""A machine as it stands: what the yard shows of it. Facts alone: whoever paints it loads neither database nor numbers."""

from __future__ import annotations

from dataclasses import dataclass

from wearlog.facts.machines import Machine
from wearlog.facts.work import Stoppage


@dataclass(frozen=True, slots=True)
class Meters:
    """What the meters of a machine show in seconds, None where it has none; `season_area` in square metres, None = not reckoned."""

    engine_seconds: float | None
    separator_seconds: float | None
    season_area: float | None


@dataclass(frozen=True, slots=True)
class MachineStanding:
    """A machine as it stands: its meters, what it is hitched to, and the stoppage that goes on, if any."""

    machine: Machine
    shown: Meters
    hitched_to: Machine | None
    stands: Stoppage | None
