"""What is possible but so unlikely that a person is asked before it is saved: the rules alone. Reads and writes nothing.

An entry that meets one of these raises `DoubtError`; whoever is sure saves again and names the doubt.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import timedelta
from enum import StrEnum
from itertools import pairwise
from typing import Final

from wearlog.errors import DoubtError
from wearlog.facts.closed_lists import MeterKind
from wearlog.facts.machines import Reading
from wearlog.facts.wearing import Breakage, Fitting
from wearlog.logbook.work_rules import MOST_SQUARE_METRES_PER_SECOND

__all__ = ["EVERY_DOUBT", "NO_DOUBT_SETTLED", "Doubt", "DoubtError"]


class Doubt(StrEnum):
    """What is asked about."""

    EARLIER_PART = "earlier_part"
    SAME_BREAKAGE = "same_breakage"
    FAST_METER = "fast_meter"
    NO_HEADER = "no_header"


#: nobody was asked yet
NO_DOUBT_SETTLED: Final[frozenset[str]] = frozenset()
#: a person said yes to whatever may be asked
EVERY_DOUBT: Final[frozenset[str]] = frozenset(Doubt)
#: the same part does not break twice in a minute; the same key pressed twice does that
TWIN_WITHIN: Final = timedelta(minutes=1)
#: readings that came with a day alone stand anywhere in it
READING_SLACK: Final = timedelta(days=1)


def twin_of(breakage: Breakage, others: Iterable[Breakage]) -> Breakage | None:
    """Return a breakage of the same component, of a position in common, within a minute; None when there is none."""
    wanted = set(breakage.positions)
    return next(
        (
            one
            for one in others
            if one.id != breakage.id
            and one.component_id == breakage.component_id
            and abs(one.at - breakage.at) <= TWIN_WITHIN
            and wanted.intersection(one.positions)
        ),
        None,
    )


def outruns_the_clock(kind: MeterKind, earlier: Reading, later: Reading) -> bool:
    """Tell whether a meter gained more between two readings than any machine works day and night in that time.

    A meter that was replaced in between says nothing.
    """
    if later.new_leg:
        return False
    per_second = MOST_SQUARE_METRES_PER_SECOND if kind is MeterKind.AREA else 1
    seconds = (later.at - earlier.at + READING_SLACK).total_seconds()
    return later.shown_usage - earlier.shown_usage > per_second * seconds


def fast_pairs(kind: MeterKind, readings: Iterable[Reading]) -> Iterator[tuple[Reading, Reading]]:
    """Yield neighbouring readings of one meter of which the later outruns the clock."""
    ordered = sorted(readings, key=lambda one: (one.at, one.new_leg, one.shown_usage))
    for earlier, later in pairwise(ordered):
        if outruns_the_clock(kind, earlier, later):
            yield earlier, later


def first_fittings(fittings: Iterable[Fitting]) -> dict[int, Fitting]:
    """Return the first fitting of each position of one component."""
    first: dict[int, Fitting] = {}
    for one in fittings:
        if one.position not in first or one.fitted_at < first[one.position].fitted_at:
            first[one.position] = one
    return first


def fitted_only_later(breakage: Breakage, fittings: Sequence[Fitting]) -> tuple[Fitting, ...]:
    """Return the first fittings of those broken positions where no part was noted yet when it broke."""
    first = first_fittings(fittings)
    return tuple(
        first[position]
        for position in breakage.positions
        if position in first and first[position].fitted_at > breakage.at
    )
