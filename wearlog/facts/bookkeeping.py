"""Facts about the log itself: settings, people, rounds of inspection, imports, and the deeds and versions of the journal.

A deed is one thing a person did, saved whole or not at all and undone by one undo. It leaves one version for each row it touched.
Deeds and versions are never changed, so they carry no mark of being voided.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from wearlog.facts.closed_lists import Condemned, Doing, Exchanged, Hazard, LineState, Round
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Inspection(Fact):
    """One round over one machine."""

    machine_id: UUID
    round: Round
    at: datetime
    person_id: UUID | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class InspectionFinding(Fact):
    """What was found at one line of the round; `line` is what the sheet says there, `measurement_id` what was measured."""

    inspection_id: UUID
    line: str
    component_id: UUID | None = None
    position: int | None = None
    found: Condemned
    measurement_id: UUID | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Person(Fact):
    """Somebody who enters or does work; `short` is the one key or word by which they say so."""

    name: str
    short: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CautionRead(Fact):
    """The cautions of one danger were read before one task. `device` says on which laptop."""

    hazard: Hazard
    task: str
    device: str
    at: datetime
    person_id: UUID | None = None
