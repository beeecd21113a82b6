"""The kinds of part as this farm has them: the trade's library, but for two that it has always counted by engine hours."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from wearlog.facts.closed_lists import Evidence, MeterKind
from wearlog.facts.parts import PartKind
from wearlog.facts.starting_guesses import STARTING_KINDS

_HOUR: Final = 3600
#: kind -> low and high of its median life in engine hours, as the farm puts it
_BY_ENGINE_HOURS: Final = {"hydraulic hose": (1500, 12000), "battery": (600, 4000)}


def _as_here(kind: PartKind) -> PartKind:
    if kind.name not in _BY_ENGINE_HOURS:
        return kind
    low, high = _BY_ENGINE_HOURS[kind.name]
    return replace(
        kind,
        meter_kind=MeterKind.ENGINE_HOURS,
        life_low_usage=low * _HOUR,
        life_high_usage=high * _HOUR,
        guess_evidence=Evidence.OWN_RECORDS,
    )


FARM_KINDS: Final[tuple[PartKind, ...]] = tuple(map(_as_here, STARTING_KINDS))
