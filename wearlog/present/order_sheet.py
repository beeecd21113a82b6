"""The order list as rows that a file or a page shows: supplier, number, part, packs, pieces, prices, sums, and the order's mark."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import date
from typing import Final

from wearlog.facts.planning import order_mark
from wearlog.present.digits import Measures
from wearlog.reckoning.season_plan import SeasonPlanView

#: headings of an order file; the reader of a delivery knows them by these words
HEADINGS: Final = (
    "order",
    "supplier",
    "number",
    "part",
    "packs",
    "pieces in a pack",
    "pieces",
    "price each",
    "sum",
)


@dataclass(frozen=True, slots=True)
class OrderRow:
    """One line; money in whole minor units, None where there is no price."""

    number: str
    part: str
    packs: int
    pack_size: int
    pieces: int
    price_minor: int | None
    sum_minor: int | None


@dataclass(frozen=True, slots=True)
class SupplierSheet:
    """One supplier's lines, their sum, and how many of them have no price.

    `mark` names this order: the season and a digest of its lines and its day, so that it is not received twice.
    """

    mark: str
    supplier: str
    rows: tuple[OrderRow, ...]
    sum_minor: int
    without_price: int


@dataclass(frozen=True, slots=True)
class OrderSheet:
    """The whole order.

    Attributes
    ----------
    farm : str
    on : date
    currency : str
    suppliers : tuple of SupplierSheet
    sum_minor : int
    """

    farm: str
    on: date
    currency: str
    suppliers: tuple[SupplierSheet, ...]
    sum_minor: int


def order_sheet(view: SeasonPlanView, measures: Measures) -> OrderSheet:
    """Return the order list of a plan."""
    suppliers = []
    for order in view.found.orders.orders:
        rows = []
        for line in order.lines:
            part = view.needs[line.part].shelf.part
            rows.append(
                OrderRow(
                    part.number, part.name, line.packs, part.pack_size, line.units, line.price_minor, line.sum_minor
                )
            )
        mark = _mark(view, order.supplier, rows)
        suppliers.append(SupplierSheet(mark, order.supplier, tuple(rows), order.sum_minor, order.without_price))
    settings = measures.settings
    return OrderSheet(
        farm=settings.farm_name,
        on=measures.local(view.farm.now).date(),
        currency=settings.currency,
        suppliers=tuple(suppliers),
        sum_minor=view.found.orders.sum_minor,
    )


def _mark(view: SeasonPlanView, supplier: str, rows: list[OrderRow]) -> str:
    """A short name that other lines, or the same lines on another day, do not have."""
    lines = [f"{view.farm.now.date()}|{supplier}", *(f"{row.number}|{row.pieces}|{row.price_minor}" for row in rows)]
    digest = hashlib.sha256("\n".join(lines).encode()).hexdigest()[:6]
    return order_mark(view.harvest_year, digest)
