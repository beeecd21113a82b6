"""Plain SQL past SQLAlchemy, on either database: rows as tuples, or whole columns as arrays. It knows no table and no fact.

Ids come as their 16 bytes, instants as microseconds since 1970 UTC.
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, contextmanager
from dataclasses import dataclass
from functools import partial
from itertools import repeat
from pathlib import Path
from queue import SimpleQueue
from typing import Any, Final

import numpy as np
from sqlalchemy import Connection

from wearlog.errors import DataError
from wearlog.harvest.by_line import Ints

#: an end that has not come yet
OPEN = np.iinfo(np.int64).max
#: index that points at nothing
NONE = -1

_ID_BYTES: Final = 16
#: stands for an empty reference: the nil UUID (RFC 9562, 5.9), which is nobody's id
_NOBODY: Final = "00" * _ID_BYTES
#: rows of a file whose columns are joined at once, in no more pieces than this
_ROWS_AT_ONCE: Final = 65_536
_MOST_PIECES: Final = 1_000
#: pieces from which on a second connection saves more than it takes to open
_WORTH_A_SECOND: Final = 4
_WORD: Final = re.compile(r"\{(id|us):([\w.]+)\}")


@dataclass(frozen=True, slots=True, eq=False)
class IdColumn:
    """A column of references, each stretch of equal ones told once: neighbouring rows mostly name the same machine or field.

    Attributes
    ----------
    ids : list of bytes
    repeats : (len(ids),) int64
    """

    ids: list[bytes]
    repeats: Ints

    @classmethod
    def of(cls, joined: bytes) -> IdColumn:
        """Take the ids of all rows, one after the other."""
        halves = np.frombuffer(joined, dtype=np.uint64).reshape(-1, 2)
        fresh = np.ones(len(halves), dtype=np.bool_)
        fresh[1:] = (halves[1:, 0] != halves[:-1, 0]) | (halves[1:, 1] != halves[:-1, 1])
        begins = np.flatnonzero(fresh)
        ids: list[bytes] = np.frombuffer(joined, dtype=f"V{_ID_BYTES}")[begins].tolist()
        return cls(ids, np.diff(begins, append=len(halves)))

    @classmethod
    def chained(cls, columns: Sequence[IdColumn]) -> IdColumn:
        """Put columns one after the other."""
        return cls([one for column in columns for one in column.ids], np.concatenate([one.repeats for one in columns]))

    def pointing(self, places: Mapping[Any, int]) -> Ints:
        """Return the place of each row's id, NONE for an empty reference and for what is not among the places."""
        return np.repeat(pointing(self.ids, places), self.repeats)


def pointing(ids: Sequence[bytes | None], places: Mapping[Any, int]) -> Ints:
    """Return the place of each id; one that is not there belongs to a voided row and points at nothing that counts."""
    return np.fromiter(map(places.get, ids, repeat(NONE)), dtype=np.int64, count=len(ids))


class PlainReader:
    """Reads through an open connection.

    In its SQL {stands} is "not voided", {id:x} the 16 bytes of id x, {us:x} the microseconds of instant x, OPEN when it is null.
    """

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self._server = connection.dialect.name == "postgresql"

    def rows(self, sql: str, alias: str = "") -> Sequence[Any]:
        """Return the rows of a query."""
        return _fetched(self._driver, _WORD.sub(self._spelled, self._standing(sql, alias)))

    def _standing(self, sql: str, alias: str = "") -> str:
        voided = f"{alias}.voided" if alias else "voided"
        return sql.replace("{stands}", f"NOT {voided}" if self._server else f"{voided} = 0")

    @property
    def _driver(self) -> Any:
        driver = self._connection.connection.driver_connection
        assert driver is not None
        return driver

    def columns(self, table: str, ids: Sequence[str], numbers: Sequence[str]) -> tuple[list[IdColumn], list[Ints]]:
        """Read references and whole numbers of a long table in the order in which its rows lie there.

        The database joins each column to one value, numpy takes that apart: no object is made for a row, which halves the time.

        Parameters
        ----------
        ids, numbers : sequence of str
            Columns; a number must never be null.
        """
        joined = [self._joined_id(column) for column in ids] + [self._joined_number(column) for column in numbers]
        select = f"SELECT COUNT(*), {', '.join(joined)} FROM "  # noqa: S608 - names of ours
        queries = [_WORD.sub(self._spelled, self._standing(select + piece)) for piece in self._pieces(table)]
        with self._readers(len(queries)) as free, ThreadPoolExecutor(free.qsize()) as reading:
            # the database joins the next pieces, which needs no Python, while this one is taken apart
            found = reading.map(partial(_fetched_by_one, free), queries)
            pieces = [self._taken_apart(table, rows[0], len(ids)) for rows in found]
        return (
            [IdColumn.chained(column) for column in zip(*(references for references, _ in pieces), strict=True)],
            [np.concatenate(column) for column in zip(*(values for _, values in pieces), strict=True)],
        )

    @contextmanager
    def _readers(self, pieces: int) -> Iterator[SimpleQueue[Any]]:
        """This connection and, where there is much to read from a file, a second one that sees the same rows."""
        free: SimpleQueue[Any] = SimpleQueue()
        free.put(self._driver)
        second = None if self._server or pieces < _WORTH_A_SECOND else _beside(self._driver)
        if second is None:
            yield free
            return
        with closing(second):
            free.put(second)
            yield free

    def _pieces(self, table: str) -> Sequence[str]:
        """What to read one after the other: so many rows of a file that their joined columns stay small; a server's at once."""
        if self._server:
            return (f"{table} WHERE {{stands}}",)
        ((first, last),) = self.rows(f"SELECT (SELECT MIN(rowid) FROM {table}), (SELECT MAX(rowid) FROM {table})")  # noqa: S608
        if first is None:
            return (f"{table} WHERE {{stands}}",)
        # rows are numbered as they come, but a number may be anything; so there are never more pieces than the last bound says
        step = max(_ROWS_AT_ONCE, (last - first) // _MOST_PIECES + 1)
        # in the order of the table: going by an index would look up every row
        return [
            f"{table} NOT INDEXED WHERE {{stands}} AND rowid BETWEEN {low} AND {min(low + step - 1, last)}"
            for low in range(first, last + 1, step)
        ]

    def _taken_apart(self, table: str, row: Sequence[Any], ids: int) -> tuple[list[IdColumn], list[Ints]]:
        count, *found = row
        joined = [_as_bytes(value) for value in found[:ids]]
        numbers = [np.fromstring(value or "", dtype=np.int64, sep=",") for value in found[ids:]]
        if any(len(one) != count * _ID_BYTES for one in joined) or any(one.size != count for one in numbers):
            raise DataError(f"The table {table} holds an id or a number that is none.", "Run 'wearlog check'.")
        return [IdColumn.of(one) for one in joined], numbers

    def _spelled(self, word: re.Match[str]) -> str:
        what, column = word.groups()
        if what == "id":
            return f"uuid_send({column})" if self._server else column
        whole = f"CAST(EXTRACT(EPOCH FROM {column}) * 1000000 AS bigint)" if self._server else column
        return f"COALESCE({whole}, {OPEN})"

    def _joined_number(self, column: str) -> str:
        return f"STRING_AGG(CAST({column} AS text), ',')" if self._server else f"GROUP_CONCAT({column})"

    def _joined_id(self, column: str) -> str:
        if self._server:
            return f"STRING_AGG(COALESCE(uuid_send({column}), '\\x{_NOBODY}'), '')"
        filled = f"COALESCE({column}, x'{_NOBODY}')"
        if self._joins_bytes():
            return f"CAST(GROUP_CONCAT({filled}, '') AS blob)"
        return f"GROUP_CONCAT(HEX({filled}), '')"

    def _joins_bytes(self) -> bool:
        """Whether this SQLite joins bytes whole; before 3.39 it ended what it joined at the first zero byte."""
        ((joined,),) = self.rows("SELECT CAST(GROUP_CONCAT(x'0100', '') AS blob)")
        return bool(joined == b"\x01\x00")


def _fetched(driver: Any, sql: str) -> Sequence[Any]:
    with closing(driver.cursor()) as cursor:
        cursor.execute(sql)
        found: Sequence[Any] = cursor.fetchall()
        return found


def _fetched_by_one(free: SimpleQueue[Any], sql: str) -> Sequence[Any]:
    """What a query gives, by whichever connection has nothing to do."""
    driver = free.get()
    try:
        return _fetched(driver, sql)
    finally:
        free.put(driver)


def _beside(first: sqlite3.Connection) -> sqlite3.Connection | None:
    """Return a second connection to the file that another one is reading; None where it might see other rows, or cannot be had.

    With a rollback journal nobody can commit while `first`, which has read in a transaction that goes on, holds its share of the
    lock: what the second connection reads meanwhile is the same.
    """
    ((journal,),) = _fetched(first, "PRAGMA journal_mode")
    file = _fetched(first, "PRAGMA database_list")[0][2]
    if not (first.in_transaction and file and journal in ("truncate", "delete", "persist")):
        return None
    second = sqlite3.connect(f"{Path(file).as_uri()}?mode=ro", uri=True, timeout=0, check_same_thread=False)
    try:
        # a writer that waits for readers to end lets no new one in; then one connection must do. Once in, it stays in
        _fetched(second, "BEGIN")
        _fetched(second, "SELECT 1 FROM sqlite_schema LIMIT 1")
    except sqlite3.Error:
        second.close()
        return None
    return second


def _as_bytes(joined: bytes | str | None) -> bytes:
    return bytes.fromhex(joined) if isinstance(joined, str) else joined or b""
