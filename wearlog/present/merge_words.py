"""What a bundle brings, before and after it is taken, and what does not go together afterwards: in words and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Final

from wearlog.facts.plain_text import one_line
from wearlog.logbook.log_findings import LogFinding
from wearlog.present.words import counted

if TYPE_CHECKING:
    from datetime import timedelta

#: after so many the rest is only counted
MOST_TOLD: Final = 20


def entries_from(by_device: Sequence[tuple[str, int]], touching: int) -> list[str]:
    """Say "from 'cab 2': 14 entries, 2 touch the same part", a line for each device."""
    lines = [f"from '{one_line(device)}': {counted(count, 'entry', 'entries')}" for device, count in by_device]
    if lines and touching:
        lines[-1] += (
            f", {touching:,} {'touches' if touching == 1 else 'touch'} the same part" if len(lines) == 1 else ""
        )
    if len(lines) > 1 and touching:
        lines.append(f"{counted(touching, 'entry touches', 'entries touch')} what was changed here too")
    return lines


def clock_line(ahead: timedelta) -> str:
    """Say that a clock is ahead: whatever is entered here later will be recorded after it."""
    return f"its latest entry is dated {counted(ahead.days, 'day')} ahead of this machine's clock: set the one that is wrong."


def same_name_line(device: str) -> str:
    """Say that two laptops have one name: an undo would then take back the other's entry."""
    return (
        f"entries of another laptop carry this one's name '{one_line(device)}': give each its own (screens, ',' then This device), "
        "or 'undo' takes back the other's entry."
    )


def finding_lines(findings: Sequence[LogFinding]) -> list[str]:
    """Name each thing that does not go together, with what to do."""
    lines = [one_line(f"TO MEND: {one.message} {one.hint}") for one in findings[:MOST_TOLD]]
    if len(findings) > MOST_TOLD:
        lines.append(f"  and {len(findings) - MOST_TOLD:,} more")
    return lines


def findings_json(findings: Sequence[LogFinding]) -> list[dict[str, Any]]:
    """Return all of them as JSON."""
    return [{"message": one.message, "hint": one.hint, "row": one.row_id} for one in findings]
