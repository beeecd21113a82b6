"""Stops that nobody closed, in words and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.plain_text import one_line
from wearlog.present.digits import Measures
from wearlog.reckoning.forgotten import ForgottenStop


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
