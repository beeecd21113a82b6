"""Many rows of one type looked at column by column: whether any of them can have a finding of its own.

An import brings a hundred thousand readings of which each is in order. Only where a column holds something out of the ordinary are
the rows asked one by one, and only there is anything said.
"""

from __future__ import annotations

from collections.abc import Sequence
from operator import attrgetter
from typing import Any, Final

from wearlog.facts.fact import Fact
from wearlog.facts.machines import Reading
from wearlog.logbook.checks.row_checks import (
    EARLIEST_YEAR,
    FARTHEST_AHEAD,
    LARGEST_AREA,
    LARGEST_NUMBER,
    LONGEST_TEXT,
    LONGEST_USAGE,
    Around,
    fields_of_type,
)
from wearlog.many_instants import in_utc

#: so many rows of a type are looked at so
_MANY: Final = 200
#: what any meter may show, whatever it counts: all that the rule of a reading asks
_ANY_METER: Final = min(LARGEST_AREA, LONGEST_USAGE)


def readings_in_order(rows: Sequence[Fact], around: Around) -> bool:
    """Say whether there are many readings among these rows and none has a finding of its own; where not, some may have one."""
    readings: list[Any] = [row for row in rows if type(row) is Reading]
    if len(readings) < _MANY or not _plain(Reading, readings, around):
        return False
    most: int = max(map(attrgetter("shown_usage"), readings))
    return most <= _ANY_METER


def _plain(kind: Any, rows: Sequence[Any], around: Around) -> bool:
    """Whether no number, instant or text of these rows is one that is refused in any row."""
    numbers, instants, texts = (
        [[value for value in map(attrgetter(name), rows) if value is not None] for name in names]
        for names in fields_of_type(kind)
    )
    return (
        all(min(its) >= 0 and max(its) <= LARGEST_NUMBER for its in numbers if its)
        and all(in_utc(its) and _can_be(min(its), max(its), around) for its in instants if its)
        and all(max(map(len, its)) <= LONGEST_TEXT for its in texts if its)
    )


def _can_be(first: Any, last: Any, around: Around) -> bool:
    return first.year >= EARLIEST_YEAR and (around.now is None or last <= around.now + FARTHEST_AHEAD)
