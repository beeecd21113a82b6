"""Row ids: UUID version 7 for what is entered here, version 8 for what is derived from an imported row."""

from __future__ import annotations

import hashlib
import os
import threading
import time
from uuid import UUID

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


def derived_id(*words: str) -> UUID:
    """Return the UUIDv8 (RFC 9562, 5.8) that belongs to these words: the same words, the same id, on any machine."""
    digest = hashlib.sha256("\x1f".join(words).encode()).digest()
    number = int.from_bytes(digest[:16])
    number &= ~(0xF << 76) & ~(0b11 << 62)
    return UUID(int=number | 8 << 76 | 0b10 << 62)
