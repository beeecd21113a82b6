"""What looks entered twice, called as the sheets call it."""

from __future__ import annotations

from dataclasses import dataclass

from wearlog.exchange.row_book import RowBook, sheet_of
from wearlog.facts.fact import Fact
from wearlog.ids import short_number
from wearlog.logbook.twins.joining import came_later
from wearlog.logbook.twins.looking import find_twins
from wearlog.present.files.twin_words import Offer
from wearlog.store.schema import table_of


@dataclass(frozen=True, slots=True)
class TwinList:
    """The pairs that are offered, their rows (the one that would be kept first), and how many joined rows were written to again."""

    offers: tuple[Offer, ...]
    rows: tuple[tuple[Fact, Fact], ...]
    later: int


def twin_list(book: RowBook) -> TwinList:
    """Return what looks entered twice, and what came in for what was joined."""
    with book.store.reading() as connection:
        twins, later = find_twins(connection), len(came_later(connection))
    offers = tuple(
        Offer(
            table_of(one.kept).name,
            row_called(book, one.kept),
            row_called(book, one.twin),
            (short_number(one.kept.id), short_number(one.twin.id)),
            one.devices,
            one.why,
        )
        for one in twins
    )
    return TwinList(offers, tuple((one.kept, one.twin) for one in twins), later)


def row_called(book: RowBook, fact: Fact) -> str:
    """Return what a row is called with its number; of a table without a sheet the table and its name."""
    sheet = sheet_of(fact)
    if sheet:
        return book.called(sheet, fact)
    name = getattr(fact, "name", "")
    return f"{table_of(fact).name.replace('_', ' ')} {short_number(fact.id)}{f' ({name})' if name else ''}"
