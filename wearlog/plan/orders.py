"""The order list: what to buy from whom, in whole packs, with its sum. Why it is bought stands in decide.py and spares.py."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

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
