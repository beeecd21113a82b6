"""What every fact has: an id and a mark that it no longer counts. A fact is a frozen record of one row."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TypeVar
from uuid import UUID

from wearlog.ids import new_id

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """The part that all facts share.

    Attributes
    ----------
    id : UUID
        UUIDv7 for what was entered here, UUIDv8 for what was derived from an imported row without an id.
    voided : bool
        True when the fact was withdrawn (or its entry undone). It stays stored and counts for nothing.
    """

    id: UUID = field(default_factory=new_id)
    voided: bool = False


def without_trailing_none(values: tuple[T, ...]) -> tuple[T, ...]:
    """Return the values up to the last that is known: the one form in which "nobody knows" is kept at the end of a list."""
    known = [place for place, value in enumerate(values, 1) if value is not None]
    return values[: known[-1]] if known else ()
