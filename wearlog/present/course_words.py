"""How measured wear runs, in words: straight, ever slower or ever faster, and how sure the readings make it."""

from __future__ import annotations

from collections.abc import Sequence

from wearlog.present.digits import percent
from wearlog.present.words import counted
from wearlog.reckoning.measured_wear import MeasuredPart
from wearlog.wear.path_nodes import COURSES


def course_sentence(part: MeasuredPart) -> str:
    """Return "By 4 readings wear runs straight (71 %; ever faster 20 %, ever slower 9 %)."; nothing where too few tell."""
    if part.path is None or part.past_limit:
        return ""
    chances = part.path.course_chances
    first, *others = sorted(COURSES, key=lambda one: -chances[one])
    rest = ", ".join(f"{one} {percent(chances[one])}" for one in others)
    return f"By {counted(part.usage.size, 'reading')} wear runs {first} ({percent(chances[first])}; {rest})."


def courses_said(parts: Sequence[MeasuredPart]) -> list[str]:
    """Say in how many parts wear runs which way, and how sure that is."""
    sure = {
        course: [one.path.course_chances[course] for one in parts if one.path and one.path.course is course]
        for course in COURSES
    }
    found = [
        f"{course} in {counted(len(chances), 'part')} ({_between(min(chances), max(chances))} sure)"
        for course, chances in sure.items()
        if chances
    ]
    if not found:
        return []
    untold = sum(one.path is None for one in parts)
    more = f"; too few readings tell in {counted(untold, 'part')}" if untold else ""
    return [f"By the readings wear runs {', '.join(found)}{more}."]


def _between(low: float, high: float) -> str:
    return percent(high) if percent(low) == percent(high) else f"{percent(low)} to {percent(high)}"
