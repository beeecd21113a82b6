"""What looks wrong in a log and what somebody may have forgotten, in words and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.plain_text import one_line
from wearlog.logbook.checks.doubts import StandingDoubt
from wearlog.present.digits import Measures
from wearlog.reckoning.work.stops import ForgottenStop

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


def forgotten_lines(stops: Sequence[ForgottenStop], settings: FarmSettings) -> list[str]:
    """Name each open stop and say how it is closed."""
    measures = Measures(settings)
    lines = [
        f"STILL OPEN: {one_line(stop.machine)} has stood since {measures.moment(stop.started_at)} ({stop.reason.value})."
        for stop in stops
    ]
    if lines:
        lines.append("  Ran again? wearlog stop MACHINE --over --at TIME. Until then it costs while the farm cuts.")
    return lines


def forgotten_json(stops: Sequence[ForgottenStop]) -> list[dict[str, Any]]:
    """Return the open stops as JSON."""
    return [{"machine": stop.machine, "reason": stop.reason, "since": stop.started_at} for stop in stops]
