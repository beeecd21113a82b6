"""A log on a server copied into a file and put back: whole, in one step, and what was there before is kept."""

from __future__ import annotations

import re
import stat
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Engine, event

from tests.cli.running import Wearlog, runner
from tests.store.dumping import fill
from wearlog.errors import ConflictError, NotFoundError, RefusedError
from wearlog.facts.bookkeeping import Setting
from wearlog.store import engine
from wearlog.store.copying import LogMark, mark_of
from wearlog.store.inspection import inspect_log
from wearlog.store.ledger import Entry, record
from wearlog.store.location import Location
from wearlog.store.opening import Store, create_store, open_store
from wearlog.store.server_copies import back_up, copies_of, restore_on_server

pytestmark = pytest.mark.postgres


def mark(store: Store) -> LogMark:
    with store.reading() as connection:
        return mark_of(connection)


def mark_of_file(file: Path) -> LogMark:
    store = open_store(Location(file=file))
    try:
        assert inspect_log(store).problems == ()
        return mark(store)
    finally:
        store.close()


def note(store: Store, content: str) -> None:
    with store.writing() as connection:
        record(connection, device=store.device, said=content, entries=[Entry(Setting(key=content, content=content))])


def test_a_copy_is_a_private_log_file_and_comes_back(server_store: Store, tmp_path: Path) -> None:
    fill(server_store)
    stood = mark(server_store)
    copied = back_up(server_store, tmp_path / "copy.db")
    assert stat.S_IMODE(copied.file.stat().st_mode) == 0o600
    assert copied.mark == stood == mark_of_file(copied.file)
    note(server_store, "after the copy")
    later = mark(server_store)
    done = restore_on_server(server_store.location, copied.file)
    assert done.mark == stood == mark(server_store)
    assert inspect_log(server_store).problems == ()
    # nothing is lost by a restore that somebody regrets
    assert done.kept is not None
    assert mark_of_file(done.kept) == later
    assert copies_of(server_store.location) == [done.kept]
    assert restore_on_server(server_store.location, done.kept).mark == later


@pytest.mark.promise(
    about="moving, copying, restoring",
    fault="somebody saves while a backup is made",
    holds="the backup is of one moment",
    on="a server",
)
def test_a_copy_is_of_one_moment_though_others_save(server_store: Store, tmp_path: Path) -> None:
    note(server_store, "before")
    other = open_store(server_store.location)
    saved = []

    def save_meanwhile(_c: Any, _cursor: Any, statement: str, *_rest: Any) -> None:
        if statement.startswith("SELECT setting.") and not saved:
            saved.append(True)
            note(other, "meanwhile")

    event.listen(server_store.engine, "before_cursor_execute", save_meanwhile)
    copied = back_up(server_store, tmp_path / "copy.db")
    event.remove(server_store.engine, "before_cursor_execute", save_meanwhile)
    other.close()
    assert saved
    assert copied.mark.deeds == 1
    assert mark_of_file(copied.file) == copied.mark
    assert mark(server_store).deeds == 2


@pytest.mark.promise(
    about="moving, copying, restoring",
    fault="a restore is interrupted at any step",
    holds="the log is as it was",
    on="a server",
)
def test_a_restore_that_is_interrupted_leaves_the_log_as_it_was(server_store: Store, tmp_path: Path) -> None:
    fill(server_store)
    copied = back_up(server_store, tmp_path / "copy.db")
    note(server_store, "after the copy")
    stood = mark(server_store)

    def stop(connection: Any, _cursor: Any, statement: str, *_rest: Any) -> None:
        if statement.startswith("INSERT INTO machine ") and connection.dialect.name == "postgresql":
            raise KeyboardInterrupt

    event.listen(Engine, "before_cursor_execute", stop)
    try:
        with pytest.raises(KeyboardInterrupt):
            restore_on_server(server_store.location, copied.file)
    finally:
        event.remove(Engine, "before_cursor_execute", stop)
    assert mark(server_store) == stood


@pytest.mark.promise(
    about="several at once",
    fault="somebody reads or would save while a copy is put back",
    holds="who reads sees the old log whole, who would save is told",
    on="a server",
)
def test_nobody_saves_while_a_copy_is_put_back_and_who_reads_sees_the_old(
    server_store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    fill(server_store)
    copied = back_up(server_store, tmp_path / "copy.db")
    note(server_store, "after the copy")
    stood = mark(server_store)
    monkeypatch.setattr(engine, "BUSY_SECONDS", 1)
    other = open_store(server_store.location)
    seen = []

    def look(connection: Any, _cursor: Any, statement: str, *_rest: Any) -> None:
        if statement.startswith("INSERT INTO machine ") and connection.dialect.name == "postgresql":
            seen.append(mark(other))
            with pytest.raises(ConflictError, match="Somebody else is saving"):
                note(other, "meanwhile")

    event.listen(Engine, "before_cursor_execute", look)
    try:
        restore_on_server(server_store.location, copied.file)
    finally:
        event.remove(Engine, "before_cursor_execute", look)
    assert seen == [stood]
    assert mark(other) == copied.mark
    other.close()


@pytest.mark.promise(
    about="moving, copying, restoring",
    fault="a backup is damaged",
    holds="it is refused, the log stays as it is",
    on="a server",
)
def test_a_copy_that_is_not_in_order_is_not_put_back(server_store: Store, tmp_path: Path) -> None:
    note(server_store, "kept")
    copied = back_up(server_store, tmp_path / "copy.db")
    spoilt = engine.make_engine(Location(file=copied.file))
    with spoilt.begin() as connection:
        connection.exec_driver_sql("UPDATE setting SET content = 'altered'")
    spoilt.dispose()
    stood = mark(server_store)
    with pytest.raises(ConflictError, match="1 things in .* are not in order"):  # noqa: RUF043
        restore_on_server(server_store.location, copied.file)
    assert mark(server_store) == stood


def test_what_is_no_copy_is_not_put_back(server_store: Store, tmp_path: Path) -> None:
    note(server_store, "kept")
    stood = mark(server_store)
    (tmp_path / "letter.txt").write_text("not a log")
    with pytest.raises(RefusedError, match="is not a wearlog file"):
        restore_on_server(server_store.location, tmp_path / "letter.txt")
    with pytest.raises(NotFoundError, match="There is no copy"):
        restore_on_server(server_store.location, tmp_path / "nothing.db")
    assert mark(server_store) == stood


def test_a_copy_goes_into_an_empty_database(empty_server_location: Location, tmp_path: Path) -> None:
    """The server was lost: the copy on the laptop is the log of the new one."""
    store = create_store(Location(file=tmp_path / "copy.db"))
    fill(store)
    stood = mark(store)
    store.close()
    done = restore_on_server(empty_server_location, tmp_path / "copy.db")
    assert (done.mark, done.kept) == (stood, None)
    there = open_store(empty_server_location)
    assert mark(there) == stood
    there.close()


def test_backup_and_restore_by_command(server_store: Store, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    wearlog: Wearlog = runner(capsys)
    address = server_store.location.name
    note(server_store, "kept")
    none = wearlog("restore", "--db", address)
    assert none.out == f"There is no copy of {address} on this device; 'wearlog backup' makes one.\n"
    made = wearlog("backup", "--db", address)
    assert made.code == 0
    first, second, third = made.out.splitlines()
    found = re.fullmatch(
        r"Copied to (.*/home/server-copies/.*\.by-hand\.[0-9-]{17}\.db): 1 entry, every row compared\.", first
    )
    assert found
    assert second == f"It is a log by itself (--db {found[1]}); 'wearlog restore' puts it back."
    assert "pg_dump" in third
    name = Path(found[1]).stem
    assert wearlog("restore", "--db", address).out == f"Copies of {address} on this device:\n  {name}\n"
    note(server_store, "after the copy")
    back = wearlog("restore", name, "--db", address)
    assert back.code == 0
    restored, kept = back.out.splitlines()
    assert restored == f"Restored {name}.db; every row compared."
    assert re.fullmatch(r"The log that was there is kept as .*\.before-restore\.[0-9-]{17}\.db\.", kept)
    assert "after the copy" not in wearlog("history", "--db", address).out
    again = wearlog("backup", str(tmp_path / "stick.db"), "--db", address)
    assert again.out.startswith(f"Copied to {tmp_path / 'stick.db'}: 1 entry")
    twice = wearlog("backup", str(tmp_path / "stick.db"), "--db", address)
    assert (twice.code, twice.err.splitlines()[0]) == (
        4,
        f"wearlog: There is a file at {tmp_path / 'stick.db'} already.",
    )
