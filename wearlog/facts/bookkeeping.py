"""Facts about the log itself: settings of the farm, imports, and the deeds and versions that the journal keeps for good.

A deed is one thing a person did, saved whole or not at all and undone by one undo. It leaves one version for each row it touched.
Deeds and versions are never changed, so they carry no mark of being voided.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from wearlog.facts.closed_lists import Doing
from wearlog.facts.fact import Fact


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting(Fact):
    """A setting of the farm (currency, labour rate, units ...), the same for everyone who opens the file."""

    key: str
    content: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportBatch(Fact):
    """One import that added rows: where from, a digest of what was read, and how many rows were new."""

    source: str
    digest: str
    at: datetime
    rows_added: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Deed:
    """`undoes_deed_id` names the deed that this one took back; `device` says which laptop, `person` who; `said` is what is shown.

    `digest` is over all that and over the digests of its versions, so that nothing of a deed can be altered unnoticed.
    """

    id: UUID
    recorded_at: datetime
    device: str
    said: str
    undoes_deed_id: UUID | None = None
    person: str = ""
    digest: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Version:
    """The full content of one row after a deed, in the shape of a revision.

    `content` is canonical JSON, `digest` its SHA-256 with the parents. `parents` lie in a table of their own.
    """

    id: UUID
    deed_id: UUID
    row_id: UUID
    table_name: str
    doing: Doing
    revision: str
    content: str
    digest: str
    parents: tuple[UUID, ...] = ()
