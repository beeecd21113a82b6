"""A log moved from a file to a server and back: all of it or nothing, compared row by row, and the old one left as it was."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Engine, event, inspect

from tests.store.dumping import fill
from wearlog.errors import ConflictError, NotFoundError, RefusedError, UsageError
from wearlog.exchange.bundle_file import read_bundle
from wearlog.exchange.bundles import merge, pack
from wearlog.facts.bookkeeping import Setting
from wearlog.logbook.files.undo import undo
from wearlog.store import engine
from wearlog.store.copying import LogMark, mark_of, move_log
from wearlog.store.finding import find_all
from wearlog.store.inspection import inspect_log
from wearlog.store.journal import deed_lines
from wearlog.store.ledger import Entry, record
from wearlog.store.location import Location
from wearlog.store.opening import Store, create_store, open_store
from wearlog.store.schema import metadata

pytestmark = pytest.mark.postgres


def mark(store: Store) -> LogMark:
    with store.reading() as connection:
        return mark_of(connection)


def note(store: Store, content: str) -> None:
    with store.writing() as connection:
        record(connection, device=store.device, said=content, entries=[Entry(Setting(key=content, content=content))])


def digest_of_file(store: Store) -> str:
    assert store.location.file is not None
    return hashlib.sha256(store.location.file.read_bytes()).hexdigest()


@pytest.fixture
def full(file_store: Store) -> Store:
    """A log in a file with rows in every table, an edit, a void and an undo."""
    fill(file_store)
    return file_store


@pytest.mark.promise(
    about="moving, copying, restoring",
    fault="a log goes to a server and comes back",
    holds="every row is the same, counted and compared",
    on="both",
)
def test_a_log_comes_back_from_a_server_as_it_went(
    full: Store, empty_server_location: Location, tmp_path: Path
) -> None:
    before, went = mark(full), digest_of_file(full)
    assert all(one.rows for one in before.tables.values())
    moved = move_log(full, empty_server_location)
    assert (moved.mark, moved.before) == (before, False)
    assert digest_of_file(full) == went
    there = open_store(empty_server_location)
    assert mark(there) == before
    assert inspect_log(there).problems == ()
    back = Location(file=tmp_path / "new folder" / "back.db")
    assert move_log(there, back).mark == before
    again = open_store(back)
    assert mark(again) == before
    assert inspect_log(again).problems == ()
    again.close()
    assert not [one for one in back.file.parent.iterdir() if one != back.file] if back.file else False
    there.close()


def test_a_moved_log_is_worked_on_and_its_history_taken_back(full: Store, empty_server_location: Location) -> None:
    move_log(full, empty_server_location)
    there = open_store(empty_server_location)
    note(there, "on the server")
    undo(there)
    with there.reading() as connection:
        assert [line.said for line in deed_lines(connection, limit=3)] == [
            "undid: on the server",
            "on the server",
            "undid: deed 2",
        ]
    there.close()


def test_what_is_entered_in_the_old_log_afterwards_comes_over_by_a_bundle(
    full: Store, empty_server_location: Location, tmp_path: Path
) -> None:
    move_log(full, empty_server_location)
    there = open_store(empty_server_location)
    note(full, "too late")
    note(there, "on the server")
    pack(full, tmp_path / "late.bundle")
    assert merge(there, read_bundle(tmp_path / "late.bundle")).entries == 1
    with there.reading() as connection:
        assert {"too late", "on the server"} <= {one.key for one in find_all(connection, Setting)}
    there.close()


@pytest.mark.promise(
    about="moving, copying, restoring",
    fault="the answer to a move was lost",
    holds="moving again finds it done",
    on="both",
)
def test_moving_again_finds_it_done(full: Store, empty_server_location: Location) -> None:
    """The answer of the server to the last word of a move may be lost: the same line is said again."""
    first = move_log(full, empty_server_location)
    second = move_log(full, empty_server_location)
    assert (second.mark, second.before) == (first.mark, True)


@pytest.mark.promise(
    about="moving, copying, restoring",
    fault="another log stands in the new place",
    holds="it is not touched",
    on="both",
)
def test_another_log_is_not_written_over(full: Store, empty_server_location: Location) -> None:
    there = create_store(empty_server_location)
    note(there, "another farm")
    before = mark(there)
    with pytest.raises(RefusedError, match=r"There is a log at .* already, and it is not the same"):
        move_log(full, empty_server_location)
    assert mark(there) == before
    there.close()


def test_a_file_in_the_way_is_not_touched(full: Store, tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("not a log")
    with pytest.raises(RefusedError):
        move_log(full, Location(file=tmp_path / "letter.txt"))
    assert (tmp_path / "letter.txt").read_text() == "not a log"


def test_a_log_is_not_moved_onto_itself(full: Store, tmp_path: Path) -> None:
    assert full.location.file is not None
    with pytest.raises(UsageError, match="is where the log is"):
        move_log(full, Location(file=tmp_path / "x" / ".." / full.location.file.name))


def test_a_log_that_is_not_in_order_is_not_moved(full: Store, empty_server_location: Location) -> None:
    with full.engine.begin() as connection:
        connection.exec_driver_sql("UPDATE field SET name = 'altered'")
    with pytest.raises(ConflictError, match=r"1 things in .* are not in order"):
        move_log(full, empty_server_location)
    with pytest.raises(NotFoundError):
        open_store(empty_server_location)


@contextmanager
def _spoilt(table: str, spoil: Any) -> Iterator[None]:
    """Let rows on their way into a table be spoilt between us and the database."""

    def on_the_way(
        _c: Any, _cursor: Any, statement: str, parameters: Any, _context: Any, _many: Any
    ) -> tuple[str, Any]:
        return (
            (statement, spoil(parameters)) if statement.startswith(f"INSERT INTO {table} ") else (statement, parameters)
        )

    event.listen(Engine, "before_cursor_execute", on_the_way, retval=True)
    try:
        yield
    finally:
        event.remove(Engine, "before_cursor_execute", on_the_way)


def _other_note(parameters: Any) -> Any:
    one = parameters[0] if isinstance(parameters, list) else parameters
    other = {**one, "note": "other"}
    return [other, *parameters[1:]] if isinstance(parameters, list) else other


@pytest.mark.parametrize("loss", ["a row that is not the same", "an interruption"])
@pytest.mark.promise(
    about="moving, copying, restoring",
    fault="a row changes on its way, or the move is interrupted",
    holds="nothing is left in the new place, the old log is as it was, and it can be moved again",
    on="both",
)
def test_a_copy_that_is_not_the_log_is_given_up(full: Store, empty_server_location: Location, loss: str) -> None:
    before = mark(full)

    def stop(_parameters: Any) -> Any:
        raise KeyboardInterrupt

    with (
        _spoilt("machine", _other_note if loss.startswith("a row") else stop),
        pytest.raises(ConflictError if loss.startswith("a row") else KeyboardInterrupt) as raised,
    ):
        move_log(full, empty_server_location)
    if isinstance(raised.value, ConflictError):
        assert raised.value.message.startswith("The copy is not the log: machine came out otherwise")
    with pytest.raises(NotFoundError):
        open_store(empty_server_location)
    there = engine.make_engine(empty_server_location)
    with there.connect() as connection:
        assert inspect(connection).get_table_names() == []
    there.dispose()
    assert mark(full) == before
    assert move_log(full, empty_server_location).mark == before


@pytest.mark.promise(
    about="several at once",
    fault="somebody would save in the old log while it is moved",
    holds="they are told, and lose nothing",
    on="a file",
)
def test_nobody_saves_in_the_old_log_while_it_is_moved(
    full: Store, empty_server_location: Location, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(engine, "BUSY_SECONDS", 0.1)
    other = open_store(full.location)
    refused = []

    def try_to_save(parameters: Any) -> Any:
        with pytest.raises(ConflictError):
            note(other, "meanwhile")
        refused.append(True)
        return parameters

    with _spoilt("machine", try_to_save):
        move_log(full, empty_server_location)
    assert refused == [True]
    note(other, "afterwards")
    other.close()


def test_the_mark_of_a_log_tells_every_change(full: Store) -> None:
    """A row less in any table shows, and in which."""
    before = mark(full)
    for table in metadata.sorted_tables:
        first = next(iter(table.columns)).name
        with full.engine.connect() as connection:
            driver: Any = connection.connection.driver_connection
            driver.execute("PRAGMA foreign_keys=OFF").close()
            connection.exec_driver_sql(
                f"DELETE FROM {table.name} WHERE {first} IN (SELECT {first} FROM {table.name} LIMIT 1)"
            )
            changed = mark_of(connection)
            connection.rollback()
        assert before.unlike(changed) == [table.name]
        assert changed.digest != before.digest
