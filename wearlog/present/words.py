"""The words for members of the closed lists, and small matters of grammar."""

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


def counted(count: int, one: str, many: str = "") -> str:
    """Return "1 breakage", "3 breakages", "no breakages"."""
    if count == 1:
        return f"1 {one}"
    return f"{count:,} {many or one + 's'}" if count else f"no {many or one + 's'}"


def listed(words: list[str]) -> str:
    """Return "a", "a and b", "a, b and c"."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def capital(sentence: str) -> str:
    """Return a sentence with its first letter in upper case."""
    return sentence[:1].upper() + sentence[1:]
