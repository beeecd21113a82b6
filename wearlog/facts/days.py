"""Days as a sentence says them: what is ordered, columns, files and JSON, has 2026-09-12, and people read 12 Sep 2026."""

from __future__ import annotations

import re
from datetime import date
from typing import Final

_MONTHS: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def date_said(day: date, today: date | None = None) -> str:
    """Return "7 Sep 2026" as a sentence says it, in any country's terminal; without the year where it is that of `today`.

    Examples
    --------
    >>> date_said(date(2026, 9, 7))
    '7 Sep 2026'
    >>> date_said(date(2026, 9, 7), date(2026, 11, 30))
    '7 Sep'
    """
    said = f"{day.day} {_MONTHS[day.month - 1]}"
    return said if today is not None and today.year == day.year else f"{said} {day.year}"


_DAY_OF_A_COLUMN: Final = re.compile(r"\b(\d{4}-\d\d-\d\d)\b")


def days_said(words: str) -> str:
    """Return the words of a column as a sentence says them: the days in them as people do.

    Examples
    --------
    >>> days_said("last broke 2024-09-03 18:05")
    'last broke 3 Sep 2024 18:05'
    """

    def said(found: re.Match[str]) -> str:
        try:
            return date_said(date.fromisoformat(found[1]))
        except ValueError:
            # the number of a part may look like a day
            return found[1]

    return _DAY_OF_A_COLUMN.sub(said, words)
