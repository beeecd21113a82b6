"""Row ids: UUID version 7 for what is entered here, version 8 for what is derived from an imported row."""

from __future__ import annotations

import hashlib
import os
import re
import threading
import time
from collections import deque
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import repeat
from typing import Final
from uuid import UUID, SafeUUID

#: digits by which a person names an entry; where two entries of a log share them, more are written
NUMBER_DIGITS: Final = 6

#: the one form in which ids are written
_WRITTEN: Final = re.compile("[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}")

#: all bits of an id but those that tell its kind
_WITHOUT_VERSION: Final = ~(0xF << 76) & ~(0b11 << 62)
_set: Final = object.__setattr__
#: an id is frozen and has slots: these set its fields, for many at once without a call of our own
_SET_NUMBER: Final = vars(UUID)["int"].__set__
_SET_SAFETY: Final = vars(UUID)["is_safe"].__set__
#: what stands between the words of a derived id
WORD_END: Final = "\x1f"

_lock = threading.Lock()
_last = 0


def new_id() -> UUID:
    """Return a UUIDv7 (RFC 9562, 5.7) that sorts after every one made before it in this process."""
    global _last
    with _lock:
        # 48 bits of milliseconds and 12 bits of their fraction, pushed on when the clock stands still
        stamp = max((time.time_ns() << 12) // 1_000_000, _last + 1)
        _last = stamp
    random = int.from_bytes(os.urandom(8)) & ((1 << 62) - 1)
    return UUID(int=(stamp >> 12) << 80 | 7 << 76 | (stamp & 0xFFF) << 64 | 0b10 << 62 | random)


def new_ids(count: int) -> list[int]:
    """Return the numbers of so many ids, each as `new_id` would make it after the one before."""
    global _last
    with _lock:
        first = max((time.time_ns() << 12) // 1_000_000, _last + 1)
        _last = first + count - 1
    drawn = os.urandom(8 * count)
    fixed, most = 7 << 76 | 0b10 << 62, (1 << 62) - 1
    return [
        (stamp >> 12) << 80 | (stamp & 0xFFF) << 64 | fixed | int.from_bytes(drawn[at : at + 8]) & most
        for stamp, at in zip(range(first, first + count), range(0, 8 * count, 8), strict=True)
    ]


def derived_id(*words: str) -> UUID:
    """Return the UUIDv8 (RFC 9562, 5.8) that belongs to these words: the same words, the same id, on any machine."""
    digest = hashlib.sha256(WORD_END.join(words).encode()).digest()
    return id_of(int.from_bytes(digest[:16]) & _WITHOUT_VERSION | 8 << 76 | 0b10 << 62)


def derived_ids(words: Iterable[str]) -> list[UUID]:
    """Return the ids that belong to words given as one text each, joined by `WORD_END`, as `derived_id` returns them one by one."""
    sha256, number_of = hashlib.sha256, int.from_bytes
    digests = [sha256(one.encode()).digest() for one in words]
    return ids_of([number_of(one[:16]) & _WITHOUT_VERSION | 8 << 76 | 0b10 << 62 for one in digests])


def ids_of(numbers: Sequence[int]) -> list[UUID]:
    """Return the ids of numbers of 128 bits; as `id_of`, a field after the other."""
    found = list(map(UUID.__new__, repeat(UUID, len(numbers))))
    deque(map(_SET_NUMBER, found, numbers), maxlen=0)
    deque(map(_SET_SAFETY, found, repeat(SafeUUID.unknown)), maxlen=0)
    return found


def written_ids(ids: Iterable[UUID]) -> list[str]:
    """Return ids as they are written, in their order."""
    digits = b"".join([one.int.to_bytes(16) for one in ids]).hex()
    pieces = (digits[at : at + 32] for at in range(0, len(digits), 32))
    return [f"{one[:8]}-{one[8:12]}-{one[12:16]}-{one[16:20]}-{one[20:]}" for one in pieces]


def id_of(number: int) -> UUID:
    """Return the id of a number of 128 bits, past what `UUID` does to find out what it was given: that takes most of the time."""
    found = UUID.__new__(UUID)
    _set(found, "int", number)
    _set(found, "is_safe", SafeUUID.unknown)
    return found


# an id stands in a bundle several times, mostly close together: in its line, in what it says, in what points at it
@lru_cache(maxsize=4_096)
def read_id(text: str) -> UUID:
    """Return the id that stands there as ids are written here. ValueError for any other form."""
    if _WRITTEN.fullmatch(text) is None:
        raise ValueError("a badly formed id")
    return UUID(int=int(text.replace("-", ""), 16))


def long_number(row_id: UUID) -> str:
    """Return the 18 digits that belong to an id, the first of them no 0: the same on every machine, whatever else is in its log."""
    digest = int.from_bytes(hashlib.blake2b(row_id.bytes, digest_size=8).digest())
    return str(10**17 + digest % (9 * 10**17))


def short_number(row_id: UUID) -> str:
    """Return the number that lists show for an entry: the beginning of its long one.

    Examples
    --------
    >>> short_number(UUID("0199a3f0-7c1e-7d55-9a43-1f0e6b1d2c3a"))
    '638488'
    """
    return long_number(row_id)[:NUMBER_DIGITS]
