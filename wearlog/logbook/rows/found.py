"""Finding what a person names by its number: a row, or an entry of the history and the row that it is about."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final
from uuid import UUID

from wearlog.errors import NotFoundError, RefusedError, UsageError
from wearlog.facts.bookkeeping import Deed, ImportBatch
from wearlog.facts.electrics import Fault
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine
from wearlog.facts.papers import OutsideLine
from wearlog.facts.parts import Part
from wearlog.facts.wearing import Breakage, Component, Repair
from wearlog.facts.work import Run, Stoppage
from wearlog.ids import NUMBER_DIGITS, long_number
from wearlog.store.connection import Connection
from wearlog.store.finding import find_many
from wearlog.store.journal import deed_by_id, versions_of_deed, versions_of_row
from wearlog.store.numbered import Numbered, numbered
from wearlog.store.opening import Store
from wearlog.store.schema import FACT_OF_TABLE, table_of

#: what an entry of several rows is about: the first of these that it wrote
HEADS: Final[tuple[type[Fact], ...]] = (Machine, Component, Breakage, Repair, Run, Stoppage, Fault, Part)
#: rows that an entry writes for its own sake, and nobody would name
UNNAMED: Final = frozenset({ImportBatch, OutsideLine})


@dataclass(frozen=True, slots=True)
class NamedEntry:
    """What a number names. `fact` is None for an entry of the history that wrote several rows; `deed` is None for a row."""

    fact: Fact | None
    deed: Deed | None


def find_entry(connection: Connection, number: str) -> NamedEntry:
    """Return what has this number.

    Raises
    ------
    UsageError
        When it is no number, or several have it.
    NotFoundError
        When nothing has it.
    """
    one = _the_one(connection, number)
    if one.fact_type is None:
        deed = deed_by_id(connection, one.row_id)
        return NamedEntry(head_of(connection, deed), deed)
    return NamedEntry(_row(connection, one), None)


def row_of_number(store: Store, sheet: str, number: str) -> UUID:
    """Return the id of the row of one table that has this number. Errors as `find_entry`."""
    with store.reading() as connection:
        return _the_one(connection, number, of_type=FACT_OF_TABLE[sheet]).row_id


def _the_one(connection: Connection, number: str, *, of_type: type[Fact] | None = None) -> Numbered:
    digits = number.strip()
    if not digits.isdigit() or len(digits) < NUMBER_DIGITS:
        raise UsageError(
            f"'{number}' is not the number of an entry.",
            f"It has {NUMBER_DIGITS} digits; 'wearlog history' and 'wearlog entries' show them.",
        )
    found = numbered(connection, digits, of_type=of_type)
    if not found:
        raise NotFoundError(f"Nothing has the number {digits}.", "'wearlog history' and 'wearlog entries' show them.")
    if len(found) > 1:
        longer = ", ".join(f"{long_number(one.row_id)[: len(digits) + 2]} ({_table(one)})" for one in found[:6])
        raise UsageError(f"{len(found)} entries have the number {digits}.", f"Write more of it: {longer}.")
    return found[0]


def _table(one: Numbered) -> str:
    return "history" if one.fact_type is None else table_of(one.fact_type).name.replace("_", " ")


def _row(connection: Connection, one: Numbered) -> Fact:
    assert one.fact_type is not None
    return next(iter(find_many(connection, one.fact_type, [one.row_id], voided_too=True)))


def head_of(connection: Connection, deed: Deed) -> Fact | None:
    """Return the row that an entry is about, as it stands now; None when it wrote several of which none is the head."""
    versions = versions_of_deed(connection, deed.id)
    named = [one for one in versions if FACT_OF_TABLE[one.table_name] not in UNNAMED]
    if len(named) != len(versions) and len(named) > 1:
        return None
    for fact_type in (*HEADS, *{FACT_OF_TABLE[one.table_name] for one in named}):
        mine = [one for one in named if FACT_OF_TABLE[one.table_name] is fact_type]
        if mine and (len(mine) == 1 or fact_type in HEADS):
            alone = len(mine) == 1 and (fact_type in HEADS or len(named) == 1)
            rows = find_many(connection, fact_type, [mine[0].row_id], voided_too=True) if alone else []
            return rows[0] if rows else None
    return None


def entering_deed(connection: Connection, fact: Fact) -> Deed | None:
    """Return the deed that first wrote a row; None when it came in otherwise."""
    versions = versions_of_row(connection, fact.id)
    return deed_by_id(connection, versions[0].deed_id) if versions else None


def standing(fact: Fact | None, number: str) -> Fact:
    """Return a row that can be changed. RefusedError when it was taken back, or the entry wrote several."""
    if fact is None:
        raise RefusedError(
            f"The entry {number} wrote several rows.", f"'wearlog entries {number}' lists them with their numbers."
        )
    if fact.voided:
        raise RefusedError(f"Entry {number} was taken back.", "'wearlog history' shows by what; undo that first.")
    return fact
