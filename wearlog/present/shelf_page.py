"""The stock screen in words: a row for each part on the shelf, and what is known of the one under the cursor."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from uuid import UUID

from wearlog.facts.parts import Part
from wearlog.facts.plain_text import one_line
from wearlog.present.digits import NOTHING, Measures, number
from wearlog.present.stock_words import order_total_minor, standing
from wearlog.present.words import counted, listed
from wearlog.reckoning.stock import Shelf


@dataclass(frozen=True, slots=True)
class ShelfRow:
    """A part in words; `about` is a sentence or two on it."""

    part: Part
    standing: str
    number: str
    name: str
    on_hand: int
    keep: str
    order: str
    each: str
    supplier: str
    about: str


@dataclass(frozen=True, slots=True)
class ShelfPage:
    """All parts, the low ones first, and one line on the whole."""

    rows: tuple[ShelfRow, ...]
    about: str


def shelf_page(rows: Sequence[Shelf], kinds: Mapping[UUID, str], measures: Measures) -> ShelfPage:
    """Say the shelf; `kinds` are the names of the kinds of part."""
    low = [row for row in rows if row.is_low]
    how_many = "none is low" if not low else f"{len(low)} {'is' if len(low) == 1 else 'are'} low"
    about = f"{counted(len(rows), 'part')}, {how_many}" if rows else "no parts yet"
    if low:
        about += f"; the orders come to {measures.money(order_total_minor(low))} at the last prices"
    return ShelfPage(tuple(_row(row, kinds, measures) for row in rows), f"{about}.")


def _row(row: Shelf, kinds: Mapping[UUID, str], measures: Measures) -> ShelfRow:
    return ShelfRow(
        part=row.part,
        standing=standing(row),
        number=one_line(row.part.number),
        name=one_line(row.part.name),
        on_hand=row.on_hand,
        keep=number(row.part.keep_on_hand) if row.part.keep_on_hand else NOTHING,
        order=number(row.order) if row.order else NOTHING,
        each=measures.money(row.part.price_minor),
        supplier=one_line(row.part.supplier),
        about=_about(row, kinds, measures),
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
    if row.worth_minor:
        said.append(f"worth {measures.money(row.worth_minor)}")
    if row.short:
        said.append(f"{row.short} more were used than the log knew of: count it")
    return one_line(f"{', '.join(said)}.")
