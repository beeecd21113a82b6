"""What the quick line understood, said back in one or two plain lines: the tables of its tests are written so."""

from __future__ import annotations

from datetime import tzinfo

from wearlog.facts.positions import format_positions
from wearlog.logbook.deed_sentences import ACTION_SAID, breakage_said
from wearlog.logbook.quickline import Understanding
from wearlog.logbook.quickline.moment import say_moment


def describe(understanding: Understanding, local_tz: tzinfo, where: str = "") -> str:
    """Say what was understood: the sentence that will be kept, but for the day, which is told from today.

    Parameters
    ----------
    understanding : Understanding
        Complete or not; what is open is called so.
    local_tz : tzinfo
        The zone of the farm, in which the time is said.
    where : str
        How the farm calls the place, where that is known; empty: as it was understood.

    Returns
    -------
    str
        A line like "North header, knife section 41-43: broken by impact, replaced; stood 20 min; today 14:05", and a second
        line with what was taken for granted, if anything was.
    """
    said = breakage_said(
        where or _where(understanding),
        (understanding.mode, understanding.cause, understanding.action),
        stood_seconds=understanding.downtime_seconds,
        labour_seconds=understanding.labour_seconds,
        when=say_moment(understanding.at, understanding.read_at, local_tz),
        note=understanding.note,
    )
    assumed = _assumed(understanding, local_tz)
    return said + (f"\nNot said, so taken for granted: {', '.join(assumed)}" if assumed else "")


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


def _assumed(understanding: Understanding, local_tz: tzinfo) -> list[str]:
    """Return in words what was not said."""
    machine, local = understanding.machine, understanding.at.astimezone(local_tz)
    words = {
        "machine": machine.name if machine is not None else "",
        "cause": "cause unknown",
        "mode": understanding.mode.value,
        "action": ACTION_SAID[understanding.action],
        "at": "just now",
        "year": f"the year {local.year}",
        "time": f"the time {local:%H:%M}",
    }
    return [words[name] for name in understanding.assumed]
