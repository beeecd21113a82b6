"""The shelf as an answer: every part with what is there, what should be and what to order; the low ones first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final
from uuid import UUID

from wearlog.facts.plain_text import one_line
from wearlog.present.answer_sheet import AnswerColumn, AnswerSheet, data, entry_number, money_value
from wearlog.present.digits import NOTHING, Measures, number
from wearlog.present.json_form import money
from wearlog.present.words import counted, listed
from wearlog.reckoning.parts.stock import Shelf

_NONE_AT_ALL: Final = "No part is on the shelf. 'wearlog add part' enters one; on the screen a adds it."
_NONE_LOW: Final = "Nothing is low."


def standing(row: Shelf) -> str:
    """Return the mark of a shelf: LOW, count it, or nothing."""
    if row.short:
        return "LOW, count" if row.is_low else "count it"
    return "LOW" if row.is_low else ""


def _count(count: int) -> str:
    return number(count) if count else NOTHING


COLUMNS: Final[tuple[AnswerColumn[Shelf], ...]] = (
    AnswerColumn("", lambda row, _: standing(row), least=8, most=12),
    AnswerColumn(
        "number",
        lambda row, _: row.part.number,
        "number",
        lambda row, _: row.part.number,
        least=8,
        most=18,
        order=lambda row: row.part.number.casefold(),
    ),
    AnswerColumn(
        "part",
        lambda row, _: row.part.name,
        "name",
        lambda row, _: row.part.name,
        least=12,
        most=30,
        # a name is cut only when there is nothing left to give way for it
        room=26,
        order=lambda row: row.part.name.casefold(),
    ),
    AnswerColumn(
        "on hand",
        lambda row, _: number(row.on_hand),
        "on_hand",
        lambda row, _: row.on_hand,
        least=7,
        most=8,
        figures=True,
        order=lambda row: row.on_hand,
    ),
    AnswerColumn(
        "keep",
        lambda row, _: _count(row.part.keep_on_hand),
        "keep_on_hand",
        lambda row, _: row.part.keep_on_hand,
        least=5,
        most=6,
        figures=True,
        gives=2,
    ),
    data("low", lambda row, _: row.is_low),
    AnswerColumn(
        "order",
        lambda row, _: _count(row.order),
        "order",
        lambda row, _: row.order,
        least=5,
        most=6,
        figures=True,
        gives=1,
        # what is to be ordered stands first
        order=lambda row: -row.order,
    ),
    data("pack_size", lambda row, _: row.part.pack_size),
    data("used_beyond_the_book", lambda row, _: row.short),
    AnswerColumn(
        "each",
        lambda row, measures: measures.money(row.part.price_minor),
        "price",
        money_value(lambda row: row.part.price_minor),
        least=11,
        most=14,
        figures=True,
        gives=3,
    ),
    data("worth", money_value(lambda row: row.worth_minor)),
    AnswerColumn(
        "supplier",
        lambda row, _: row.part.supplier,
        "supplier",
        lambda row, _: row.part.supplier,
        least=8,
        most=20,
        gives=4,
        order=lambda row: row.part.supplier.casefold(),
    ),
    data("lead_time_days", lambda row, _: row.part.lead_time_days),
    entry_number(lambda row: row.part.id, gives=3, title="entry"),
)


def stock_sheet(
    shelves: Sequence[Shelf], kinds: Mapping[UUID, str], measures: Measures, *, only_low: bool = False
) -> AnswerSheet[Shelf]:
    """Return the answer; `kinds` are the names of the kinds of part."""
    rows = [row for row in shelves if row.is_low or not only_low]
    return AnswerSheet(
        name="parts",
        columns=COLUMNS,
        rows=rows,
        measures=measures,
        headline=_headline(shelves, measures),
        empty=_NONE_LOW if shelves else _NONE_AT_ALL,
        beside={"order_total": money(order_total_minor(rows), measures.settings.currency)},
        key_of=lambda row: row.part.id,
        about=lambda row, measures: _about(row, kinds, measures),
        shouts=lambda row: bool(standing(row)),
    )


def order_sentence(row: Shelf, measures: Measures) -> str:
    """Return one low part as a sentence for a page."""
    price = "" if row.part.price_minor is None else f", {measures.money(row.order * row.part.price_minor)}"
    return (
        f"{row.order} x {row.part.number} {row.part.name}: {row.on_hand} on hand, keep {row.part.keep_on_hand}{price}"
    )


def order_total_minor(rows: Sequence[Shelf]) -> int:
    """Return what the orders cost at today's prices; parts without a price count for nothing."""
    return sum(row.order * (row.part.price_minor or 0) for row in rows)


def _headline(shelves: Sequence[Shelf], measures: Measures) -> str:
    low = [row for row in shelves if row.is_low]
    if not shelves:
        return ""
    if not low:
        return f"{'None' if len(shelves) > 1 else 'Nothing'} of {counted(len(shelves), 'part')} is low."
    suppliers = {row.part.supplier for row in low if row.part.supplier}
    where = f" from {len(suppliers)} suppliers" if len(suppliers) > 1 else ""
    return (
        f"{len(low)} of {counted(len(shelves), 'part')} {'is' if len(low) == 1 else 'are'} low:"
        f" order for {measures.money(order_total_minor(low))}{where}."
    )


def _about(row: Shelf, kinds: Mapping[UUID, str], measures: Measures) -> str:
    part = row.part
    fits = [one_line(kinds[kind]) for kind in row.kind_ids if kind in kinds]
    said = [f"{part.number} {part.name} fits {listed(fits)}" if fits else f"{part.number} {part.name} fits nothing yet"]
    if part.pack_size > 1:
        said.append(f"packs of {part.pack_size}")
    if part.lead_time_days is not None:
        said.append(f"{counted(part.lead_time_days, 'day')} to come")
    if part.supplier:
        said.append(f"from {part.supplier}")
    if part.price_minor is not None:
        said.append(f"{measures.money(part.price_minor)} each")
    if row.worth_minor:
        said.append(f"bought for {measures.money(row.worth_minor)}")
    if row.short:
        said.append(f"{row.short} more were used than the log knew of: count it")
    return one_line(f"{', '.join(said)}.")
