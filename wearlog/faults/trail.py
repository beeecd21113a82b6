"""A fault that comes back: episodes linked into trails, with count, trend, conditions and gaps. Judges no single fix."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import comb, erfc, factorial, floor, sqrt
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wearlog.errors import DataError
from wearlog.facts.closed_lists import Condition
from wearlog.faults.association import fisher_exact, holm
from wearlog.faults.signs import Sign

Array = NDArray[np.float64]

#: episodes at least this alike belong to one trail (common practice, no source)
LINK_FROM: Final = 0.5
_WEIGHT_OF_SUSPECTS: Final = 0.6
#: up to here the exact chance is summed; beyond, alternating terms lose digits and the normal is good to a few thousandths
_EXACT_EVENTS: Final = 20


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Episode:
    """One open-to-closed stretch of a fault.

    Attributes
    ----------
    node_chances : (nodes + 1,) array
        As `Suspects.node_chances` gives them, last "not on this diagram"; one order of nodes for all episodes compared.
    opened_hours, closed_hours : float
        Machine hours; `closed_hours` None while it is open.
    opened_acres, closed_acres : float
        Cut area of the machine at the same moments.
    """

    node_chances: Array
    signs: frozenset[Sign] = frozenset()
    conditions: frozenset[Condition] = frozenset()
    opened_hours: float
    closed_hours: float | None = None
    opened_acres: float = 0.0
    closed_acres: float | None = None


@dataclass(frozen=True, slots=True)
class QuietGap:
    """From the closing of an episode to the opening of the next."""

    hours: float
    acres: float


@dataclass(frozen=True, slots=True)
class LaplaceTrend:
    """Laplace's test of a trend in the times of events.

    Attributes
    ----------
    score : float
        Above 0: they come closer together; below 0: further apart.
    p_two_sided : float
        Exact for few events, else by the normal.
    """

    score: float
    p_two_sided: float


@dataclass(frozen=True, slots=True)
class ConditionShare:
    """How often a condition was noted in this trail and in all other episodes. `p` is one-sided, corrected for all looked at."""

    condition: Condition
    in_trail: int
    of_trail: int
    elsewhere: int
    of_elsewhere: int
    p: float


@dataclass(frozen=True, slots=True, eq=False)
class Trail:
    """Episodes taken to be one fault.

    Attributes
    ----------
    episodes : tuple of int
        Indices into the episodes given, by opening.
    cumulative_hours, cumulative_count : (n,) arrays
        Machine hours at each opening, and how many there had been by then.
    gaps : tuple of QuietGap
        After each episode that was closed.
    trend : LaplaceTrend or None
        None with fewer than two episodes.
    conditions : tuple of ConditionShare
        Those noted at all in the trail, most telling first.
    """

    episodes: tuple[int, ...]
    cumulative_hours: Array
    cumulative_count: NDArray[np.int64]
    gaps: tuple[QuietGap, ...]
    trend: LaplaceTrend | None
    conditions: tuple[ConditionShare, ...]


def likeness(first: Episode, second: Episode) -> float:
    """Return how alike two episodes are, from 0 to 1: overlap of their posteriors, and of their signs.

    Parameters
    ----------
    first : Episode
        One episode.
    second : Episode
        The other, on the same nodes.

    Raises
    ------
    DataError
        If their chances are not over the same nodes.

    Notes
    -----
    0.6 x (sum of the smaller of each node's two chances; "not on this diagram" tells nothing and counts for nothing) + 0.4 x
    (signs in both / signs in either).
    """
    if first.node_chances.shape != second.node_chances.shape:
        raise DataError("The episodes are told over different diagrams.", "Compute their suspects on one diagram.")
    overlap = float(np.minimum(first.node_chances[:-1], second.node_chances[:-1]).sum())
    either = first.signs | second.signs
    if not either:
        return overlap
    signs = len(first.signs & second.signs) / len(either)
    return _WEIGHT_OF_SUSPECTS * overlap + (1 - _WEIGHT_OF_SUSPECTS) * signs


def trails(
    episodes: Sequence[Episode],
    *,
    start_hours: float = 0.0,
    now_hours: float | None = None,
    beside: Mapping[int, int] = MappingProxyType({}),
) -> tuple[Trail, ...]:
    """Return the episodes gathered into trails, the longest first; an episode on its own is a trail of one.

    Parameters
    ----------
    episodes : sequence of Episode
        Of one machine, in any order.
    start_hours, now_hours : float
        Between which the machine was watched; by default from 0 to the last opening.
    beside : mapping of int to int
        Episodes that were opened while another, which they name, was open: of one trail they are one time, and stand by themselves.

    Raises
    ------
    DataError
        For an episode that opens outside the watch, or closes before it opens.

    Notes
    -----
    An episode joins a trail when it is alike enough to any one of its episodes.
    """
    _check_hours(episodes, start_hours, now_hours)
    groups = sorted(
        _each_time_once(_linked(episodes), beside), key=lambda group: (-len(group), episodes[group[0]].opened_hours)
    )
    return tuple(_trail(episodes, group, start_hours, now_hours) for group in groups)


def laplace_trend(times: Sequence[float], end: float, *, start: float = 0.0) -> LaplaceTrend:
    """Test whether events come closer together or further apart over a stretch that ended by the clock.

    Parameters
    ----------
    times : sequence of float
        Of the events, within [start, end].
    end, start : float

    Raises
    ------
    DataError
        For no event, no stretch, or an event outside it.

    Notes
    -----
    Given how many there were, events without a trend are spread evenly; their sum then has the Irwin-Hall distribution, which
    gives the exact chance for up to 20 events (NIST/SEMATECH e-Handbook 8.2.3.4 gives the score).
    """
    if len(times) == 0 or not end > start or min(times) < start or max(times) > end:
        raise DataError("A trend needs events within a stretch of time.", "Check the hours of the episodes.")
    n = len(times)
    total = sum((time - start) / (end - start) for time in times)
    score = (total - n / 2) * sqrt(12 / n)
    if n <= _EXACT_EVENTS:
        return LaplaceTrend(score, min(1.0, 2 * _irwin_hall(min(total, n - total), n)))
    return LaplaceTrend(score, erfc(abs(score) / sqrt(2)))


def _irwin_hall(total: float, n: int) -> float:
    """Return the chance that n numbers spread evenly over 0 to 1 add up to no more than `total`."""
    terms = ((-1) ** k * comb(n, k) * (total - k) ** n for k in range(floor(total) + 1))
    return max(0.0, float(sum(terms)) / factorial(n))


def _check_hours(episodes: Sequence[Episode], start: float, now: float | None) -> None:
    for number, episode in enumerate(episodes, start=1):
        closed = episode.closed_hours
        if closed is not None and closed < episode.opened_hours:
            raise DataError(f"Episode {number} closes before it opens.", "Check its hours.")
        if episode.opened_hours < start or (now is not None and episode.opened_hours > now):
            raise DataError(
                f"Episode {number} opens outside the hours watched.", "Check the meter reading of that day."
            )


def _linked(episodes: Sequence[Episode]) -> list[list[int]]:
    groups: list[list[int]] = []
    for index in sorted(range(len(episodes)), key=lambda i: episodes[i].opened_hours):
        alike = [group for group in groups if any(likeness(episodes[index], episodes[i]) >= LINK_FROM for i in group)]
        together = [index, *(i for group in alike for i in group)]
        # where no meter was read two episodes have the same hours: then they stand as they were given
        merged = sorted(together, key=lambda i: (episodes[i].opened_hours, i))
        groups = [group for group in groups if group not in alike] + [merged]
    return groups


def _each_time_once(groups: list[list[int]], beside: Mapping[int, int]) -> Iterator[list[int]]:
    """Yield the groups without what was told twice of one time, and that by itself."""
    for group in groups:
        twice = [index for index in group if beside.get(index) in group]
        yield [index for index in group if index not in twice]
        yield from ([index] for index in twice)


def _trail(episodes: Sequence[Episode], group: Sequence[int], start: float, now: float | None) -> Trail:
    hours = np.array([episodes[index].opened_hours for index in group])
    # with no "now" the stretch ends at the last event, which then tells nothing about the trend itself
    counted, end = (hours, now) if now is not None else (hours[:-1], float(hours[-1]))
    has_trend = len(group) > 1 and end > start
    return Trail(
        episodes=tuple(group),
        cumulative_hours=hours,
        cumulative_count=np.arange(1, len(group) + 1),
        gaps=tuple(_gap(episodes[a], episodes[b]) for a, b in pairwise(group) if episodes[a].closed_hours is not None),
        trend=laplace_trend(counted.tolist(), end, start=start) if has_trend else None,
        conditions=_conditions(episodes, group),
    )


def _gap(earlier: Episode, later: Episode) -> QuietGap:
    """Return the quiet stretch between two episodes; nothing is quiet if the later opened before the earlier closed."""
    closed_hours = later.opened_hours if earlier.closed_hours is None else earlier.closed_hours
    closed_acres = later.opened_acres if earlier.closed_acres is None else earlier.closed_acres
    return QuietGap(max(0.0, later.opened_hours - closed_hours), max(0.0, later.opened_acres - closed_acres))


def _conditions(episodes: Sequence[Episode], group: Sequence[int]) -> tuple[ConditionShare, ...]:
    inside = [episodes[index] for index in group]
    outside = [episode for index, episode in enumerate(episodes) if index not in set(group)]
    noted = [condition for condition in Condition if any(condition in episode.conditions for episode in inside)]
    counts = [(sum(c in e.conditions for e in inside), sum(c in e.conditions for e in outside)) for c in noted]
    p_values = holm([fisher_exact(a, len(inside) - a, b, len(outside) - b).p_more for a, b in counts])
    shares = [
        ConditionShare(condition, a, len(inside), b, len(outside), p)
        for condition, (a, b), p in zip(noted, counts, p_values, strict=True)
    ]
    return tuple(sorted(shares, key=lambda share: share.p))
