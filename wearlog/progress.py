"""How far long work is. The loop that does it counts; whoever looks on is told, and may stop it where nothing is half done.

Work knows nobody who looks on: a command lets a terminal look, a screen its line. Where nobody does, counting costs nearly nothing.
"""

from __future__ import annotations

import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Final, Protocol, TypeVar

from wearlog.errors import RefusedError

T = TypeVar("T")

#: seconds: what is done sooner says nothing, and nothing is said more often
PATIENCE: Final = 1.0
BETWEEN: Final = 0.5
#: seconds above which minutes are told
_IN_MINUTES: Final = 100.0


class Onlooker(Protocol):
    """Who looks on."""

    def step(self, share: float) -> None:
        """So much of the work is done, 0 to 1. What this raises stops the work."""

    def end(self) -> None:
        """The work is over, done or not."""


_ONLOOKER: Final[ContextVar[Onlooker | None]] = ContextVar("onlooker", default=None)
#: which stretch of the whole work is being counted, where one has begun
_STRETCH: Final[ContextVar[tuple[float, float] | None]] = ContextVar("stretch", default=None)


@contextmanager
def looked_on_by(onlooker: Onlooker) -> Iterator[None]:
    """Tell `onlooker` of the work inside the block, in this thread alone."""
    token = _ONLOOKER.set(onlooker)
    try:
        yield
    finally:
        _ONLOOKER.reset(token)


@contextmanager
def stretch(first: float = 0.0, last: float = 1.0) -> Iterator[None]:
    """What is counted inside is the stretch from `first` to `last` of the work around it; by itself it is a whole work."""
    onlooker = _ONLOOKER.get()
    if onlooker is None:
        yield
        return
    around = _STRETCH.get()
    low, high = around or (0.0, 1.0)
    token = _STRETCH.set((low + first * (high - low), low + last * (high - low)))
    try:
        step(0.0)
        yield
        step(1.0)
    finally:
        _STRETCH.reset(token)
        if around is None:
            onlooker.end()


def step(share: float) -> None:
    """So much is done of the stretch that is being counted, 0 to 1; nothing where none is.

    Raises whatever the onlooker stops the work with.
    """
    onlooker, counting = _ONLOOKER.get(), _STRETCH.get()
    if onlooker is not None and counting is not None:
        low, high = counting
        onlooker.step(low + min(share, 1.0) * (high - low))


def counted(things: Iterable[T], of: int) -> Iterator[T]:
    """Yield the things, of which there are `of`, and count them."""
    for number, thing in enumerate(things):
        step(number / max(of, 1))
        yield thing


class WorkProgress:
    """How far one work is and how long it will take. The thread that works counts; another looks at it and may stop it."""

    def __init__(self) -> None:
        self.began = time.monotonic()
        self.share = 0.0
        self.is_stopped = False
        #: whoever ran the work has come to its end
        self.is_over = False

    def step(self, share: float) -> None:
        """Count on. RefusedError where it was stopped."""
        # of several works one after the other each begins anew
        if share < self.share:
            self.began = time.monotonic()
        self.share = share
        if self.is_stopped:
            raise RefusedError("Stopped.", "Nothing was changed.")

    def end(self) -> None:
        """The work is over; what comes next is another."""
        self.began, self.share = time.monotonic(), 0.0

    @property
    def gone(self) -> float:
        """Seconds since it began."""
        return time.monotonic() - self.began

    @property
    def left(self) -> float | None:
        """Seconds that it will take yet, if it goes on as so far; None while nobody can tell."""
        return self.gone * (1 - self.share) / self.share if self.share else None

    @property
    def left_said(self) -> str:
        """How long it will take yet, in words; empty while nobody can tell."""
        left = self.left
        if left is None:
            return ""
        return f"{left:.0f} s left" if left < _IN_MINUTES else f"{left / 60:.0f} min left"

    @property
    def said(self) -> str:
        """How far it is and how long it will take yet; empty while nobody can tell, and at first."""
        return f"{self.share:.0%}, about {self.left_said}" if self.left_said and self.gone >= PATIENCE else ""
