"""The journal under any sequence of entries, edits, voids and undos, with a clock that jumps, checked against a plain model."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule
from sqlalchemy import Connection, select

from tests.servers import quick_folder
from tests.strategies import INSTANTS, facts_of, families_of, references_of, value_types
from wearlog.errors import ConflictError, RefusedError, WearlogError
from wearlog.facts.bookkeeping import Deed, Setting, Version
from wearlog.facts.closed_lists import Doing
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine, Meter, Reading
from wearlog.facts.parts import PartKind
from wearlog.facts.wearing import Fitting
from wearlog.ids import new_id
from wearlog.store import ledger
from wearlog.store.content import digest_of, fact_of
from wearlog.store.finding import read_facts
from wearlog.store.journal import versions_of_deed
from wearlog.store.ledger import Entry, head_ids, record
from wearlog.store.location import Location
from wearlog.store.opening import create_store
from wearlog.store.schema import FACT_OF_TABLE, table_of
from wearlog.store.schema.journal_tables import deed as deed_table
from wearlog.store.taking_back import take_back

TYPES = [Setting, Machine, Meter, PartKind, Fitting]


@dataclass
class Told:
    """What the model knows of one deed: for each row what it was before (None: not there) and what it was made."""

    deed: Deed
    before: dict[UUID, Fact | None]
    after: dict[UUID, Fact]
    at_before: dict[UUID, tuple[UUID, ...]]
    undoes: Told | None = None
    undone_by: list[Told] = field(default_factory=list)

    @property
    def undone(self) -> bool:
        return any(not one.undone for one in self.undone_by)


@dataclass
class Model:
    rows: dict[UUID, Fact] = field(default_factory=dict)
    # for each row the deeds that it is now as they left it: the last one, and what its undoing brought back
    at: dict[UUID, tuple[UUID, ...]] = field(default_factory=dict)
    versions: dict[UUID, list[Fact]] = field(default_factory=dict)
    deeds: list[Told] = field(default_factory=list)

    def wrote(self, deed: Deed, facts: list[Fact], taken_back: Told | None = None) -> None:
        before = {fact.id: self.rows.get(fact.id) for fact in facts}
        at_before = {fact.id: self.at.get(fact.id, ()) for fact in facts}
        self.deeds.append(Told(deed, before, {fact.id: fact for fact in facts}, at_before, taken_back))
        if taken_back:
            taken_back.undone_by.append(self.deeds[-1])
        for fact in facts:
            self.rows[fact.id] = fact
            self.at[fact.id] = (deed.id, *(taken_back.at_before[fact.id] if taken_back else ()))
            self.versions.setdefault(fact.id, []).append(fact)

    def standing(self) -> list[Fact]:
        return sorted((fact for fact in self.rows.values() if not fact.voided), key=lambda fact: fact.id)

    def restored(self, told: Told) -> list[Fact]:
        """Return the rows as an undo would leave them."""
        return [before or replace(told.after[key], voided=True) for key, before in told.before.items()]

    def refusal(self, told: Told) -> type[WearlogError] | None:
        """Return with what an undo must be refused, if it must."""
        if told.undone or (told.undoes and told.undoes.undoes):
            return RefusedError
        if any(told.deed.id not in self.at[key] for key in told.after):
            return ConflictError
        then = {fact.id: fact for fact in self.restored(told)}
        going = {key for key, fact in then.items() if fact.voided}
        rests = any(rest in going for fact in self.standing() if fact.id not in going for rest in pointers(fact))
        new = {rest for key, fact in then.items() for rest in pointers(fact) - pointers(self.rows[key])}
        hangs = any((then.get(rest) or self.rows[rest]).voided for rest in new)
        return RefusedError if rests or hangs else None


def pointers(fact: Fact) -> set[UUID]:
    """Which rows a fact that counts rests on."""
    names = () if fact.voided else references_of(type(fact))
    return {getattr(fact, name) for name in names} - {None}


class Journal(RuleBasedStateMachine):
    def __init__(self) -> None:
        super().__init__()
        self.patch = pytest.MonkeyPatch()
        self.now = datetime(2024, 7, 20, tzinfo=UTC)
        self.patch.setattr(ledger, "datetime", self._clock())
        # the daily backup has tests of its own and would only cost time here
        self.patch.setattr("wearlog.store.backup.daily_backup", lambda file: None)
        self.folder = tempfile.TemporaryDirectory(dir=quick_folder())
        self.store = create_store(Location(file=Path(self.folder.name, "farm.db")))
        self.model = Model()

    def _clock(self) -> type[datetime]:
        machine = self

        class Clock(datetime):
            @classmethod
            def now(cls, tz: Any = None) -> datetime:
                return machine.now

        return Clock

    def teardown(self) -> None:
        self.store.close()
        self.folder.cleanup()
        self.patch.undo()

    def _record(self, said: str, entries: list[Entry]) -> None:
        with self.store.writing() as connection:
            deed = record(connection, device="shop", said=said, entries=entries)
        self.model.wrote(deed, [entry.fact for entry in entries])

    @rule(family=st.sampled_from(TYPES).flatmap(families_of))
    def enter(self, family: tuple[Fact, ...]) -> None:
        fresh = [replace(fact, voided=False) for fact in family if fact.id not in self.model.rows]
        if len(fresh) == len(family):
            self._record("entered", [Entry(fact) for fact in fresh])

    @precondition(lambda self: self.model.standing())
    @rule(kind=st.sampled_from([Meter, Reading]), data=st.data())
    def enter_on_what_is_there(self, kind: type[Fact], data: st.DataObject) -> None:
        """A row of its own deed that rests on rows of earlier ones."""
        named: dict[str, Any] = {"id": new_id(), "voided": False}
        for name, target in references_of(kind).items():
            there = [fact.id for fact in self.model.standing() if type(fact) is target]
            if not there and not value_types(kind)[name][1]:
                return
            named[name] = data.draw(st.sampled_from(there)) if there else None
        self._record("entered", [Entry(data.draw(facts_of(kind, **named)))])

    @precondition(lambda self: self.model.standing())
    @rule(data=st.data())
    def edit(self, data: st.DataObject) -> None:
        """Change everything of a row but its id and, half the time, what it rests on."""
        old = data.draw(st.sampled_from(self.model.standing()))
        kept: dict[str, Any] = {"id": old.id, "voided": False}
        for name, target in references_of(type(old)).items():
            others = [fact.id for fact in self.model.rows.values() if type(fact) is target]
            kept[name] = data.draw(st.sampled_from([getattr(old, name), *others]))
        self._record("edited", [Entry(data.draw(facts_of(type(old), **kept)), Doing.EDITED)])

    @precondition(lambda self: self.model.standing())
    @rule(data=st.data())
    def void(self, data: st.DataObject) -> None:
        chosen = data.draw(st.lists(st.sampled_from(self.model.standing()), min_size=1, unique_by=lambda fact: fact.id))
        self._record("voided", [Entry(replace(fact, voided=True), Doing.VOIDED) for fact in chosen])

    @precondition(lambda self: self.model.deeds)
    @rule(back=st.integers(0, 5), held=st.booleans())
    def undo(self, back: int, held: bool) -> None:
        """An undo does what the model says, or is refused as the model says and changes nothing.

        Half the time, one is chosen that other rows hold: by chance alone that is one undo in fifty.
        """
        deeds = [told for told in self.model.deeds if held and not told.undone]
        deeds = [told for told in deeds if self.model.refusal(told) is RefusedError] or self.model.deeds
        told = deeds[max(-len(deeds), -1 - back)]
        expected = self.model.refusal(told)
        with self._refused(expected), self.store.writing() as connection:
            taken = take_back(connection, device="shop", deed=told.deed)
        if expected is None:
            assert taken.undoes_deed_id == told.deed.id
            self.model.wrote(taken, self.model.restored(told), told)

    @contextmanager
    def _refused(self, expected: type[WearlogError] | None) -> Iterator[None]:
        refused = None
        try:
            yield
        except WearlogError as error:
            refused = type(error)
        assert refused is expected

    @rule(moment=INSTANTS)
    def set_the_clock(self, moment: datetime) -> None:
        self.now = moment.astimezone(UTC)

    @rule(seconds=st.integers(-5, 5))
    def let_time_pass(self, seconds: int) -> None:
        self.now += timedelta(seconds=seconds)

    @invariant()
    def the_log_is_what_the_model_says(self) -> None:
        with self.store.reading() as connection:
            self._check_rows(connection)
            versions = self._check_versions(connection)
            self._check_deeds(connection, versions)

    def _check_rows(self, connection: Connection) -> None:
        found: dict[UUID, Fact] = {}
        for table_name in {table_of(fact).name for fact in self.model.rows.values()}:
            fact_type: Any = FACT_OF_TABLE[table_name]
            rows = read_facts(connection, fact_type, select(table_of(fact_type)))
            found |= {fact.id: fact for fact in rows}
        assert found == self.model.rows

    def _check_versions(self, connection: Connection) -> list[Version]:
        """Each version is what was written then, follows the one before it and carries the digest of just that."""
        deeds = connection.execute(select(deed_table.c.id).order_by(deed_table.c.recorded_at)).scalars().all()
        versions = [one for deed_id in deeds for one in versions_of_deed(connection, deed_id)]
        heads: dict[UUID, tuple[UUID, ...]] = {}
        contents: dict[UUID, list[Fact]] = {}
        for version in versions:
            assert version.parents == heads.get(version.row_id, ())
            assert version.digest == digest_of(version.table_name, version.row_id, version.parents, version.content)
            heads[version.row_id] = (version.id,)
            contents.setdefault(version.row_id, []).append(fact_of(version.table_name, version.content))
        assert contents == self.model.versions
        assert head_ids(connection, self.model.rows) == heads
        return versions

    def _check_deeds(self, connection: Connection, versions: list[Version]) -> None:
        """All deeds are there, each recorded after the one before it, each with a version for every row it touched."""
        rows = connection.execute(select(deed_table).order_by(deed_table.c.recorded_at)).all()
        assert [Deed(**row._mapping) for row in rows] == [told.deed for told in self.model.deeds]
        moments = [told.deed.recorded_at for told in self.model.deeds]
        assert all(earlier < later for earlier, later in pairwise(moments))
        touched = sorted((version.deed_id, version.row_id) for version in versions)
        assert touched == sorted((told.deed.id, key) for told in self.model.deeds for key in told.after)


TestJournal = Journal.TestCase
TestJournal.settings = settings(
    max_examples=25,
    stateful_step_count=25,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
    # to look for the smallest failing case takes minutes with a real file; take this line out when one is needed
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
)
