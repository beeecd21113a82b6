"""What a row of a notebook does to the log that it is written into, step by step, so that a row that is left leaves no trace."""

from __future__ import annotations

from collections.abc import Callable, MutableMapping, MutableSequence, MutableSet
from typing import TypeVar

_Key = TypeVar("_Key")
_Value = TypeVar("_Value")


class Steps:
    """The changes that were made for one row, each with how it is undone."""

    __slots__ = ("_back",)

    def __init__(self) -> None:
        self._back: list[Callable[[], object]] = []

    def put(self, into: MutableMapping[_Key, _Value], key: _Key, value: _Value) -> None:
        """Write under a key."""
        if key in into:
            before = into[key]
            self._back.append(lambda: into.__setitem__(key, before))
        else:
            self._back.append(lambda: into.pop(key))
        into[key] = value

    def drop(self, out_of: MutableMapping[_Key, _Value], key: _Key) -> _Value:
        """Take what stands under a key out, and return it."""
        value = out_of.pop(key)
        self._back.append(lambda: out_of.__setitem__(key, value))
        return value

    def mark(self, among: MutableSet[_Value], value: _Value) -> None:
        """Add to a set."""
        if value not in among:
            among.add(value)
            self._back.append(lambda: among.discard(value))

    def append(self, to: MutableSequence[_Value], value: _Value) -> None:
        """Add at the end of a list."""
        to.append(value)
        self._back.append(to.pop)

    def keep(self) -> None:
        """Let what was done stand: the next row begins."""
        self._back.clear()

    def take_back(self) -> None:
        """Undo all since the last row, the last step first."""
        while self._back:
            self._back.pop()()
