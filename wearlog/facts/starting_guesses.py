"""The trade's library of part kinds: what is believed of a part before the farm has records of its own. No farm's own figures.

Ranges of life and shape, impacts by ground and labour are common practice, no source, and wide on purpose: a few breakages of the
farm's own soon outweigh them; where an end rests on a published figure, it stands beside. The wear limits are published figures
of chain makers, parts suppliers and operator's manuals; chain pitches are from memory and stand for one common chain. The
machine's own book goes first.

Parts of one name that live unlike lives are kinds of their own: a rotor's bearing, a chopper's, a wheel's; the belt of the feeder
house, that of an elevator. "bearing" and "main drive belt" are what is left over: a shaft that has no kind of its own, the belt
from the engine. So a log that knew these two alone still says what it said.
"""

from __future__ import annotations

from typing import Final

from wearlog.facts.parts import PartKind
from wearlog.facts.starting_kinds.grain_path_kinds import CLEANING_KINDS, GRAIN_KINDS, THRESHING_KINDS
from wearlog.facts.starting_kinds.header_kinds import HEADER_KINDS
from wearlog.facts.starting_kinds.machine_kinds import CAB_AND_WIRING_KINDS, CHASSIS_KINDS, ENGINE_KINDS

#: in the order in which the crop meets them; ids are derived from the names, so that two laptops agree
STARTING_KINDS: Final[tuple[PartKind, ...]] = (
    *HEADER_KINDS,
    *THRESHING_KINDS,
    *CLEANING_KINDS,
    *GRAIN_KINDS,
    *ENGINE_KINDS,
    *CHASSIS_KINDS,
    *CAB_AND_WIRING_KINDS,
)
