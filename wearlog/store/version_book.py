"""What every version of a log says, kept small enough that rows and deeds of a large log can be held against all of it.

Sixty bytes a version: which row and which deed it is of, its digest, and a hash of what it says.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias
from uuid import UUID

import numpy as np
from numpy.typing import NDArray

from wearlog.harvest.by_line import Bools, Ints

_ID: Final = 16
_DIGEST: Final = 32

Ids: TypeAlias = NDArray[np.bytes_]


class VersionBook:
    """Written version by version, in their order in the log."""

    def __init__(self) -> None:
        self._row_ids = bytearray()
        self._says = array("q")
        self._deeds = array("i")
        self._digests = bytearray()
        self._number_of_deed: dict[bytes, int] = {}
        self._tables = array("H")
        self._number_of_table: dict[str, int] = {}

    def __len__(self) -> int:
        return len(self._says)

    def add(
        self,
        row_ids: Sequence[bytes],
        tables: Iterable[str],
        deed_ids: Iterable[bytes],
        says: Iterable[str],
        digests: Sequence[bytes],
    ) -> None:
        """Write some versions down: ids of 16 bytes, digests of 32; `says` in the shape of this program."""
        numbers, names = self._number_of_deed, self._number_of_table
        self._tables.extend([names.setdefault(one, len(names)) for one in tables])
        self._row_ids += b"".join(row_ids)
        self._deeds.extend([numbers.setdefault(one, len(numbers)) for one in deed_ids])
        # what a row says is held against this alone: a text that is another has the same hash once in 10 to the 19th
        self._says.extend(map(hash, says))
        self._digests += b"".join(digests)

    def digests_of_deeds(self) -> DeedDigests:
        """Return the digests of the versions by deed. They are forgotten here: the rows do not need them."""
        digests, self._digests = self._digests, bytearray()
        deeds, self._deeds = np.array(self._deeds, dtype=np.int32), array("i")
        order = np.argsort(deeds, kind="stable").astype(np.int32)
        begins = np.searchsorted(deeds[order], np.arange(len(self._number_of_deed) + 1))
        numbers, self._number_of_deed = self._number_of_deed, {}
        return DeedDigests(numbers, digests, order, begins)

    def by_row(self) -> RowsTold:
        """Return what the versions say by row."""
        ids = _ids(bytes(self._row_ids))
        self._row_ids = bytearray()
        order = np.argsort(ids, kind="stable")
        ids = ids[order]
        begins = np.ones(ids.size, dtype=np.bool_)
        begins[1:] = ids[1:] != ids[:-1]
        places = np.flatnonzero(begins)
        says = np.array(self._says, dtype=np.int64)[order][places]
        first = order[places]
        tables = np.array(self._tables, dtype=np.uint16)[first]
        ids, versions = ids[places], np.diff(places, append=ids.size)
        halves = _halves(ids)
        apart = bool((halves[1:] > halves[:-1]).all())
        return RowsTold(ids, halves if apart else None, first, versions, says, tables, tuple(self._number_of_table))


@dataclass(frozen=True, slots=True, eq=False)
class DeedDigests:
    """The digests of the versions of each deed."""

    _number_of_deed: dict[bytes, int]
    _digests: bytearray
    _order: NDArray[np.int32]
    _begins: Ints

    def of(self, deed_id: bytes) -> list[str]:
        """Return the digests of the versions of a deed, in hexadecimal."""
        number = self._number_of_deed.get(deed_id)
        if number is None:
            return []
        its = self._order[self._begins[number] : self._begins[number + 1]].tolist()
        return [self._digests[_DIGEST * one : _DIGEST * (one + 1)].hex() for one in its]


@dataclass(frozen=True, slots=True, eq=False)
class RowsTold:
    """The rows that versions tell of.

    Attributes
    ----------
    ids : (n,) bytes of 16
        In their order. Of an id that ends with zeros numpy leaves those away, of each in the same way.
    halves : (n,) uint64 or None
        The first half of each id, as a number; None where two ids share it. Numbers are looked up in a third of the time.
    first : (n,) int64
        Which version told of the row first, counted from 0 in the log's order.
    versions : (n,) int64
        How many versions a row has.
    says : (n,) int64
        The hash of what the first of them says.
    tables : (n,) uint16
        Of which table the first of them says that the row is: its place among `names`.
    """

    ids: Ids
    halves: NDArray[np.uint64] | None
    first: Ints
    versions: Ints
    says: Ints
    tables: NDArray[np.uint16]
    names: tuple[str, ...]

    def places(self, row_ids: Sequence[bytes]) -> tuple[Ints, Bools]:
        """Return where each of these rows stands here, and whether it does; there is one row here at least."""
        asked = _ids(b"".join(row_ids))
        places = (
            np.searchsorted(self.ids, asked) if self.halves is None else np.searchsorted(self.halves, _halves(asked))
        )
        places[places == self.ids.size] = 0
        return places, self.ids[places] == asked

    def row_at(self, place: int) -> tuple[UUID, str]:
        """Return the id of a row and its table."""
        return UUID(bytes=bytes(self.ids[place]).ljust(_ID, b"\0")), self.names[self.tables[place]]


def _ids(joined: bytes) -> Ids:
    return np.frombuffer(joined, dtype=f"S{_ID}") if joined else np.zeros(0, dtype=f"S{_ID}")


def _halves(ids: Ids) -> NDArray[np.uint64]:
    # the first byte is the greatest: numbers stand in the order of the ids
    return ids.view(">u8")[::2].astype(np.uint64)
