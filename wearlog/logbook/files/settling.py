"""Settling what two laptops changed apart: one side is kept, by a version that follows both, so that it holds on every laptop."""

from __future__ import annotations

from collections.abc import Mapping
from uuid import UUID

from wearlog.errors import NotFoundError, RefusedError
from wearlog.facts.bookkeeping import Deed
from wearlog.facts.closed_lists import Doing
from wearlog.logbook.deed_sentences import settled_sentence
from wearlog.store.heads import Head, rows_apart
from wearlog.store.journal import contents_of, deed_of_version
from wearlog.store.ledger import Entry, record
from wearlog.store.opening import Store
from wearlog.store.schema import table_of


def settle(store: Store, kept: Mapping[UUID, int] | None = None) -> Deed:
    """Keep one side of each row named, as one deed.

    Parameters
    ----------
    kept : mapping of UUID to int, optional
        Row -> which of its sides, counted from 1 (the one that is shown). None: of every row what is shown.

    Raises
    ------
    NotFoundError
        When such a row is not apart, or has no such side.
    RefusedError
        When nothing is to be settled.
    """
    with store.writing() as connection:
        found = rows_apart(connection)
        if not found:
            raise RefusedError("Nothing is to be settled.", "'wearlog check' lists what is.")
        chosen = {row_id: _side(found, row_id, number) for row_id, number in (kept or dict.fromkeys(found, 1)).items()}
        facts = contents_of(connection, chosen.values())
        entries = [Entry(facts[version_id], Doing.SETTLED) for version_id in chosen.values()]
        first = next(iter(chosen.values()))
        said = settled_sentence(
            table_of(facts[first]).name.replace("_", " "), deed_of_version(connection, first).device, len(entries)
        )
        return record(connection, device=store.device, person=store.person, said=said, entries=entries)


def _side(found: Mapping[UUID, tuple[Head, ...]], row_id: UUID, number: int) -> UUID:
    heads = found.get(row_id, ())
    if not heads:
        raise NotFoundError("This row is not to be settled any more.", "'wearlog settle' lists what is.")
    if not 1 <= number <= len(heads):
        raise NotFoundError(f"There is no side {number}: it has {len(heads)}.", "'wearlog settle' lists them.")
    return heads[number - 1].version_id
