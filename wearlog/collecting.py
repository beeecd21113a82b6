"""The collector of garbage rests while hundreds of thousands of small things are made: none of them is garbage."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def no_collecting() -> Iterator[None]:
    """Let the collector rest inside the block; it would look at all that is made there again and again."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


#: new objects until it looks again: while a program loads what it needs, and afterwards
_LOADING, _LOADED = (1_000_000, 20, 20), (50_000, 20, 20)


def begin_loading() -> None:
    """Let the collector rest until `loaded`: what is loaded stays, and looking through it only delays the first answer."""
    gc.set_threshold(*_LOADING)


def loaded() -> None:
    """All is loaded that will be: from now on the collector looks through what comes, and never again through that."""
    if gc.get_threshold() == _LOADING:
        gc.freeze()
        gc.set_threshold(*_LOADED)
