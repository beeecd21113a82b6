"""What looks entered twice, and what a join does, in words and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from wearlog.facts.plain_text import one_line
from wearlog.present.words import counted

if TYPE_CHECKING:
    from wearlog.logbook.twins.joining import Joined

#: after so many the rest is only counted
MOST_OFFERED: Final = 50


@dataclass(frozen=True, slots=True)
class TwinOffer:
    """Two rows that look like one thing: what each is called, its number, and where it was entered."""

    table: str
    kept: str
    twin: str
    numbers: tuple[str, str]
    devices: tuple[str, str]
    why: str


def twins_headline(count: int, later: int) -> str:
    """Say how much looks entered twice, and how much came in for what was joined; empty where nothing does."""
    said = []
    if count:
        said.append(
            f"{counted(count, 'thing looks', 'things look')} entered twice: 'wearlog twins' offers to join them."
        )
    if later:
        entries = counted(later, "joined entry was", "joined entries were")
        said.append(f"{entries} written to again on another laptop: 'wearlog twins --again' brings that along.")
    return " ".join(said)


def offer_lines(offers: Sequence[TwinOffer], later: int) -> list[str]:
    """Return each pair on two lines, what to do, and what was written to again."""
    lines: list[str] = []
    for one in offers[:MOST_OFFERED]:
        lines.append(one_line(f"{one.kept}, entered on '{one.devices[0]}'"))
        lines.append(one_line(f"  {one.twin}, entered on '{one.devices[1]}': {one.why}"))
    if len(offers) > MOST_OFFERED:
        lines.append(f"and {len(offers) - MOST_OFFERED:,} more")
    if offers:
        first, second = offers[0].numbers
        lines += [
            f"'wearlog join {first} {second}' makes one of the first two; 'wearlog undo' parts them again.",
            f"'wearlog join {first} {second} --different' says that they are two, and they are offered no more.",
        ]
    elif not later:
        lines.append("Nothing looks entered twice.")
    return lines + ([twins_headline(0, later)] if later else [])


def offers_json(offers: Sequence[TwinOffer]) -> list[dict[str, Any]]:
    """Return the pairs, the one that would be kept first."""
    return [
        {
            "table": one.table,
            "kept": {"entry_number": one.numbers[0], "called": one.kept, "device": one.devices[0]},
            "twin": {"entry_number": one.numbers[1], "called": one.twin, "device": one.devices[1]},
            "why": one.why,
        }
        for one in offers
    ]


def joined_lines(done: Joined) -> list[str]:
    """Say what a join did, or would do, in numbers."""
    along = [counted(count, table.replace("_", " ")) for table, count in sorted(done.joined.items())]
    lines = [f"  joined into what was entered first: {', '.join(along)}"] if along else []
    if done.repointed:
        lines.append(
            f"  {counted(done.repointed, 'other row')} changed with it: what pointed at either points at the one kept"
        )
    return lines


def joined_json(done: Joined | None) -> dict[str, Any]:
    """Return what a join did, or would do; of None, that there was nothing to do."""
    if done is None:
        return {"saved": None, "entry": None, "joined": {}, "rows_along": 0}
    return {
        "saved": done.said if done.deed else None,
        "entry": done.deed.id if done.deed else None,
        "joined": dict(sorted(done.joined.items())),
        "rows_along": done.repointed,
    }
