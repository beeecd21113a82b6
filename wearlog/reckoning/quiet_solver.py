"""Keeping the solver off stdout: on hard lists it prints there itself, past Python, and an answer in JSON would be spoilt."""

from __future__ import annotations

import ctypes
import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress

_STDOUT = 1


@contextmanager
def quiet_solver() -> Iterator[None]:
    """Send what C code prints within the block nowhere. Python's own output is not touched unless it is flushed within."""
    try:
        kept = os.dup(_STDOUT)
    except OSError:
        # nobody listens at all
        yield
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        _flush()
        os.dup2(nowhere, _STDOUT)
        yield
        _flush()
    finally:
        os.dup2(kept, _STDOUT)
        os.close(kept)
        os.close(nowhere)


def _flush() -> None:
    """Empty the buffer of the C library, which would else come out after the block."""
    with suppress(OSError, AttributeError, TypeError):
        ctypes.CDLL(None).fflush(None)
