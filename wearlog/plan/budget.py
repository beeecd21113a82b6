"""What to do within a budget and the shop hours: the choice that saves most, and what more money would buy."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wearlog.errors import DataError
from wearlog.plan.zero_one import least_cost


@unique
class Bound(StrEnum):
    """What kept more from being done."""

    NOTHING_LISTED = "nothing_listed"
    NOTHING_PAYS = "nothing_pays"
    ALL_DONE = "all_done"
    MONEY = "money"
    SHOP_HOURS = "shop_hours"
    MONEY_AND_SHOP_HOURS = "money_and_shop_hours"


@dataclass(frozen=True, slots=True)
class Wishes:
    """What could be done; arrays of shape (wishes,).

    Attributes
    ----------
    gain_minor, spend_minor, shop_seconds : ndarray of int64
        What each saves on the mean, what it takes from the budget, what it takes of the shop's time.
    must, barred : ndarray of bool
        Chosen by hand: done whatever it costs, or not done.
    group : ndarray of int64
        Wishes of one group are ways to do one thing: at most one of them is chosen.
    """

    gain_minor: NDArray[np.int64]
    spend_minor: NDArray[np.int64]
    shop_seconds: NDArray[np.int64]
    must: NDArray[np.bool_]
    barred: NDArray[np.bool_]
    group: NDArray[np.int64]

    @classmethod
    def of(
        cls,
        gain_minor: ArrayLike,
        spend_minor: ArrayLike,
        shop_seconds: ArrayLike | None = None,
        *,
        must: ArrayLike | None = None,
        barred: ArrayLike | None = None,
        group: ArrayLike | None = None,
    ) -> Wishes:
        """Take wishes from sequences of equal length; what is left out is nothing, and without groups each wish is for itself.

        Parameters
        ----------
        gain_minor : sequence of int
            What each saves, minor units.
        spend_minor : sequence of int
            What each costs now, minor units.
        shop_seconds : sequence of int
            Work in the shop, seconds.
        must : sequence of bool
            Chosen whatever it gains.
        barred : sequence of bool
            Never chosen.
        group : sequence of int
            Of the wishes of one group one is chosen at most.

        Raises
        ------
        DataError
            When they differ in length, a price or a time is negative, one is both wanted and barred by hand, or two of one group
            are wanted by hand.
        """
        gain = np.asarray(gain_minor, dtype=np.int64)
        spend = np.asarray(spend_minor, dtype=np.int64)
        hours = np.zeros_like(gain) if shop_seconds is None else np.asarray(shop_seconds, dtype=np.int64)
        wanted = np.zeros(gain.shape, dtype=bool) if must is None else np.asarray(must, dtype=bool)
        out = np.zeros(gain.shape, dtype=bool) if barred is None else np.asarray(barred, dtype=bool)
        of = np.arange(gain.size) if group is None else np.asarray(group, dtype=np.int64)
        if gain.ndim != 1 or len({gain.shape, spend.shape, hours.shape, wanted.shape, out.shape, of.shape}) != 1:
            raise DataError("The columns of the list are not of equal length.", "Give every figure for every line.")
        if np.any(spend < 0) or np.any(hours < 0):
            raise DataError("A price or a time on the list is negative.", "Check the lines of the plan.")
        if np.any(wanted & out):
            raise DataError("A line is both to be done and not to be done.", "Settle it one way.")
        if np.unique(of[wanted]).size < int(wanted.sum()):
            raise DataError("Two ways to do the same thing are both to be done.", "Settle on one of them.")
        return cls(gain, spend, hours, wanted, out, of)

    @property
    def free(self) -> NDArray[np.bool_]:
        """What the figures may choose: what saves anything and is not settled by hand."""
        settled = np.isin(self.group, self.group[self.must])
        return np.asarray(~settled & ~self.barred & (self.gain_minor > 0))

    @property
    def best(self) -> NDArray[np.bool_]:
        """What would be chosen of the free ones without limits: of each group what saves most, of equals the cheapest."""
        lines = np.flatnonzero(self.free)
        order = np.lexsort(
            (self.shop_seconds[lines], self.spend_minor[lines], -self.gain_minor[lines], self.group[lines])
        )
        first = np.ones(lines.size, dtype=bool)
        first[1:] = np.diff(self.group[lines][order]) != 0
        out = np.zeros(self.group.shape, dtype=bool)
        out[lines[order[first]]] = True
        return out


@dataclass(frozen=True, slots=True)
class Limits:
    """Money and shop time there is; None where there is no limit."""

    budget_minor: int | None = None
    shop_seconds: int | None = None


@dataclass(frozen=True, slots=True)
class BudgetChoice:
    """What is done, and what it comes to.

    Attributes
    ----------
    chosen : ndarray of bool, shape (wishes,)
    gain_minor, spend_minor, shop_seconds : int
    overspent_minor, over_shop_seconds : int
        By how much what was chosen by hand alone goes beyond the limits; else 0.
    bound : Bound
    proven : bool
        False when the solver stopped before it had proved that nothing saves more; what is left to find is then very little.
    """

    chosen: NDArray[np.bool_]
    gain_minor: int
    spend_minor: int
    shop_seconds: int
    overspent_minor: int
    over_shop_seconds: int
    bound: Bound
    proven: bool


@dataclass(frozen=True, slots=True)
class MoreMoney:
    """What more money would buy.

    Attributes
    ----------
    extra_minor, gain_minor : int
        The step that was asked about, and what it would save.
    added, dropped : tuple of int
        Lines that would come in and go out.
    next_useful_minor : int or None
        The least extra that saves anything at all; None when no money does.
    next_gain_minor : int
        What that least extra would save.
    """

    extra_minor: int
    gain_minor: int
    added: tuple[int, ...]
    dropped: tuple[int, ...]
    next_useful_minor: int | None
    next_gain_minor: int


def choose(wishes: Wishes, limits: Limits) -> BudgetChoice:
    """Choose what saves most within the limits.

    Parameters
    ----------
    wishes : Wishes
    limits : Limits
        A budget of nothing, or less than what is chosen by hand, is answered like any other: nothing more is done.

    Notes
    -----
    0/1 programme by scipy.optimize.milp without a gap, up to a number of branches. Sums are checked again in whole numbers.
    """
    money, hours = _left(wishes, limits)
    best = wishes.best
    # where all that pays fits there is nothing to weigh, and the solver is not asked
    more, proven = (best, True) if _fits(wishes, best, money, hours) else _within(wishes, money, hours)
    chosen = wishes.must | more
    spend, seconds = int(wishes.spend_minor[chosen].sum()), int(wishes.shop_seconds[chosen].sum())
    return BudgetChoice(
        chosen,
        int(wishes.gain_minor[chosen].sum()),
        spend,
        seconds,
        0 if money is None else max(-money, 0),
        0 if hours is None else max(-hours, 0),
        _bound(wishes, best, money, hours),
        proven,
    )


def more_money(wishes: Wishes, limits: Limits, extra_minor: int = 100_00, now: BudgetChoice | None = None) -> MoreMoney:
    """Say what `extra_minor` more would buy, and the least extra that would buy anything.

    Parameters
    ----------
    wishes : Wishes
        What could be done, with prices and savings.
    limits : Limits
        Money in minor units and shop hours that there are.
    extra_minor : int
        More money, in minor units; above 0.
    now : BudgetChoice, optional
        What is chosen of the wishes within the limits, where that is known already.

    Raises
    ------
    DataError
        When the extra is not above zero.
    """
    if extra_minor <= 0:
        raise DataError("More money must be above zero.", "Ask about 100, for example.")
    now = choose(wishes, limits) if now is None else now
    if limits.budget_minor is None:
        return MoreMoney(extra_minor, 0, (), (), None, 0)
    # chosen afresh, not added to: more money may buy a dearer line in place of one that was a stopgap
    then = choose(wishes, Limits(limits.budget_minor + extra_minor, limits.shop_seconds))
    least = _least_for_more(wishes, limits, now)
    return MoreMoney(
        extra_minor,
        then.gain_minor - now.gain_minor,
        tuple(int(line) for line in np.flatnonzero(then.chosen & ~now.chosen)),
        tuple(int(line) for line in np.flatnonzero(now.chosen & ~then.chosen)),
        None if least is None else int(wishes.spend_minor[least].sum()) - limits.budget_minor,
        0 if least is None else int(wishes.gain_minor[least].sum()) - now.gain_minor,
    )


def _left(wishes: Wishes, limits: Limits) -> tuple[int | None, int | None]:
    """Money and seconds left after what was chosen by hand; below zero when it is too much."""
    money, hours = limits.budget_minor, limits.shop_seconds
    return (
        None if money is None else money - int(wishes.spend_minor[wishes.must].sum()),
        None if hours is None else hours - int(wishes.shop_seconds[wishes.must].sum()),
    )


def _room(left: int | None) -> int | None:
    """What free lines may take: nothing when lines chosen by hand took too much already, so that those which take nothing stay."""
    return None if left is None else max(left, 0)


def _fits(wishes: Wishes, lines: NDArray[np.bool_], money: int | None, hours: int | None) -> bool:
    pairs = ((wishes.spend_minor, _room(money)), (wishes.shop_seconds, _room(hours)))
    return all(room is None or int(column[lines].sum()) <= room for column, room in pairs)


def _bound(wishes: Wishes, best: NDArray[np.bool_], money: int | None, hours: int | None) -> Bound:
    if wishes.gain_minor.size == 0:
        return Bound.NOTHING_LISTED
    if not best.any():
        return Bound.ALL_DONE if wishes.must.any() else Bound.NOTHING_PAYS
    too_dear, too_long = not _fits(wishes, best, money, None), not _fits(wishes, best, None, hours)
    if too_dear and too_long:
        return Bound.MONEY_AND_SHOP_HOURS
    return Bound.MONEY if too_dear else Bound.SHOP_HOURS if too_long else Bound.ALL_DONE


def _within(wishes: Wishes, money: int | None, hours: int | None) -> tuple[NDArray[np.bool_], bool]:
    """The free lines that save most within the limits, and whether that is proved."""
    lines = np.flatnonzero(wishes.free)
    rows = [(wishes.spend_minor[lines], _room(money)), (wishes.shop_seconds[lines], _room(hours))]
    picked, proven = least_cost(-wishes.gain_minor[lines].astype(np.float64), rows, wishes.group[lines])
    out = np.zeros(wishes.must.shape, dtype=bool)
    if picked is not None:
        out[lines[picked]] = True
    return out, proven


def _least_for_more(wishes: Wishes, limits: Limits, now: BudgetChoice) -> NDArray[np.bool_] | None:
    """The cheapest choice that saves more than now, within the shop hours."""
    lines = np.flatnonzero(wishes.free)
    _, hours = _left(wishes, limits)
    by_hand = int(wishes.gain_minor[wishes.must].sum())
    picked, _ = least_cost(
        wishes.spend_minor[lines].astype(np.float64),
        [(wishes.shop_seconds[lines], _room(hours))],
        wishes.group[lines],
        # one smallest coin more than now is more
        at_least=(wishes.gain_minor[lines], now.gain_minor - by_hand + 1),
    )
    if picked is None:
        return None
    out = wishes.must.copy()
    out[lines[picked]] = True
    return out
