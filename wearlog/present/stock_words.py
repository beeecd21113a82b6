"""Stock in words, and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from wearlog.present.digits import NOTHING, Measures, number
from wearlog.present.json_form import money
from wearlog.present.tables import Column, text_table
from wearlog.reckoning.stock import Shelf


def stock_lines(rows: Sequence[Shelf], measures: Measures) -> list[str]:
    """Return the table of parts on the shelf."""
    columns = (
        Column("", widest=12),
        Column("number", widest=18),
        Column("part", widest=30),
        Column("on hand", figures=True),
        Column("keep", figures=True),
        Column("order", figures=True),
        Column("each", figures=True),
        Column("supplier", widest=20),
    )
    return text_table(columns, [_cells(row, measures) for row in rows])


def _cells(row: Shelf, measures: Measures) -> tuple[str, ...]:
    return (
        standing(row),
        row.part.number,
        row.part.name,
        number(row.on_hand),
        number(row.part.keep_on_hand) if row.part.keep_on_hand else NOTHING,
        number(row.order) if row.order else NOTHING,
        measures.money(row.part.price_minor),
        row.part.supplier,
    )


def standing(row: Shelf) -> str:
    """Return the mark of a shelf: LOW, count it, or nothing."""
    if row.short:
        return "LOW, count" if row.is_low else "count it"
    return "LOW" if row.is_low else ""


def order_sentence(row: Shelf, measures: Measures) -> str:
    """Return one low part as a sentence for a page."""
    price = "" if row.part.price_minor is None else f", {measures.money(row.order * row.part.price_minor)}"
    return (
        f"{row.order} x {row.part.number} {row.part.name}: {row.on_hand} on hand, keep {row.part.keep_on_hand}{price}"
    )


def order_total_minor(rows: Sequence[Shelf]) -> int:
    """Return what the orders cost at today's prices; parts without a price count for nothing."""
    return sum(row.order * (row.part.price_minor or 0) for row in rows)


def stock_json(rows: Sequence[Shelf], measures: Measures) -> dict[str, Any]:
    """Return the shelves as JSON."""
    currency = measures.settings.currency
    return {
        "parts": [
            {
                "number": row.part.number,
                "name": row.part.name,
                "on_hand": row.on_hand,
                "keep_on_hand": row.part.keep_on_hand,
                "low": row.is_low,
                "order": row.order,
                "pack_size": row.part.pack_size,
                "used_beyond_the_book": row.short,
                "price": money(row.part.price_minor, currency),
                "worth": money(row.worth_minor, currency),
                "supplier": row.part.supplier,
                "lead_time_days": row.part.lead_time_days,
            }
            for row in rows
        ],
        "order_total": money(order_total_minor(rows), currency),
    }
