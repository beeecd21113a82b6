"""The rain-day list: with so many shop hours and what lies on the shelf, which jobs save most, and in which order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import exp, expm1
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from wearlog.errors import DataError
from wearlog.plan.rain_choice import RainChoices, saves_most
from wearlog.plan.zero_one import least_cost

#: up to so many set-ups every set of them is tried as a block; beyond, those that single jobs and pairs of jobs need
_EVERY_SET: Final = 8
_Ints: TypeAlias = NDArray[np.int64]
_Row: TypeAlias = tuple[_Ints, int | None]


@dataclass(frozen=True, slots=True)
class ShopSetUp:
    """Opening up for several jobs, and closing: paid once. `alone`: a second person does not make it shorter."""

    name: str
    minutes: int
    alone: bool = False


@dataclass(frozen=True, slots=True)
class Job:
    """What is done in one go.

    Attributes
    ----------
    name : str
    saving_minor : int
        What doing it today saves, without the opening.
    minutes : int
        Man-time without the opening, above 0.
    set_ups : frozenset of str
        What must be open for it.
    takes : tuple of (str, int)
        Pieces of each part.
    """

    name: str
    saving_minor: int
    minutes: int
    set_ups: frozenset[str] = frozenset()
    takes: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class RainDay:
    """The jobs that are done, in their order, the minutes that they take with their set-ups, and what they save.

    Attributes
    ----------
    jobs : tuple of Job
    minutes : int
        Man-time.
    saving_minor : int
        If there is time for all of them, the set-ups paid.
    expected_minor : float or None
        What is saved on the mean when the time may end before; None where its mean was not said.
    proved : bool
        Whether no other choice saves more.
    """

    jobs: tuple[Job, ...]
    minutes: int
    saving_minor: int
    expected_minor: float | None
    proved: bool


def rain_day(
    jobs: Sequence[Job],
    set_ups: Sequence[ShopSetUp],
    minutes: int,
    *,
    people: int = 1,
    on_hand: dict[str, int] | None = None,
    minor_per_hour: int = 0,
    mean_minutes: float | None = None,
) -> RainDay:
    """Choose the jobs that save most within the time, and order them for a rain that may stop.

    Parameters
    ----------
    jobs : sequence of Job
    set_ups : sequence of ShopSetUp
        All that the jobs name.
    minutes : int
        How long the rain lasts at most.
    people : int
        Who work; a set-up of one person alone takes the others' time too.
    on_hand : dict, optional
        Pieces of each part; a part that is not named is there in plenty.
    minor_per_hour : int
        What an hour of opening costs.
    mean_minutes : float, optional
        Mean time until one must stop; None: the greatest savings for their time come first.

    Returns
    -------
    RainDay

    Notes
    -----
    Greatest sum of s x - rate x sum of T y with sum of t x + sum of T y within the time, x <= y, pieces within the shelf, in whole
    minutes: minute by minute (`rain_choice`), else as a 0/1 programme. One not worth opening for is done while it is open.
    """
    names = {one.name: place for place, one in enumerate(set_ups)}
    missing = {name for job in jobs for name in job.set_ups} - set(names)
    if missing or minutes < 0 or people < 1 or any(job.minutes <= 0 for job in jobs):
        raise DataError("A list for a rainy day needs times above 0, people and every set-up.", "Check the jobs.")
    # a job that saves nothing is not done to fill the time
    worth = [job for job in jobs if job.saving_minor > 0]
    opening = [one.minutes * (people if one.alone else 1) for one in set_ups]
    picked, proved = _picked(worth, set_ups, names, opening, minutes * people, on_hand or {}, minor_per_hour)
    if picked is None:
        return RainDay((), 0, 0, None if mean_minutes is None else 0.0, proved)
    chosen = [job for place, job in enumerate(worth) if place in picked]
    opened = {name for job in chosen for name in job.set_ups}
    open_minutes = {one.name: one.minutes * (people if one.alone else 1) for one in set_ups if one.name in opened}
    ordered, expected = in_order(chosen, open_minutes, None if mean_minutes is None else mean_minutes * people)
    saving = sum(job.saving_minor for job in chosen) - round(
        sum(one.minutes * minor_per_hour / 60 for one in set_ups if one.name in opened)
    )
    taken = sum(job.minutes for job in chosen) + sum(open_minutes.values())
    return RainDay(tuple(ordered), taken, saving, expected, proved)


def _picked(
    worth: Sequence[Job],
    set_ups: Sequence[ShopSetUp],
    names: dict[str, int],
    opening: Sequence[int],
    minutes: int,
    on_hand: dict[str, int],
    minor_per_hour: int,
) -> tuple[frozenset[int] | None, bool]:
    """Places of the jobs that save most, and whether that is proved; None where no choice was found."""
    pieces = tuple(
        (tuple(dict(job.takes).get(part, 0) for job in worth), here) for part, here in sorted(on_hand.items())
    )
    choices = RainChoices(
        # in sixtieths of a minor unit the cost of a minute is whole
        saving=tuple(60 * job.saving_minor for job in worth),
        minutes=tuple(job.minutes for job in worth),
        needs=tuple(frozenset(names[name] for name in job.set_ups) for job in worth),
        opening_cost=tuple(one.minutes * minor_per_hour for one in set_ups),
        opening_minutes=tuple(opening),
        pieces=pieces,
    )
    found = saves_most(choices, minutes)
    if found is not None:
        return found, True
    spent = np.array([*choices.minutes, *opening], dtype=np.int64)
    cost = np.array([-one / 60 for one in choices.saving] + [one / 60 for one in choices.opening_cost])
    rows: list[_Row] = [(spent, minutes)]
    rows += _links(choices.needs, spent.size)
    rows += [(np.array([*row, *([0] * len(set_ups))], dtype=np.int64), here) for row, here in pieces]
    picked, proved = least_cost(cost, rows, np.arange(spent.size, dtype=np.int64))
    return (None if picked is None else frozenset(np.flatnonzero(picked[: len(worth)]).tolist())), proved


def in_order(
    jobs: Sequence[Job], open_minutes: dict[str, int], mean_minutes: float | None
) -> tuple[list[Job], float | None]:
    """Return the jobs in the order that saves most on the mean when the time ends by chance, and that mean.

    Parameters
    ----------
    jobs : sequence of Job
    open_minutes : dict
        Minutes of each set-up, paid before the first job that needs it.
    mean_minutes : float or None
        Mean of the exponential time there is; None: a very long one, so that savings for their time decide.

    Notes
    -----
    Again and again the block (a set of unopened set-ups and the first jobs inside it) with the greatest
    sum of s exp(-q C) / (1 - exp(-q C of the block)), C the times at which jobs are done; then up to three neighbours are moved
    together as long as that saves more.
    """
    rate = 1.0 / mean_minutes if mean_minutes else 1e-6
    left = sorted(jobs, key=lambda job: -_index(job, rate))
    opened: frozenset[str] = frozenset()
    ordered: list[Job] = []
    while left:
        block, sets = max(
            (found for sets in _sets(left, opened) for found in _blocks(left, opened, sets, open_minutes, rate)),
            key=lambda found: found[0],
        )[1:]
        ordered += block
        opened |= sets
        left = [job for job in left if job not in block]
    ordered = _moved(ordered, open_minutes, 1 / rate)
    return ordered, None if mean_minutes is None else expected_saving(ordered, open_minutes, mean_minutes)


def expected_saving(jobs: Sequence[Job], open_minutes: dict[str, int], mean_minutes: float) -> float:
    """Return what an order of jobs saves on the mean when the time there is is exponential, in minor units.

    Parameters
    ----------
    jobs : sequence of Job
        In their order.
    open_minutes : dict
        Minutes of each set-up.
    mean_minutes : float
        Mean time, above 0.
    """
    clock, saved, opened = 0.0, 0.0, set[str]()
    for job in jobs:
        clock += job.minutes + sum(open_minutes[name] for name in job.set_ups - opened)
        opened |= job.set_ups
        saved += job.saving_minor * exp(-clock / mean_minutes)
    return saved


def _index(job: Job, rate: float) -> float:
    return job.saving_minor * exp(-rate * job.minutes) / -expm1(-rate * job.minutes)


def _sets(left: Sequence[Job], opened: frozenset[str]) -> list[frozenset[str]]:
    """Sets of set-ups that may be opened next, none among them where a job waits for none."""
    needed = {job.set_ups - opened for job in left}
    every = sorted({name for one in needed for name in one})
    if len(every) <= _EVERY_SET:
        return [frozenset(some) for size in range(len(every) + 1) for some in combinations(every, size)]
    return list(needed | {one | two for one, two in combinations(needed, 2)})


def _blocks(
    left: Sequence[Job], opened: frozenset[str], sets: frozenset[str], open_minutes: dict[str, int], rate: float
) -> list[tuple[float, list[Job], frozenset[str]]]:
    """The blocks behind one set of set-ups: the first job, the first two, ...; `left` stands by its index."""
    clock, saved, opening = 0.0, 0.0, opened
    found, block = [], list[Job]()
    for job in left:
        if not job.set_ups <= opened | sets:
            continue
        clock += job.minutes + sum(open_minutes[name] for name in job.set_ups - opening)
        opening |= job.set_ups
        saved += job.saving_minor * exp(-rate * clock)
        block = [*block, job]
        found.append((saved / -expm1(-rate * clock), block, opening - opened))
    return found


def _moved(jobs: list[Job], open_minutes: dict[str, int], mean_minutes: float) -> list[Job]:
    """Move single jobs, and neighbours together, to where the order saves more, until none does."""
    count = len(jobs)
    minutes, saving = (
        np.array([getattr(job, name) for job in jobs], dtype=np.float64) for name in ("minutes", "saving_minor")
    )
    names = sorted({name for job in jobs for name in job.set_ups})
    opening = np.array([open_minutes[name] for name in names], dtype=np.float64)
    users = [[place for place, job in enumerate(jobs) if name in job.set_ups] for name in names]
    user, begins = (
        np.array([one for some in users for one in some], dtype=np.int64),
        np.cumsum([0, *map(len, users)])[:-1],
    )

    def saves(place: _Ints) -> NDArray[np.float64]:
        """What orders save, each row telling at which place every job is done."""
        rows = np.arange(place.shape[0])[:, None]
        order = np.empty_like(place)
        order[rows, place] = np.arange(count)
        spent = minutes[order]
        if names:
            first = np.minimum.reduceat(place[:, user], begins, axis=1)
            flat = (rows * count + first).ravel()
            spent += np.bincount(flat, np.broadcast_to(opening, first.shape).ravel(), spent.size).reshape(spent.shape)
        return np.asarray((saving[order] * np.exp(-np.cumsum(spent, axis=1) / mean_minutes)).sum(axis=1))

    best = np.arange(count)
    saved = float(saves(best[None, :])[0]) if count else 0.0
    is_better = count > 0
    while is_better:
        is_better = False
        for size in range(1, min(3, count) + 1):
            for start in range(count - size + 1):
                taken, rest = best[start : start + size], np.delete(best, np.s_[start : start + size])
                to = np.arange(rest.size + 1)[:, None]
                place = np.empty((rest.size + 1, count), dtype=np.int64)
                place[:, rest] = np.arange(rest.size) + size * (np.arange(rest.size) >= to)
                place[:, taken] = to + np.arange(size)
                each = saves(place)
                most = int(each.argmax())
                # more than rounding, or two orders that are worth the same would take turns for ever
                if each[most] > saved * (1 + 1e-12):
                    best, saved, is_better = np.insert(rest, most, taken), float(each[most]), True
    return [jobs[place] for place in best.tolist()]


def _links(needs: Sequence[frozenset[int]], size: int) -> list[_Row]:
    """A job is done only where what it needs is open: a row of each."""
    rows: list[_Row] = []
    for job, some in enumerate(needs):
        for one in some:
            row = np.zeros(size, dtype=np.int64)
            row[job], row[len(needs) + one] = 1, -1
            rows.append((row, 0))
    return rows
