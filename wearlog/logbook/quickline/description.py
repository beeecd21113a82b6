"""What was understood of a line, said back in one or two plain lines. It knows the words; it reads no text and asks nothing."""

from __future__ import annotations

from datetime import datetime, timedelta, tzinfo

from wearlog.facts.closed_lists import Action, Cause, Mode
from wearlog.facts.positions import format_positions
from wearlog.logbook.quickline.understanding import Understanding

_CAUSES = {
    Cause.IMPACT: " by impact",
    Cause.WEAR: " by wear",
    Cause.FATIGUE: " by fatigue",
    Cause.LOOSE: " because a fastening was loose",
    Cause.SECONDARY: " after something else failed",
    Cause.UNKNOWN: "",
}
_ACTIONS = {Action.REPLACED: "replaced", Action.MENDED: "mended", Action.LEFT: "left in service"}
#: a mode that says its cause itself
_SAYS_ITSELF = {(Mode.WORN, Cause.WEAR), (Mode.LOOSE, Cause.LOOSE)}
_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = (
    *("January", "February", "March", "April", "May", "June", "July", "August", "September", "October"),
    *("November", "December"),
)


def describe(understanding: Understanding, local_tz: tzinfo) -> str:
    """Say what was understood.

    Parameters
    ----------
    understanding : Understanding
        Complete or not; what is open is called so.
    local_tz : tzinfo
        The zone of the farm, in which the time is said.

    Returns
    -------
    str
        A line like "North header, knife section 41-43: broken by impact, replaced; stood 20 min; today 14:05", and a second
        line with what was taken for granted, if anything was.
    """
    done = f"{_what_happened(understanding)}, {_ACTIONS[understanding.action]}"
    pieces = [f"{_where(understanding)}: {done}"]
    if understanding.downtime_seconds is not None:
        pieces.append(f"stood {say_duration(understanding.downtime_seconds)}")
    if understanding.labour_seconds is not None:
        pieces.append(f"{say_duration(understanding.labour_seconds)} labour")
    pieces.append(say_moment(understanding.at, understanding.read_at, local_tz))
    if understanding.note:
        pieces.append(f'note "{understanding.note}"')
    assumed = _assumed(understanding, local_tz)
    return "; ".join(pieces) + (f"\nNot said, so taken for granted: {', '.join(assumed)}" if assumed else "")


def _where(understanding: Understanding) -> str:
    """Return "North header, knife section 41-43"; the place only where it tells two of the same kind apart."""
    machine, component = understanding.machine, understanding.component
    name = machine.name if machine is not None else "machine open"
    if component is None:
        return f"{name}, part open"
    same = [] if machine is None else [one for one in machine.components if one.kind_id == component.kind_id]
    place = f" {component.place}" if len(same) > 1 and component.place else ""
    if component.positions == 1:
        which = ""
    elif not understanding.positions:
        which = ", positions open"
    elif len(understanding.positions) == component.positions:
        which = f", all {component.positions}"
    else:
        which = f" {format_positions(understanding.positions)}"
    return f"{name}, {component.kind}{place}{which}"


def _what_happened(understanding: Understanding) -> str:
    mode, cause = understanding.mode, understanding.cause
    return mode.value if (mode, cause) in _SAYS_ITSELF else f"{mode.value}{_CAUSES[cause]}"


def say_duration(seconds: int) -> str:
    """Return "20 min", "1 h 20 min", "2 h" or "45 s"."""
    hours, rest = divmod(seconds, 3_600)
    minutes, left = divmod(rest, 60)
    pieces = [f"{number} {unit}" for number, unit in ((hours, "h"), (minutes, "min"), (left, "s")) if number]
    return " ".join(pieces) or "0 min"


def say_moment(at: datetime, read_at: datetime, local_tz: tzinfo) -> str:
    """Return "today 14:05", "yesterday 16:20", "Tue 28 July 16:20", and the year when it is another one."""
    local, today = at.astimezone(local_tz), read_at.astimezone(local_tz).date()
    clock = f"{local:%H:%M}"
    if local.date() == today:
        return f"today {clock}"
    if local.date() == today - timedelta(days=1):
        return f"yesterday {clock}"
    year = "" if local.year == today.year else f" {local.year}"
    return f"{_WEEKDAYS[local.weekday()]} {local.day} {_MONTHS[local.month - 1]}{year} {clock}"


def _assumed(understanding: Understanding, local_tz: tzinfo) -> list[str]:
    """Return in words what was not said."""
    machine, local = understanding.machine, understanding.at.astimezone(local_tz)
    words = {
        "machine": machine.name if machine is not None else "",
        "cause": "cause unknown",
        "mode": understanding.mode.value,
        "action": _ACTIONS[understanding.action],
        "at": "just now",
        "year": f"the year {local.year}",
        "time": f"the time {local:%H:%M}",
    }
    return [words[name] for name in understanding.assumed]
