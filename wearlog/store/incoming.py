"""What comes in from another copy of the log: deeds with their versions, each as it was told and sound by itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple
from uuid import UUID

from sqlalchemy import Connection

from wearlog.facts.bookkeeping import Deed, Version
from wearlog.facts.closed_lists import Doing
from wearlog.facts.fact import Fact
from wearlog.store.by_driver import insert_plain
from wearlog.store.ledger import write_versions
from wearlog.store.packing import packed
from wearlog.store.schema.journal_tables import version as version_table
from wearlog.store.schema.journal_tables import version_parent
from wearlog.store.straight_rows import bytes_of_written
from wearlog.store.telling import fact_of_strange


class ToldVersion(NamedTuple):
    """A version from elsewhere; its ids are texts, since hundreds of thousands of them are only compared and written down.

    Attributes
    ----------
    caught : tuple of str or None
        What the columns of its table hold, as `straight_rows` has it, where its row can be written down so; else nothing.
    fact : Fact or None
        What it says; None where `caught` says it.
    """

    id: str
    row_id: str
    table_name: str
    doing: str
    revision: str
    content: str
    digest: str
    parents: tuple[str, ...]
    caught: tuple[str | None, ...]
    fact: Fact | None

    @classmethod
    def of(cls, version: Version, fact: Fact) -> ToldVersion:
        """Return a version that was looked at, with what it says."""
        return cls(
            str(version.id),
            str(version.row_id),
            version.table_name,
            version.doing.value,
            version.revision,
            version.content,
            version.digest,
            tuple(map(str, version.parents)),
            (),
            fact,
        )

    def version(self, deed_id: UUID) -> Version:
        """Return it as a version of a deed."""
        return Version(
            id=UUID(self.id),
            deed_id=deed_id,
            row_id=UUID(self.row_id),
            table_name=self.table_name,
            doing=Doing(self.doing),
            revision=self.revision,
            content=self.content,
            digest=self.digest,
            parents=tuple(map(UUID, self.parents)),
        )


@dataclass(frozen=True, slots=True)
class Incoming:
    """A deed of another copy with its versions."""

    deed: Deed
    versions: tuple[ToldVersion, ...]


def fact_told(told: ToldVersion) -> Fact:
    """Return what a version from elsewhere says."""
    # its deed does not matter for what it says
    return fact_of_strange(told.version(UUID(int=0))) if told.fact is None else told.fact


def write_told_versions(connection: Connection, deeds: Sequence[Incoming]) -> None:
    """Write the versions of these deeds, packed, and which versions each followed."""
    if connection.dialect.name != "sqlite":
        write_versions(connection, [told.version(one.deed.id) for one in deeds for told in one.versions])
        return
    rows, follows = [], []
    for one in deeds:
        deed_id = one.deed.id.bytes
        for told in one.versions:
            version_id = bytes_of_written(told.id)
            rows.append(
                (
                    version_id,
                    deed_id,
                    bytes_of_written(told.row_id),
                    told.table_name,
                    told.doing,
                    told.revision,
                    packed(told.table_name, told.content),
                    bytes.fromhex(told.digest),
                )
            )
            if told.parents:
                follows += [(version_id, bytes_of_written(parent)) for parent in told.parents]
    insert_plain(connection, version_table, [column.name for column in version_table.columns], rows)
    insert_plain(connection, version_parent, [column.name for column in version_parent.columns], follows)
