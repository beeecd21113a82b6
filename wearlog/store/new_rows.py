"""Many rows that are new, written at once: what stands in the journal of each is made column by column, for a file.

An import brings a hundred thousand rows. An object for each, and a call for each of its values, took twice as long as SQLite needs
to take them in; what is the same object in many rows (a machine, a kind, nothing) is written as a text once.
"""

from __future__ import annotations

import hashlib
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain, repeat
from operator import gt
from uuid import UUID

from sqlalchemy import Connection, Table

from wearlog.facts.closed_lists import Doing
from wearlog.facts.fact import Fact
from wearlog.store.by_driver import insert_plain
from wearlog.store.content import contents_of
from wearlog.store.packing import packed_each
from wearlog.store.revision import HEAD
from wearlog.store.schema import TABLE_OF_FACT
from wearlog.store.schema.journal_tables import version as version_table

#: so many new rows are written so; fewer are few either way
MANY = 200

#: so many contents are made at once: what they are made of is then near at hand
_AT_ONCE = 1_000

_COLUMNS = ("id", "deed_id", "row_id", "table_name", "doing", "revision", "content", "digest")


@dataclass(frozen=True, slots=True)
class NewVersions:
    """The first versions of rows of one table; `places` says where each stands among all that is written."""

    table: Table
    facts: Sequence[Fact]
    places: Sequence[int]
    contents: Sequence[str]
    digests: Sequence[bytes]


def new_versions(facts: Mapping[int, Fact]) -> list[NewVersions]:
    """Return the first versions of facts, those of each table together, in the order in which tables are written.

    Parameters
    ----------
    facts : mapping of int to Fact
        By their places among all that is written.
    """
    groups: dict[type[Fact], tuple[list[int], list[Fact]]] = defaultdict(lambda: ([], []))
    for place, fact in facts.items():
        places, its = groups[type(fact)]
        places.append(place)
        its.append(fact)
    return [_of_table(TABLE_OF_FACT[one], groups[one][1], groups[one][0]) for one in TABLE_OF_FACT if one in groups]


def _of_table(table: Table, facts: Sequence[Fact], places: Sequence[int]) -> NewVersions:
    sha256 = hashlib.sha256
    # as `digest_of` has it, of versions that follow none
    before = f"{HEAD}\n{table.name}\n"
    contents: list[str] = []
    digests: list[bytes] = []
    for at in range(0, len(facts), _AT_ONCE):
        ids, its = contents_of(facts[at : at + _AT_ONCE])
        contents += its
        digests += [sha256(f"{before}{row}\n{one}".encode()).digest() for row, one in zip(ids, its, strict=True)]
    return NewVersions(table, facts, places, contents, digests)


def write_new_versions(
    connection: Connection, deed_id: UUID, versions: Sequence[NewVersions], ids: Sequence[int]
) -> None:
    """Write first versions into a file, in the order of their places.

    Parameters
    ----------
    ids : sequence of int
        The number of the version's id for each place.
    """
    rows: Iterable[tuple[object, ...]] = chain.from_iterable(_rows(one, deed_id, ids) for one in versions)
    places = [place for one in versions for place in one.places]
    if any(map(gt, places, places[1:])):
        told = list(rows)
        rows = [told[at] for at in sorted(range(len(told)), key=places.__getitem__)]
    insert_plain(connection, version_table, _COLUMNS, rows)


def _rows(its: NewVersions, deed_id: UUID, ids: Sequence[int]) -> Iterator[tuple[object, ...]]:
    """Return versions as the driver takes them, each made when it is asked for: what a row is made of is then still at hand."""
    # a plain text: of the kind of text that a table's name is, the driver asks for each row how it is to be taken
    name, count = str(its.table.name), len(its.facts)
    same = (repeat(one, count) for one in (name, Doing.ENTERED.value, HEAD))
    return zip(
        (ids[place].to_bytes(16) for place in its.places),
        repeat(deed_id.bytes, count),
        (fact.id.int.to_bytes(16) for fact in its.facts),
        *same,
        packed_each(name, its.contents),
        its.digests,
        strict=True,
    )
