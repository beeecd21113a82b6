"""What a price on the limits settles of a 0/1 choice, and the rest gone through: exact in whole numbers, or no answer.

A price on what is short tells what each wish is worth beyond it, and with that a bound for all choices at once (Lagrangian
relaxation). What the bound alone rules out is left aside. The few wishes left are gone through group by group, and what cannot
become better than the best choice known is dropped on the way. Real lists leave a handful; who gets no answer asks a solver.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

_SWEEPS: Final = 3
_HALVINGS: Final = 50
_MOST_SWAPS: Final = 100
_LIKELY: Final = 200
#: so many half-made choices are held side by side at most
_MOST_HELD: Final = 20_000


@dataclass(frozen=True, slots=True, eq=False)
class _Options:
    """One option of each group is chosen, and that may be nothing; options stand group by group.

    `cost` (options,), `takes` (limits, options), `room` (limits,); `group` of each option, `starts` of each group, `wish` of each
    option (-1 for nothing).
    """

    cost: NDArray[np.int64]
    takes: NDArray[np.int64]
    room: NDArray[np.int64]
    group: NDArray[np.int64]
    starts: NDArray[np.int64]
    wish: NDArray[np.int64]

    def priced(self, price: NDArray[np.float64]) -> NDArray[np.float64]:
        """What each option costs once what it takes is paid for."""
        return np.asarray(self.cost + price @ self.takes)

    def cheapest(self, priced: NDArray[np.float64]) -> NDArray[np.int64]:
        """Of each group the first option that costs least."""
        least = np.minimum.reduceat(priced, self.starts)
        places = np.where(priced == least[self.group], np.arange(priced.size), priced.size)
        return np.asarray(np.minimum.reduceat(places, self.starts))

    def bound(self, price: NDArray[np.float64], priced: NDArray[np.float64]) -> float:
        """What no choice within the limits goes below."""
        return float(np.minimum.reduceat(priced, self.starts).sum() - price @ self.room)


def cheapest_within(
    cost: NDArray[np.int64], takes: NDArray[np.int64], room: NDArray[np.int64], group: NDArray[np.int64]
) -> NDArray[np.bool_] | None:
    """Return the choice that costs least within the limits; of equals the one that takes least of the first limit.

    Parameters
    ----------
    cost : ndarray of int64, shape (wishes,)
        Below zero where a wish saves something.
    takes : ndarray of int64, shape (limits, wishes)
        Below zero where a wish gives what is asked for.
    room : ndarray of int64, shape (limits,)
        The sum of what is chosen stays at or below it.
    group : ndarray of int64, shape (wishes,)
        At most one wish of each group is chosen.

    Returns
    -------
    ndarray of bool, shape (wishes,), or None
        None where this way finds no answer; that says nothing of whether there is one.
    """
    options = _options(cost, takes, room, group)
    price, known = _priced(options)
    if known is None:
        return None
    priced = options.priced(price)
    over = priced - np.minimum.reduceat(priced, options.starts)[options.group]
    best = int(options.cost[_swapped(options, over, known)].sum())
    # a whole unit less than this is what rounding of the prices could take away
    slack = 0.5 + 1e-9 * float(np.abs(priced).sum())
    picked = _gone_through(
        options, price, np.flatnonzero(options.bound(price, priced) + over <= best + slack), best + slack
    )
    if picked is None:
        return None
    chosen = np.zeros(cost.size, dtype=bool)
    wishes = options.wish[picked]
    chosen[wishes[wishes >= 0]] = True
    return chosen


def _options(
    cost: NDArray[np.int64], takes: NDArray[np.int64], room: NDArray[np.int64], group: NDArray[np.int64]
) -> _Options:
    names, number = np.unique(group, return_inverse=True)
    # nothing of a group stands first, so that of equals nothing is done
    of = np.concatenate([np.arange(names.size), number])
    order = np.argsort(of, kind="stable")
    nothing = np.zeros(names.size, dtype=np.int64)
    return _Options(
        np.concatenate([nothing, cost])[order],
        np.concatenate([np.zeros((room.size, names.size), dtype=np.int64), takes], axis=1)[:, order],
        room,
        of[order],
        np.searchsorted(of[order], np.arange(names.size)),
        np.concatenate([nothing - 1, np.arange(cost.size)])[order],
    )


def _priced(options: _Options) -> tuple[NDArray[np.float64], NDArray[np.int64] | None]:
    """Prices at which each limit is just kept, and the cheapest choice within the limits that was met on the way."""
    price = np.zeros(options.room.size)
    best: tuple[float, NDArray[np.int64] | None] = (np.inf, None)

    def met(row: int, at: float) -> bool:
        """Whether the limit is kept when its price is this."""
        nonlocal best
        price[row] = at
        chosen = options.cheapest(options.priced(price))
        taken = options.takes[:, chosen].sum(axis=1)
        if np.all(taken <= options.room) and (cost := float(options.cost[chosen].sum())) < best[0]:
            best = cost, chosen
        return bool(taken[row] <= options.room[row])

    for _ in range(_SWEEPS):
        before = price.copy()
        for row in range(price.size):
            if met(row, 0.0):
                continue
            low, high = 0.0, 1.0
            while not met(row, high) and high < 1e15:
                low, high = high, high * 8
            for _ in range(_HALVINGS):
                if high - low <= 1e-9 * high:
                    break
                middle = (low + high) / 2
                low, high = (low, middle) if met(row, middle) else (middle, high)
            met(row, high)
        if np.array_equal(before, price):
            break
    return price, best[1]


def _swapped(options: _Options, over: NDArray[np.float64], chosen: NDArray[np.int64]) -> NDArray[np.int64]:
    """Another option of one group, or of two at once, whichever lowers the cost most, as long as one does.

    `over` says by how much each option costs more than the cheapest of its group when what it takes is paid for: of two at once
    only the likeliest are tried.
    """
    now = chosen.copy()
    likely = np.argsort(over, kind="stable")[:_LIKELY]
    for _ in range(_MOST_SWAPS):
        had = now[options.group]
        less, more = options.cost - options.cost[had], options.takes - options.takes[:, had]
        left = options.room - options.takes[:, now].sum(axis=1)
        one = int(np.argmin(np.where(np.all(more <= left[:, None], axis=0), less, 0)))
        if less[one] < 0 and np.all(more[:, one] <= left):
            now[options.group[one]] = one
            continue
        both = less[likely, None] + less[likely]
        takes = more[:, likely, None] + more[:, None, likely]
        fits = np.all(takes <= left[:, None, None], axis=0)
        fits &= options.group[likely, None] != options.group[likely]
        first, second = np.unravel_index(int(np.argmin(np.where(fits, both, 0))), both.shape)
        if not fits[first, second] or both[first, second] >= 0:
            break
        for place in (likely[first], likely[second]):
            now[options.group[place]] = place
    return now


def _gone_through(
    options: _Options, price: NDArray[np.float64], kept: NDArray[np.int64], most: float
) -> NDArray[np.int64] | None:
    """The best choice among the options kept, one of each group; None where too many would have to be held side by side."""
    priced = options.priced(price)
    groups = np.split(kept, np.flatnonzero(np.diff(options.group[kept])) + 1)
    # those that leave no choice first, the others behind them
    groups.sort(key=lambda one: one.size)
    least = np.array([priced[one].min() for one in groups])
    takes_least = np.array([options.takes[:, one].min(axis=1) for one in groups])
    ahead = least.sum() - price @ options.room
    takes_ahead = takes_least.sum(axis=0)
    cost, taken = np.zeros(1, dtype=np.int64), np.zeros((options.room.size, 1), dtype=np.int64)
    paths = np.zeros((1, 0), dtype=np.int64)
    for one, lowest, takes in zip(groups, least, takes_least, strict=True):
        ahead, takes_ahead = ahead - lowest, takes_ahead - takes
        cost = (cost[:, None] + options.cost[one]).ravel()
        taken = (taken[:, :, None] + options.takes[:, None, one]).reshape(options.room.size, -1)
        hopeful = (cost + price @ taken + ahead <= most) & np.all(
            taken + takes_ahead[:, None] <= options.room[:, None], axis=0
        )
        rows = np.flatnonzero(hopeful)
        if not 0 < rows.size <= _MOST_HELD:
            return None
        cost, taken = cost[rows], taken[:, rows]
        paths = np.column_stack([paths[rows // one.size], one[rows % one.size]])
    return np.asarray(paths[np.lexsort((*taken[::-1], cost))[0]])
