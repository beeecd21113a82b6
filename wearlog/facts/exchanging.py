"""How entries came in from outside: how a notebook is read, which of its lines are in, what is one thing told twice, bundles."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from wearlog.facts.fact import Fact
from wearlog.facts.farm_lists import Exchanged, LineState


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportProfile(Fact):
    """How one sort of notebook is read: which column is what, which word means what; canonical JSON in `content`."""

    name: str
    content: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OutsideLine(Fact):
    """A line of a note or a row of a notebook, by the digest of what stands in it, and what became of it.

    `place` says where it stood ("line 4", "sheet 2024, row 17"), `question` what is asked about it; `row_ids` are the entries that
    came of it.
    """

    source: str
    place: str
    digest: str
    said: str
    state: LineState
    question: str = ""
    at: datetime
    row_ids: tuple[UUID, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SameAs(Fact):
    """Two rows of one table are one thing, entered twice: `row_id` counts as `kept_row_id`."""

    table_name: str
    row_id: UUID
    kept_row_id: UUID
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Exchange(Fact):
    """A bundle that went to or came from another copy of this log; `digest` is that of the bundle."""

    device: str
    direction: Exchanged
    at: datetime
    digest: str
    deeds: int
