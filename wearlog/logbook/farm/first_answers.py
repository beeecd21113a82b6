"""What a person answers on the first day, and what follows from a width of cut. Writes nothing and knows no database."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import ROUND_HALF_UP
from typing import Final

from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.work import next_harvest
from wearlog.machine_clock import MachineClock
from wearlog.units import INCH_MICROMETRES

#: sections of a knife stand 3 inches apart: common practice, no source; the number can be changed
SECTION_PITCH_MICROMETRES: Final = 3 * INCH_MICROMETRES


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstDay:
    """What a person says on the first day.

    Attributes
    ----------
    settings : tuple of (key, content)
        Settings of the farm, as in farm_settings.py.
    engine_seconds, separator_seconds : int or None
        What the combine's meters show at `at`; None when nobody knows.
    knife_age, guard_age : int or None
        Area that has gone over them, in square metres; 0 = new, None = nobody knows.
    guards : int
        0 when they are not to be followed.
    is_hitched : bool
        The header hangs on the combine from `at` on.
    with_wearing_parts : bool
        Follow the usual wearing parts of the combine too.
    part_ages : tuple of (meter, age)
        How much they have run by then on the meter that wears them; of a meter that is not named nobody knows.
    """

    at: datetime
    settings: tuple[tuple[str, str], ...] = ()
    combine: str
    engine_seconds: int | None = None
    separator_seconds: int | None = None
    header: str
    width_micrometres: int
    sections: int
    knife_age: int | None = None
    guards: int = 0
    guard_age: int | None = None
    is_hitched: bool = True
    with_wearing_parts: bool = True
    part_ages: tuple[tuple[MeterKind, int], ...] = ()


def sections_of(width_micrometres: int) -> int:
    """Return how many sections a knife of this width has at a pitch of 3 inches (76.2 mm); at least one."""
    return max(1, int((width_micrometres / SECTION_PITCH_MICROMETRES).to_integral_value(ROUND_HALF_UP)))


def first_seasons(day: FirstDay) -> list[int]:
    """Return the year of the day, and after its harvest that of the harvest to come: what is cut late still finds its season."""
    today = day.at.astimezone(MachineClock()).date()
    return sorted({today.year, next_harvest(today)})
