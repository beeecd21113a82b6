"""Ways in which a farm is not the plain model; each is reckoned with where the records ask for it, and can be set aside."""

from __future__ import annotations

from enum import StrEnum, unique


@unique
class Departure(StrEnum):
    """What the reckoning of a kind of part can leave aside."""

    STONES = "stones"
    MACHINES = "machines"
    GROUND = "ground"
    YEARS = "years"
    MISSING = "missing"
    PARTS = "parts"


#: begins the key of what is set aside for one kind: "left out for guard" is "stones"
SET_ASIDE_FOR = "left out for "

#: what is set where nothing is set aside any more
NOTHING_ASIDE = "nothing"


def aside_key(kind: str) -> str:
    """Return the key under which the farm keeps what is set aside for a kind."""
    return f"{SET_ASIDE_FOR}{' '.join(kind.casefold().split())}"


def read_departures(content: str) -> frozenset[Departure] | None:
    """Return what is meant by "stones" or "nothing"; None where a word is no departure."""
    words = [one.strip().casefold() for one in content.split(",")]
    if words == [NOTHING_ASIDE]:
        return frozenset()
    known = {one.value: one for one in Departure}
    return frozenset(known[one] for one in words) if all(one in known for one in words) else None


def departures_text(departures: frozenset[Departure]) -> str:
    """Return them as they are kept, in the order of the list."""
    return ", ".join(one.value for one in Departure if one in departures) or NOTHING_ASIDE
