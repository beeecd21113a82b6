"""What looks wrong in a log and what somebody may have forgotten, in words and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.plain_text import one_line
from wearlog.logbook.checks.doubts import StandingDoubt
from wearlog.logbook.deed_sentences import standing_sentence
from wearlog.logbook.files.mending import LogInspection, Repaired
from wearlog.present.digits import Measures
from wearlog.present.words import counted
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
        f"STILL OPEN: {standing_sentence(measures, stop.machine, stop.reason, stop.started_at)}." for stop in stops
    ]
    if lines:
        lines.append("  Ran again? wearlog stop MACHINE --over --at TIME. Until then it costs while the farm cuts.")
    return lines


def forgotten_json(stops: Sequence[ForgottenStop]) -> list[dict[str, Any]]:
    """Return the open stops as JSON."""
    return [{"machine": stop.machine, "reason": stop.reason, "since": stop.started_at} for stop in stops]


def damage_lines(found: LogInspection, name: str) -> list[str]:
    """Name each thing that is not in order."""
    head = f"{found.rows:,} rows, {found.versions:,} versions, {found.deeds:,} entries in {name}."
    return [head, *(f"NOT IN ORDER: {one_line(problem)}" for problem in found.problems)]


def repaired_lines(done: Repaired) -> list[str]:
    """Say what became of a damaged log, in numbers."""
    lines = [f"REPAIRED: {done.rows:,} rows of {done.entries:,} whole entries."]
    if done.entries_lost or done.rows_as_they_lay:
        lines.append(
            f"  {counted(done.entries_lost, 'entry was', 'entries were')} not whole any more; "
            f"{counted(done.rows_as_they_lay, 'row is', 'rows are')} kept as they lay."
        )
    if done.kept is not None:
        lines.append(f"  Nothing was lost. The damaged log is kept as {done.kept}.")
    if done.beside is not None:
        lines.append(f"  The repaired log lies beside: {done.beside}. Nothing was replaced.")
        lines.append("  Another laptop that has the lost entries brings them back by a merge.")
    return lines


def damage_json(found: LogInspection, done: Repaired | None) -> dict[str, Any]:
    """Return what is not in order as JSON, and what was repaired where it was asked for."""
    return {
        "rows": found.rows,
        "versions": found.versions,
        "entries": found.deeds,
        "problems": list(found.problems),
        "to_settle": [],
        "to_mend": [],
        "forgotten_stops": [],
        "doubtful": [],
        "repaired": None
        if done is None
        else {
            "rows": done.rows,
            "entries": done.entries,
            "entries_lost": done.entries_lost,
            "rows_as_they_lay": done.rows_as_they_lay,
            "kept": None if done.kept is None else str(done.kept),
            "beside": None if done.beside is None else str(done.beside),
        },
    }
