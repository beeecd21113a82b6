"""What every fact has: an id and a mark that it no longer counts. A fact is a frozen record of one row."""

from __future__ import annotations

from dataclasses import dataclass, field
from uuid import UUID

from wearlog.ids import new_id


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
