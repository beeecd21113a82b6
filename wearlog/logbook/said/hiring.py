"""What having grain cut costs, as people say it: "40", or base, hauling and more above a yield as "20-20-20". Writes nothing."""

from __future__ import annotations

import re
from typing import NamedTuple

from wearlog.errors import UsageError
from wearlog.facts.plain_text import one_line
from wearlog.logbook.said.measures import money

_THREE_PARTS = re.compile(r"(?P<base>[\d.]+)-(?P<haul>[\d.]+)-(?P<above>[\d.]+)")


class SaidRate(NamedTuple):
    """For each unit of area `base_minor`; for each unit of grain `haul_minor`, and as much more above `threshold` units."""

    base_minor: int
    haul_minor: int = 0
    threshold: float = 0.0


def custom_rate(text: str) -> SaidRate:
    """Read a custom rate.

    Notes
    -----
    "20-20-20" is 20 an acre, 20 cents for each bushel hauled, and as much more for each bushel above 20 an acre (custom
    cutters of the plains, trade press 2011).

    Raises
    ------
    UsageError
        When it is neither an amount nor such a rate.
    """
    found = _THREE_PARTS.fullmatch(text.strip())
    if found is None:
        return SaidRate(money(text))
    base, haul, above = (float(found[part]) for part in ("base", "haul", "above"))
    if haul > 1000:
        raise UsageError(f"'{one_line(text)}' is no rate of three parts.", "Write it like 20-20-20, or 40 an acre.")
    return SaidRate(round(100 * base), round(haul), above)
