"""The whole log copied to another place, from a file to a server or back, and both held against each other. The old one stays."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from sqlalchemy import Connection, Table, bindparam, func, select, update

from wearlog.disk import bring_names_to_disk
from wearlog.errors import ConflictError, NotFoundError, RefusedError, UsageError
from wearlog.store.by_driver import insert_rows
from wearlog.store.inspection import inspect_log
from wearlog.store.location import Location
from wearlog.store.opening import Store, create_store, open_store
from wearlog.store.schema import metadata
from wearlog.store.schema.journal_tables import deed, version


@dataclass(frozen=True, slots=True)
class Moved:
    """What was moved where.

    Attributes
    ----------
    before : bool
        The same log stood there already: an earlier move had come to its end without being able to say so.
    """

    source: Location
    target: Location
    mark: LogMark
    before: bool


def move_log(store: Store, target: Location) -> Moved:
    """Copy a log to a place where there is none: all of it, held against the old one row by row, or nothing.

    Nobody can save anything in the old log meanwhile. Whatever moment the program, the machine or the server stops at: the old
    log is whole, and the new one is whole or not there.

    Raises
    ------
    UsageError
        When both are the same place.
    ConflictError
        When the log is not in order, or what came to stand there is not what was read.
    RefusedError
        When another log is there, or a file that is in the way.
    """
    if _same_place(store.location, target):
        raise UsageError(f"{target.name} is where the log is.", "Name the place it shall go to.")
    if problems := inspect_log(store).problems:
        raise ConflictError(
            f"{len(problems)} things in {store.location.name} are not in order, so it was not moved.",
            "'wearlog check' names them.",
        )
    with store.writing() as source:
        if there := _opened(target):
            return Moved(store.location, target, _same_log(there, mark_of(source), store.location), before=True)
        found: list[LogMark] = []
        create_store(target, fill=lambda connection: found.append(copy_log_rows(source, connection))).close()
        if target.file is not None:
            bring_names_to_disk(target.file.parent)
    return Moved(store.location, target, found[0], before=False)


def _same_place(one: Location, other: Location) -> bool:
    if one.file is not None and other.file is not None:
        return one.file.resolve() == other.file.resolve()
    return one == other


def _opened(target: Location) -> Store | None:
    try:
        return open_store(target)
    except NotFoundError:
        return None


def _same_log(there: Store, mark: LogMark, source: Location) -> LogMark:
    try:
        with there.reading() as connection:
            unlike = mark.unlike(mark_of(connection))
    finally:
        there.close()
    if unlike:
        raise RefusedError(
            f"There is a log at {there.location.name} already, and it is not the same as {source.name}.",
            "Nothing was changed. 'wearlog pack' here and 'wearlog merge' there bring together two copies of one log.",
        )
    return mark


_ROWS_AT_ONCE: Final = 2000


@dataclass(frozen=True, slots=True)
class TableMark:
    """How many rows a table has, and a digest over what stands in them that the order of the rows does not change."""

    rows: int
    digest: str


@dataclass(frozen=True, slots=True)
class LogMark:
    """What tells one log from another: each table's count and digest."""

    tables: Mapping[str, TableMark]

    @property
    def digest(self) -> str:
        """One digest (SHA-256, hexadecimal) over those of all tables."""
        said = "".join(f"{name} {mark.rows} {mark.digest}\n" for name, mark in sorted(self.tables.items()))
        return hashlib.sha256(said.encode()).hexdigest()

    @property
    def deeds(self) -> int:
        return self.tables[deed.name].rows

    @property
    def versions(self) -> int:
        return self.tables[version.name].rows

    def unlike(self, other: LogMark) -> list[str]:
        """Name the tables in which two logs differ."""
        return [name for name, mark in self.tables.items() if other.tables[name] != mark]


def mark_of(connection: Connection) -> LogMark:
    """Read a whole log and return its mark; the same rows give the same in a file and on a server."""
    return LogMark({table.name: _mark(_read(connection, table)) for table in metadata.sorted_tables})


def copy_log_rows(source: Connection, target: Connection) -> LogMark:
    """Copy every row into the empty tables of `target`, read them there again, and return what both hold.

    Parameters
    ----------
    source, target : Connection
        Of two logs of this program's shape, each in a transaction. The caller commits.

    Raises
    ------
    ConflictError
        When what stands in the target is not what was read; its transaction must then be given up.
    """
    told = LogMark({table.name: _copy(source, target, table) for table in metadata.sorted_tables})
    stands = mark_of(target)
    if unlike := told.unlike(stands):
        raise ConflictError(
            f"The copy is not the log: {', '.join(unlike)} came out otherwise, so it was given up.",
            "The log is as it was. Run 'wearlog check' on it and try again.",
        )
    return told


def empty_log(connection: Connection) -> None:
    """Take every row out of a log's tables, inside the caller's transaction: whoever reads meanwhile sees all of them."""
    for table in reversed(metadata.sorted_tables):
        own = _own_keys(table)
        if own:
            connection.execute(update(table).values(dict.fromkeys(own)))
        connection.execute(table.delete())


def is_empty(connection: Connection) -> bool:
    """Say whether nothing was ever entered in a log."""
    return connection.execute(select(func.count()).select_from(deed)).scalar_one() == 0


def _read(connection: Connection, table: Table) -> Iterator[Sequence[Any]]:
    # with a cursor of the server's: it would else hand over all of the table at once
    a_few = {"stream_results": True, "yield_per": _ROWS_AT_ONCE}
    with connection.execute(select(table), execution_options=a_few) as found:
        for some in found.partitions():
            yield from some


def _mark(rows: Iterator[Sequence[Any]]) -> TableMark:
    digests = sorted(_row_digest(row) for row in rows)
    return TableMark(len(digests), hashlib.sha256(b"".join(digests)).hexdigest())


def _row_digest(row: Sequence[Any]) -> bytes:
    return hashlib.sha256(repr(tuple(row)).encode("utf-8", "surrogatepass")).digest()


def _copy(source: Connection, target: Connection, table: Table) -> TableMark:
    names, own = [column.name for column in table.columns], _own_keys(table)
    digests: list[bytes] = []
    waiting: list[dict[str, Any]] = []
    pointing: list[dict[str, Any]] = []

    def write() -> None:
        if waiting:
            insert_rows(target, table, waiting)
            waiting.clear()

    for row in _read(source, table):
        digests.append(_row_digest(row))
        said = dict(zip(names, row, strict=True))
        if any(said[name] is not None for name in own):
            pointing.append({"its_id": said["id"], **{f"its_{name}": said[name] for name in own}})
            said |= dict.fromkeys(own)
        waiting.append(said)
        if len(waiting) == _ROWS_AT_ONCE:
            write()
    write()
    if pointing:
        # what points at rows of its own table is filled in when all of them are there
        filled = update(table).where(table.c.id == bindparam("its_id"))
        target.execute(filled.values({name: bindparam(f"its_{name}") for name in own}), pointing)
    digests.sort()
    return TableMark(len(digests), hashlib.sha256(b"".join(digests)).hexdigest())


def _own_keys(table: Table) -> list[str]:
    return [key.parent.name for key in table.foreign_keys if key.column.table is table]
