"""What looks wrong in a log, in words and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from wearlog.facts.plain_text import one_line
from wearlog.logbook.standing_doubts import StandingDoubt

#: after so many the rest is only counted
MOST_TOLD: Final = 50


def doubts_lines(doubts: Sequence[StandingDoubt]) -> list[str]:
    """Name each thing that looks wrong, and say what can be done."""
    lines = [f"LOOKS WRONG: {one_line(one.message)}" for one in doubts[:MOST_TOLD]]
    if len(doubts) > MOST_TOLD:
        lines.append(f"  and {len(doubts) - MOST_TOLD:,} more")
    if lines:
        lines.append("  'wearlog history' shows the entries, 'wearlog undo --entry ID' takes one back.")
    return lines


def doubts_json(doubts: Sequence[StandingDoubt]) -> list[dict[str, Any]]:
    """Return all of them as JSON."""
    return [{"doubt": one.doubt, "message": one.message} for one in doubts]
