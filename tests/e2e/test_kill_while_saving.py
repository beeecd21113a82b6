"""The plug is pulled: processes that save are killed at random moments, and nothing that was acknowledged may be missing.

A kill takes the process away, not the machine: what it proves is that no moment in a deed leaves half of it behind.
"""

from __future__ import annotations

import os
import random
import signal
import sqlite3
import time
import traceback
from collections import Counter, defaultdict
from collections.abc import Callable
from contextlib import closing
from functools import partial
from pathlib import Path
from typing import NoReturn
from uuid import UUID

import pytest

from wearlog.errors import NotFoundError
from wearlog.facts.closed_lists import Doing, Ground
from wearlog.facts.work import Field
from wearlog.store import backup, migrate  # noqa: F401  (what is imported late must be there before the fork)
from wearlog.store.content import content_of, digest_of, fact_of
from wearlog.store.ledger import Entry, record
from wearlog.store.location import Location
from wearlog.store.opening import create_store, open_store
from wearlog.store.packing import unpacked
from wearlog.store.taking_back import take_back

ROUNDS, LOGS = 200, 10
CREATIONS = 40
#: a child lives this long at most, longer where the machine is busy; it saves about one deed in 10 ms
LONGEST_LIFE = 0.1


def longest_life(scratch: Path) -> float:
    """Return how long children live at most: long enough that some of them get something done on this machine now."""
    begun = time.perf_counter()
    location = Location(file=scratch / "scratch.db")
    create_store(location).close()
    save_one(location)
    return max(LONGEST_LIFE, 2 * (time.perf_counter() - begun))


def killed_child(work: Callable[[int], object], seconds: float) -> bytes:
    """Fork, let `work` run with the writing end of a pipe, kill it after `seconds`; return what it acknowledged."""
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        _work_until_killed(work, writer)
    os.close(writer)
    time.sleep(seconds)
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    with os.fdopen(reader, "rb") as pipe:
        acknowledged = pipe.read()
    assert os.WIFSIGNALED(status), f"the child ended by itself: {acknowledged!r}"
    return acknowledged


def _work_until_killed(work: Callable[[int], object], writer: int) -> NoReturn:
    try:
        work(writer)
    except BaseException:  # noqa: BLE001  (the child tells the parent and ends)
        os.write(writer, traceback.format_exc().encode())
    finally:
        # only after an error: an end without a signal is what the parent complains about
        os._exit(1)


def save_on_and_on(location: Location, writer: int) -> None:
    """Save deeds of one to six rows, some taken back again; acknowledge each by its id once it is committed."""
    store, chance = open_store(location), random.Random()
    while True:
        rows = chance.randint(1, 6)
        entries = [
            Entry(Field(name=str(n), area_square_metres=chance.randint(1, 10**6), ground=Ground.STONY))
            for n in range(rows)
        ]
        with store.writing() as connection:
            deed = record(connection, device="cab", said=f"{rows} rows", entries=entries)
        os.write(writer, deed.id.bytes)
        if chance.random() < 0.3:
            with store.writing() as connection:
                taken = take_back(connection, device="cab", deed=deed)
            os.write(writer, taken.id.bytes)


def deeds_of(file: Path) -> dict[UUID, int]:
    """Check every deed in the file without the code that wrote it; return how many rows each wrote."""
    with closing(sqlite3.connect(file)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
        said = {UUID(bytes=key): text for key, text in connection.execute("SELECT id, said FROM deed")}
        query = "SELECT id, deed_id, row_id, content, digest, doing FROM version"
        versions = connection.execute(query).fetchall()
        followed = defaultdict(list)
        for version_id, parent in connection.execute("SELECT version_id, parent_id FROM version_parent"):
            followed[version_id].append(UUID(bytes=parent))
        rows = connection.execute("SELECT id, voided, area_square_metres FROM field").fetchall()
    written = Counter(UUID(bytes=version[1]) for version in versions)
    for deed_id, text in said.items():
        assert written[deed_id] == int(text.removeprefix("undid: ").split()[0]), f"half of '{text}'"
    assert set(written) == set(said)
    stands = {}
    for version_id, _, row_id, stored, digest, doing in versions:
        content = unpacked("field", stored)
        assert digest_of("field", UUID(bytes=row_id), sorted(followed[version_id]), content) == digest.hex()
        fact = fact_of("field", content)
        assert content_of(fact) == content
        if doing == Doing.UNDONE or row_id not in stands:
            stands[row_id] = fact
    assert {row[0]: (bool(row[1]), row[2]) for row in rows} == {
        row_id: (fact.voided, fact.area_square_metres) for row_id, fact in stands.items() if isinstance(fact, Field)
    }
    return dict(written)


@pytest.mark.promise(
    about="a kill or a crash",
    fault="the program is killed while entries are saved one after the other",
    holds="every entry that was said to be saved is there, none is half-written, the next writer goes on",
    on="a file",
)
def test_a_kill_at_any_moment_loses_nothing_that_was_acknowledged(tmp_path: Path) -> None:
    """200 kills: every acknowledged deed is there, none is half-written, and the next writer goes on."""
    chance, longest = random.Random(41), longest_life(tmp_path)
    hot = deeds = 0
    # ten logs of twenty kills each: every kill is followed by a check of the whole log
    for number in range(LOGS):
        location = Location(file=tmp_path / f"{number}" / "farm.db")
        create_store(location).close()
        there: set[UUID] = set()
        for _ in range(ROUNDS // LOGS):
            told = killed_child(partial(save_on_and_on, location), chance.uniform(0.0, longest))
            assert len(told) % 16 == 0
            acknowledged = there | {UUID(bytes=told[start : start + 16]) for start in range(0, len(told), 16)}
            hot += _journal_is_hot(tmp_path / f"{number}")
            there = set(deeds_of(tmp_path / f"{number}" / "farm.db"))
            assert acknowledged <= there, f"lost {acknowledged - there}"
            # the one deed that was committed but not told yet may be there too
            assert len(there - acknowledged) <= 1
        last = save_one(location)
        assert set(deeds_of(tmp_path / f"{number}" / "farm.db")) == there | {last}
        deeds += len(there)
    # the kills did hit deeds in the middle, else this test would prove nothing
    assert hot >= ROUNDS // 20
    assert deeds > ROUNDS


def _journal_is_hot(folder: Path) -> bool:
    journal = folder / "farm.db-journal"
    return journal.exists() and journal.stat().st_size > 0


def save_one(location: Location) -> UUID:
    """Open a log after a kill, save one deed and return its id."""
    store = open_store(location)
    entry = Entry(Field(name="last", area_square_metres=1, ground=Ground.CLEAN))
    with store.writing() as connection:
        deed = record(connection, device="shop", said="1 rows", entries=[entry])
    store.close()
    return deed.id


@pytest.mark.promise(
    about="a kill or a crash",
    fault="the program is killed while a new log is made",
    holds="the name is taken by a whole log or by none",
    on="a file",
)
def test_a_kill_while_a_log_is_made_leaves_all_of_it_or_nothing(tmp_path: Path) -> None:
    """40 kills: the name is taken by a whole log or by none, and a new log can be made there."""
    chance, longest = random.Random(42), longest_life(tmp_path)
    whole = 0
    for number in range(CREATIONS):
        location = Location(file=tmp_path / f"{number}" / "farm.db")

        def make(writer: int, location: Location = location) -> None:
            create_store(location)
            os.write(writer, b"made")
            time.sleep(10)

        told = killed_child(make, chance.uniform(0.0, longest))
        try:
            open_store(location).close()
            whole += 1
        except NotFoundError:
            assert told == b""
            create_store(location).close()
        assert set(deeds_of(tmp_path / f"{number}" / "farm.db")) == set()
        save_one(location)
        assert len(deeds_of(tmp_path / f"{number}" / "farm.db")) == 1
    assert 0 < whole < CREATIONS
