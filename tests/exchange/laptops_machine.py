"""Three laptops with one log, wrong clocks and two sticks: whatever they do in whatever order, they end up the same.

The tests let it run a little; `python -m tests.exchange.laptops_machine 1000` lets it run long, with new examples.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import permutations
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, rule, run_state_machine_as_test
from sqlalchemy import select

from tests.servers import quick_folder
from wearlog.errors import ConflictError, RefusedError
from wearlog.exchange.bundle_file import read_bundle
from wearlog.exchange.bundles import merge, pack
from wearlog.exchange.export import export_folder
from wearlog.facts.closed_lists import Doing, Ground, MachineKind, MeterKind
from wearlog.facts.fact import Fact
from wearlog.facts.machines import Machine, Meter, Reading
from wearlog.facts.work import Field
from wearlog.ids import derived_id
from wearlog.logbook.files.undo import settle, undo
from wearlog.logbook.twins.joining import Joined, join, join_again
from wearlog.logbook.twins.looking import find_twins
from wearlog.store import ledger
from wearlog.store.finding import find_all
from wearlog.store.inspection import inspect_log
from wearlog.store.ledger import Entry, record, rows_apart
from wearlog.store.location import Location
from wearlog.store.opening import Store, create_store, open_store
from wearlog.store.schema.journal_tables import deed as deed_table

LAPTOPS, STICKS = 3, 2
#: names that tell nothing apart: the same is said on several laptops
NAMES = st.sampled_from(["north", "south", "mill"])
LAPTOP, STICK = st.integers(0, LAPTOPS - 1), st.integers(0, STICKS - 1)
#: rows of a sheet, the same on every laptop
SHEET = tuple(
    Field(id=derived_id("field", name), name=name, area_square_metres=640_000, ground=Ground.STONY)
    for name in ("upper", "lower")
)


class Laptops(RuleBasedStateMachine):
    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp(dir=quick_folder()))
        self.patch = pytest.MonkeyPatch()
        self.patch.setenv("WEARLOG_HOME", str(self.folder / "home"))
        self.patch.setattr("wearlog.store.backup.daily_backup", lambda file: None)
        self.now = datetime(2026, 7, 20, tzinfo=UTC)
        self.ahead = [timedelta(0)] * LAPTOPS
        self.using = 0
        self.patch.setattr(ledger, "datetime", self._clock())
        self.told: set[UUID] = set()
        self.stores = self._copies()

    def _copies(self) -> list[Store]:
        """A log with a combine and its meter, copied onto every laptop."""
        files = [self.folder / f"{number}.db" for number in range(LAPTOPS)]
        first = create_store(Location(file=files[0]))
        combine = Machine(name="north", kind=MachineKind.COMBINE)
        self._record(first, [Entry(combine), Entry(Meter(machine_id=combine.id, kind=MeterKind.ENGINE_HOURS))])
        first.close()
        for file in files[1:]:
            shutil.copy(files[0], file)
        stores = [open_store(Location(file=file)) for file in files]
        for number, store in enumerate(stores):
            store.device = f"cab {number}"
        return stores

    def _clock(self) -> type[datetime]:
        machine = self

        class Clock(datetime):
            @classmethod
            def now(cls, tz: Any = None) -> datetime:
                return machine.now + machine.ahead[machine.using]

        return Clock

    def _record(self, store: Store, entries: list[Entry]) -> None:
        with store.writing() as connection:
            self.told.add(record(connection, device=store.device, said="entered", entries=entries).id)

    def _at(self, laptop: int) -> Store:
        self.using = laptop
        self.now += timedelta(seconds=1)
        return self.stores[laptop]

    @contextmanager
    def _or_refused(self) -> Iterator[None]:
        """A refusal is an answer; that it changed nothing shows at the end."""
        with suppress(ConflictError, RefusedError):
            yield

    def _rows(self, store: Store, *kinds: type[Fact]) -> list[Any]:
        with store.reading() as connection:
            return [fact for kind in kinds for fact in find_all(connection, kind)]

    @rule(laptop=LAPTOP, name=NAMES)
    def enter(self, laptop: int, name: str) -> None:
        self._record(self._at(laptop), [Entry(Field(name=name, area_square_metres=640_000, ground=Ground.CLEAN))])

    @rule(laptop=LAPTOP, hours=st.integers(1, 3))
    def read_a_meter(self, laptop: int, hours: int) -> None:
        store = self._at(laptop)
        for meter in self._rows(store, Meter)[-1:]:
            self._record(store, [Entry(Reading(meter_id=meter.id, at=self.now, shown_usage=hours * 3600))])

    @rule(laptop=LAPTOP)
    def import_a_sheet(self, laptop: int) -> None:
        store = self._at(laptop)
        with store.reading() as connection:
            there = {row_id for (row_id,) in connection.execute(select(ledger.TABLE_OF_FACT[Field].c.id))}
        fresh = [Entry(row) for row in SHEET if row.id not in there]
        if fresh:
            self._record(store, fresh)

    @rule(laptop=LAPTOP, which=st.integers(0, 5), name=NAMES)
    def edit(self, laptop: int, which: int, name: str) -> None:
        store = self._at(laptop)
        rows = self._rows(store, Machine, Field)
        if rows:
            self._record(store, [Entry(replace(rows[which % len(rows)], name=name), Doing.EDITED)])

    @rule(laptop=LAPTOP, back=st.integers(0, 4))
    def take_back(self, laptop: int, back: int) -> None:
        store = self._at(laptop)
        with store.reading() as connection:
            order = (deed_table.c.recorded_at.desc(), deed_table.c.id)
            deeds = connection.execute(select(deed_table.c.id).order_by(*order)).scalars().all()
        with self._or_refused():
            self.told.add(undo(store, deeds[min(back, len(deeds) - 1)]).id)

    @rule(laptop=LAPTOP, side=st.integers(1, 2))
    def settle_one(self, laptop: int, side: int) -> None:
        store = self._at(laptop)
        with store.reading() as connection:
            apart = sorted(rows_apart(connection))
        if apart:
            self.told.add(settle(store, {apart[0]: side}).id)

    @rule(laptop=LAPTOP, which=st.integers(0, 3))
    def join_two(self, laptop: int, which: int) -> None:
        """What of one name was entered on two laptops, fields and machines with what hangs on them."""
        store = self._at(laptop)
        with store.reading() as connection:
            twins = find_twins(connection)
        if twins:
            one = twins[which % len(twins)]
            with self._or_refused():
                self._told(join(store, one.kept, one.twin, "two"))

    @rule(laptop=LAPTOP)
    def bring_along(self, laptop: int) -> None:
        self._told(join_again(self._at(laptop)))

    def _told(self, joined: Joined | None) -> None:
        if joined is not None and joined.deed is not None:
            self.told.add(joined.deed.id)

    @rule(laptop=LAPTOP, hours=st.integers(1, 3))
    def begin_a_combine(self, laptop: int, hours: int) -> None:
        store = self._at(laptop)
        combine = Machine(name="south", kind=MachineKind.COMBINE)
        meter = Meter(machine_id=combine.id, kind=MeterKind.ENGINE_HOURS)
        reading = Reading(meter_id=meter.id, at=self.now, shown_usage=hours * 3600)
        self._record(store, [Entry(combine), Entry(meter), Entry(reading)])

    @rule(laptop=LAPTOP, stick=STICK, since=st.none() | LAPTOP)
    def pack(self, laptop: int, stick: int, since: int | None) -> None:
        store = self._at(laptop)
        with self._or_refused():
            other = "" if since is None or since == laptop else f"cab {since}"
            known = other if other in self._known(store) else ""
            pack(store, self.folder / f"stick{stick}", since=known)

    def _known(self, store: Store) -> set[str]:
        from wearlog.exchange.bundles import known_copies

        return set(known_copies(store.location.name))

    @rule(laptop=LAPTOP, stick=STICK)
    def merge(self, laptop: int, stick: int) -> None:
        store, file = self._at(laptop), self.folder / f"stick{stick}"
        if file.exists():
            with self._or_refused():
                merge(store, read_bundle(file))

    @rule(laptop=LAPTOP, days=st.integers(-9, 9))
    def set_a_clock(self, laptop: int, days: int) -> None:
        self.ahead[laptop] = timedelta(days=days)

    def teardown(self) -> None:
        try:
            self._all_meet()
            self._all_are_the_same()
        finally:
            for store in self.stores:
                store.close()
            self.patch.undo()
            shutil.rmtree(self.folder)

    def _all_meet(self) -> None:
        """Once round is enough: whoever gives last was given by all before."""
        for giver, taker in permutations(range(LAPTOPS), 2):
            file = self.folder / f"from{giver}"
            file.unlink(missing_ok=True)
            pack(self.stores[giver], file)
            merge(self.stores[taker], read_bundle(file))

    def _all_are_the_same(self) -> None:
        exports, heads, deeds = [], [], []
        for number, store in enumerate(self.stores):
            assert inspect_log(store).problems == ()
            folder = self.folder / f"out{number}"
            export_folder(store, folder)
            exports.append({file.name: file.read_bytes() for file in folder.iterdir()})
            with store.reading() as connection:
                heads.append(rows_apart(connection))
                rows = connection.execute(select(deed_table).order_by(deed_table.c.recorded_at, deed_table.c.id))
                deeds.append([tuple(row) for row in rows])
        assert exports[0] == exports[1] == exports[2]
        assert heads[0] == heads[1] == heads[2]
        assert deeds[0] == deeds[1] == deeds[2]
        assert {deed[0] for deed in deeds[0]} == self.told


SHORT = settings(
    max_examples=10,
    stateful_step_count=25,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
    # to look for the smallest failing case takes minutes with real files; take this line out when one is needed
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
)


if __name__ == "__main__":
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    run_state_machine_as_test(Laptops, settings=settings(SHORT, max_examples=runs, database=None, derandomize=False))
    sys.stdout.write(f"{runs:,} runs, all ended up the same\n")
