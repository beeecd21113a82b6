"""The order list: what to buy from whom, in whole packs, with its sum; and how long an order takes, by what the last ones took.

Why it is bought stands in decide.py and spares.py.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log, sqrt
from typing import Final

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import stdtr, stdtrit

from wearlog.errors import DataError


@dataclass(frozen=True, slots=True)
class Need:
    """Units wanted of one article, for whatever purpose; several needs of one article are put together.

    Attributes
    ----------
    part : int
        Place of the part in the caller's list.
    for_replacement : int
        Units that the planned replacements take.
    for_stock : int
        Units to have on the truck when the season starts.
    """

    part: int
    for_replacement: int = 0
    for_stock: int = 0


@dataclass(frozen=True, slots=True)
class Article:
    """What the order needs to know of a part; `price_minor` is of one unit and None when nobody knows it."""

    supplier: str
    price_minor: int | None
    pack_size: int
    on_hand: int


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One article to order; `sum_minor` is None when the price is not known."""

    part: int
    needed: int
    packs: int
    units: int
    price_minor: int | None
    sum_minor: int | None


@dataclass(frozen=True, slots=True)
class SupplierOrder:
    """The lines of one supplier ("" when none is written down), their sum, and how many have no price."""

    supplier: str
    lines: tuple[OrderLine, ...]
    sum_minor: int
    without_price: int


@dataclass(frozen=True, slots=True)
class OrderList:
    """All orders, by supplier's name, the one without a name last."""

    orders: tuple[SupplierOrder, ...]
    sum_minor: int
    without_price: int


def order_list(articles: Sequence[Article], needs: Sequence[Need]) -> OrderList:
    """Put needs together, take off what is on hand, and order the rest in whole packs.

    Parameters
    ----------
    articles : sequence of Article
    needs : sequence of Need

    Raises
    ------
    DataError
        When a need names an article that is not there, or a number is negative.
    """
    wanted: dict[int, int] = {}
    for need in needs:
        if not 0 <= need.part < len(articles) or min(need.for_replacement, need.for_stock) < 0:
            raise DataError("A need names a part that is not there, or less than nothing.", "Check the plan's lines.")
        wanted[need.part] = wanted.get(need.part, 0) + need.for_replacement + need.for_stock
    by_supplier: dict[str, list[OrderLine]] = {}
    for part in sorted(wanted):
        line = _line(articles[part], part, wanted[part])
        if line is not None:
            by_supplier.setdefault(articles[part].supplier, []).append(line)
    orders = tuple(_order(name, by_supplier[name]) for name in sorted(by_supplier, key=lambda name: (not name, name)))
    return OrderList(orders, sum(order.sum_minor for order in orders), sum(order.without_price for order in orders))


def _line(article: Article, part: int, wanted: int) -> OrderLine | None:
    if article.pack_size < 1 or article.on_hand < 0:
        raise DataError("A pack holds at least one, and stock is not negative.", "Check this part.")
    # ceiling division: a pack is opened for its first unit
    packs = -(-max(wanted - article.on_hand, 0) // article.pack_size)
    if packs == 0:
        return None
    units = packs * article.pack_size
    price = article.price_minor
    return OrderLine(part, wanted, packs, units, price, None if price is None else units * price)


def _order(supplier: str, lines: list[OrderLine]) -> SupplierOrder:
    # a sum that counts an unknown price as nothing would look whole: how many lack one is told beside it
    sums = [line.sum_minor for line in lines if line.sum_minor is not None]
    return SupplierOrder(supplier, tuple(lines), sum(sums), len(lines) - len(sums))


#: days that an order takes where nobody quoted any (a guess)
UNQUOTED_DAYS: Final = 3.0
#: what a quoted time is worth: two deliveries, whose logarithms scatter by .35 (common practice, no source)
_WORTH, _SCATTER = 2.0, 0.35


@dataclass(frozen=True, slots=True)
class LeadTime:
    """What is believed of the days that the next order takes: their logarithm is Student's t."""

    degrees: float
    middle: float
    scale: float

    def days(self, chance: float) -> float:
        """Return the days that are not exceeded with this chance.

        Parameters
        ----------
        chance : float
            Between 0 and 1.
        """
        return exp(self.middle + self.scale * float(stdtrit(self.degrees, chance)))

    def later_than(self, days: float) -> float:
        """Return the chance that it takes longer.

        Parameters
        ----------
        days : float
            Above 0.
        """
        return float(stdtr(self.degrees, (self.middle - log(days)) / self.scale))


def lead_time(taken_days: ArrayLike, quoted_days: float | None = None) -> LeadTime:
    """Return how long the next order takes, by what the last ones took and what is quoted.

    Parameters
    ----------
    taken_days : array_like, shape (n,)
        Days from order to receipt, above 0.
    quoted_days : float, optional
        What the supplier says.

    Notes
    -----
    ln(days) is normal with unknown mean and variance (normal-gamma: k 2, a 2, b 2 x .35^2, mean ln quoted); the next one is
    Student's t with 2a degrees of freedom about m, scale sqrt(b (k + 1) / (a k)).
    """
    taken = np.asarray(taken_days, dtype=np.float64).ravel()
    quoted = UNQUOTED_DAYS if quoted_days is None else quoted_days
    if quoted <= 0 or not (taken > 0).all():
        raise DataError("An order takes more than 0 days.", "Check the day of the order and of the receipt.")
    logs, guess = np.log(taken), log(quoted)
    count = logs.size
    mean = float(logs.mean()) if count else guess
    worth = _WORTH + count
    middle = (_WORTH * guess + count * mean) / worth
    a = 2.0 + count / 2
    b = 2 * _SCATTER**2 + ((logs - mean) ** 2).sum() / 2 + _WORTH * count * (mean - guess) ** 2 / (2 * worth)
    return LeadTime(2 * a, middle, sqrt(float(b) * (worth + 1) / (a * worth)))
