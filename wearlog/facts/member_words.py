"""How a person says a member of a closed list."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType

from wearlog.facts.closed_lists import Cause, FixEvidence, MeterKind, StopReason

_OWN_WORDS: Mapping[StrEnum, str] = MappingProxyType(
    {
        Cause.IMPACT: "rock or foreign object",
        Cause.SECONDARY: "followed from another breakage",
        Cause.UNKNOWN: "cause unknown",
        FixEvidence.SEEN: "damage seen and repaired",
        FixEvidence.INFERRED: "inferred, not seen",
        FixEvidence.CLEARED_BY_ITSELF: "cleared by itself",
        MeterKind.AREA: "area cut",
        MeterKind.CALENDAR: "days",
        StopReason.WAITING: "waiting for trucks or others",
    }
)


def word(member: StrEnum | None) -> str:
    """Return how a person says a member of a closed list; nothing for None."""
    if member is None:
        return ""
    return _OWN_WORDS.get(member, member.value.replace("_", " "))
