"""Positions along a component: 1-based places such as knife sections, written as people write them ("41-43, 50")."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence
from types import MappingProxyType
from typing import Final

from wearlog.errors import UsageError
from wearlog.facts.plain_text import one_line

#: what is said for the dash of a span
SPAN_WORDS = ("to", "thru", "through", "till", "until")
_SPAN = re.compile(rf"(\d+)(?:\s*(?:[-–]|\b(?:{'|'.join(SPAN_WORDS)})\b)\s*(\d+))?", re.IGNORECASE)
_BETWEEN = re.compile(r"[,;&+]|\band\b", re.IGNORECASE)
#: far more than any cutterbar has; a slip of the finger is caught before it becomes a million rows
MOST_POSITIONS = 2_000


def parse_positions(text: str) -> tuple[int, ...]:
    """Read "41-43, 50" or "41 to 43 and 50" as (41, 42, 43, 50): ascending, each once.

    Raises
    ------
    UsageError
        When a piece is not a position or a span, a span runs backwards, or a position is 0 or beyond `MOST_POSITIONS`.

    Examples
    --------
    >>> parse_positions("41-43, 50")
    (41, 42, 43, 50)
    """
    found: set[int] = set()
    for piece in _BETWEEN.split(text):
        if not piece.strip():
            continue
        match = _SPAN.fullmatch(piece.strip())
        if match is None:
            raise UsageError(f"'{piece.strip()}' is not a position.", "Write positions like 41 or 41-43 or 41-43, 50.")
        first, last = int(match[1]), int(match[2] or match[1])
        if last < first:
            raise UsageError(f"The span {first}-{last} runs backwards.", f"Write {last}-{first}.")
        if first < 1 or last > MOST_POSITIONS:
            raise UsageError(
                f"Position {first if first < 1 else last} does not exist.", "Positions count from 1 at the left."
            )
        found.update(range(first, last + 1))
    return tuple(sorted(found))


def format_positions(positions: Iterable[int]) -> str:
    """Write (41, 42, 43, 50) as "41-43, 50", the form that is stored and shown."""
    spans: list[list[int]] = []
    for position in sorted(set(positions)):
        if spans and position == spans[-1][1] + 1:
            spans[-1][1] = position
        else:
            spans.append([position, position])
    return ", ".join(span_words(first, last) for first, last in spans)


def span_words(first: int, last: int) -> str:
    """Write a span as "41-43", and one position by itself as "41"."""
    return str(first) if first == last else f"{first}-{last}"


def component_name(place: str, kind: str) -> str:
    """Return "guards", "feeder house chain", "knife section", or "left side: drive belt".

    The place alone when it names the thing the kind is (its last word), the kind alone when it says the whole place already.
    """
    place, kind = one_line(place), one_line(kind)
    said, thing = place.casefold(), kind.casefold().split()[-1:] or [""]
    if not place or said in kind.casefold():
        return kind
    return place if thing[0].rstrip("s") in said else f"{place}: {kind}"


#: words of several things that are not their word of one with an s behind it
_ONE: Final = MappingProxyType({"knives": "knife", "teeth": "tooth"})
_MANY: Final = MappingProxyType({one: many for many, one in _ONE.items()})


def one_of(name: str) -> str:
    """Return what one position of a component is called: "knife section" of "knife sections", "guard" of "guards".

    Examples
    --------
    >>> one_of("North header, knife sections"), one_of("left side: bushes"), one_of("wiring harness")
    ('North header, knife section', 'left side: bush', 'wiring harness')
    """
    before, gap, last = name.rpartition(" ")
    many = last.casefold()
    if many in _ONE:
        return f"{before}{gap}{_ONE[many]}"
    if len(many) < 4 or not many.endswith("s") or many.endswith(("ss", "us", "is", "series")):
        return name
    if many.endswith("ies"):
        return f"{name[:-3]}y"
    return name[:-2] if many.endswith(("sses", "xes", "ches", "shes")) else name[:-1]


def many_of(name: str) -> str:
    """Return what several positions of a component are called: "knife sections" of "knife section", "guards" of "guards".

    Examples
    --------
    >>> many_of("North header, knife section"), many_of("left side: bush"), many_of("rasp bars"), many_of("battery")
    ('North header, knife sections', 'left side: bushes', 'rasp bars', 'batteries')
    """
    before, gap, last = name.rpartition(" ")
    many = last.casefold()
    if many in _MANY:
        return f"{before}{gap}{_MANY[many]}"
    # a name of the farm's own may end in a figure or a bracket
    if not many[-1:].isalpha() or (many.endswith("s") and not many.endswith("ss")):
        return name
    if many.endswith("y") and many[-2:-1] not in tuple("aeiou"):
        return f"{name[:-1]}ies"
    return f"{name}es" if many.endswith(("ss", "x", "z", "ch", "sh")) else f"{name}s"


def at_positions(name: str, positions: Collection[int]) -> str:
    """Return "knife sections 41-43", and of one position "knife section 46"."""
    if not positions:
        return name
    return f"{one_of(name) if len(positions) == 1 else many_of(name)} {format_positions(positions)}"


def positions_said(count: int, positions: Sequence[int]) -> str:
    """Return "41-43", "all 160", or nothing for a component of a single position."""
    if count == 1 or not positions:
        return ""
    return f"all {count}" if len(positions) == count else format_positions(positions)


def place_said(machine: str, name: str, count: int = 1, positions: Sequence[int] = ()) -> str:
    """Return how every sentence names a component: "North header, knife sections 41-43", or ", all 160" behind.

    `name` is what `component_name` makes of its place and kind; of one position among several it stands in the singular.
    """
    which = positions_said(count, positions)
    said = f"{many_of(name)}, {which}" if which.startswith("all") else at_positions(name, positions) if which else name
    return one_line(f"{machine}, {said}" if machine else said)
