"""How a log is opened and made: private, whole or not at all, with the settings it relies on, one writer at a time."""

from __future__ import annotations

import stat
import threading
from pathlib import Path

import pytest
from sqlalchemy import Connection, text

from wearlog.errors import ConflictError, RefusedError
from wearlog.facts.bookkeeping import Setting
from wearlog.store import engine, opening
from wearlog.store.ledger import Entry, record
from wearlog.store.location import Location
from wearlog.store.opening import Store, create_store, open_store
from wearlog.store.revision import APPLICATION_ID, HEAD


def note(connection: Connection, content: str = "v") -> None:
    record(connection, device="shop", said="note", entries=[Entry(Setting(key="k", content=content))])


def settings_kept(store: Store) -> list[str]:
    with store.reading() as connection:
        return list(connection.execute(text("SELECT content FROM setting ORDER BY content")).scalars())


def test_a_new_file_is_private_and_alone(file_location: Location) -> None:
    """Owner only (0600), nothing else beside it, and marked as ours in its header."""
    create_store(file_location).close()
    assert file_location.file is not None
    assert stat.S_IMODE(file_location.file.stat().st_mode) == 0o600
    assert [found.name for found in file_location.file.parent.iterdir() if found.name != "home"] == ["farm.db"]
    header = file_location.file.read_bytes()[:100]
    assert header[68:72] == b"WEAR" == APPLICATION_ID.to_bytes(4)


def test_a_connection_to_a_file_has_the_settings_the_log_relies_on(file_store: Store) -> None:
    """Foreign keys on, synchronous EXTRA (3), journal TRUNCATE, for readers and writers alike."""
    names = ("foreign_keys", "synchronous", "journal_mode", "application_id")
    for block in (file_store.reading, file_store.writing):
        with block() as connection:
            found = [connection.exec_driver_sql(f"PRAGMA {name}").scalar_one() for name in names]
        assert found == [1, 3, "truncate", APPLICATION_ID]


def test_a_new_log_has_the_revision_of_this_program(empty_location: Location) -> None:
    store = create_store(empty_location)
    with store.reading() as connection:
        assert opening.stored_revision(connection) == HEAD
    store.close()


def test_what_was_saved_is_there_when_opened_again(empty_location: Location) -> None:
    store = create_store(empty_location)
    with store.writing() as connection:
        note(connection, "kept")
    store.close()
    again = open_store(empty_location)
    assert settings_kept(again) == ["kept"]
    assert again.device == "shop"
    again.close()


def test_a_log_is_not_made_over_one_that_is_there(store: Store) -> None:
    with store.writing() as connection:
        note(connection, "kept")
    with pytest.raises(RefusedError) as refused:
        create_store(store.location)
    there = "file at" if store.location.file else "log at"
    assert refused.value.message == f"There is a {there} {store.location.name} already."
    assert settings_kept(store) == ["kept"]


def test_a_file_that_is_in_the_way_is_not_touched(file_location: Location) -> None:
    assert file_location.file is not None
    file_location.file.write_text("my notes", "utf-8")
    with pytest.raises(RefusedError, match="already"):
        create_store(file_location)
    assert file_location.file.read_text("utf-8") == "my notes"


def test_the_folders_above_a_new_file_are_made(tmp_path: Path) -> None:
    place = Location(file=tmp_path / "farm" / "logs" / "combines.db")
    create_store(place).close()
    open_store(place).close()


def test_a_new_file_under_another_file_is_refused(tmp_path: Path) -> None:
    tmp_path.joinpath("notes").write_text("", "utf-8")
    with pytest.raises(RefusedError) as refused:
        create_store(Location(file=tmp_path / "notes" / "farm.db"))
    assert refused.value.message == f"{tmp_path}/notes/farm.db cannot be made: File exists."


@pytest.mark.promise(
    about="a kill or a crash", fault="making a new log fails half-way", holds="nothing is left behind", on="a file"
)
def test_a_creation_that_fails_half_way_leaves_nothing(
    empty_location: Location, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Neither a file, nor a part of one, nor a table; and the next try works."""

    def half(connection: Connection) -> None:
        opening.metadata.create_all(connection)
        raise OSError("the plug was pulled")

    with monkeypatch.context() as patch:
        patch.setattr(opening, "_make_tables", half)
        with pytest.raises(OSError, match="the plug was pulled"):
            create_store(empty_location)
    if empty_location.file is not None:
        assert [found.name for found in empty_location.file.parent.iterdir() if found.name != "home"] == []
    else:
        made = engine.make_engine(empty_location)
        with made.connect() as connection:
            assert connection.execute(text("SELECT count(*) FROM pg_tables WHERE schemaname = 'public'")).scalar() == 0
        made.dispose()
    create_store(empty_location).close()


def test_a_disk_that_knows_no_links_gets_its_file_too(file_location: Location, monkeypatch: pytest.MonkeyPatch) -> None:
    """A stick as cameras use it."""

    def no_links(*_: object) -> None:
        raise OSError(95, "Operation not supported")

    monkeypatch.setattr("os.link", no_links)
    create_store(file_location).close()
    assert file_location.file is not None
    assert [found.name for found in file_location.file.parent.iterdir() if found.name != "home"] == ["farm.db"]


def test_the_name_taken_meanwhile_is_not_overwritten(file_location: Location, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two programs that start the same log at once: the second is told, and the first one's log stays."""
    assert file_location.file is not None
    publish = opening._publish

    def somebody_else_was_faster(part: Path, file: Path) -> None:
        file.write_text("theirs", "utf-8")
        publish(part, file)

    monkeypatch.setattr(opening, "_publish", somebody_else_was_faster)
    with pytest.raises(RefusedError, match=r"There is a file at .* already"):
        create_store(file_location)
    assert file_location.file.read_text("utf-8") == "theirs"
    assert [found.name for found in file_location.file.parent.glob("*.part")] == []


@pytest.mark.promise(
    about="several at once",
    fault="somebody else is saving for longer than the wait",
    holds="the second writer is told, nothing is mixed up",
    on="both",
)
def test_a_second_writer_waits_and_is_told(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """While one writes, another waits a while (10 s; 0.2 s here) and is told that somebody is saving; nothing of it is kept."""
    monkeypatch.setattr(engine, "BUSY_SECONDS", 0.2)
    other = open_store(store.location)
    with store.writing() as first:
        note(first, "first")
        with pytest.raises(ConflictError) as refused, other.writing() as second:
            note(second, "second")
    said = (
        (f"{store.location.name} is in use by another program.", "Close the other window, or try again in a moment.")
        if store.location.file
        else ("Somebody else is saving at this moment.", "Try again.")
    )
    assert (refused.value.message, refused.value.hint, refused.value.exit_code) == (*said, 5)
    assert settings_kept(other) == ["first"]
    with other.writing() as second:
        note(second, "second")
    assert settings_kept(store) == ["first", "second"]
    other.close()


def test_a_second_writer_goes_on_when_the_first_is_done(store: Store) -> None:
    """Waiting is enough when the first one takes no longer than people do."""
    began, other = threading.Event(), open_store(store.location)
    with store.writing() as first:
        note(first, "first")

        def second() -> None:
            began.set()
            with other.writing() as connection:
                note(connection, "second")

        thread = threading.Thread(target=second)
        thread.start()
        began.wait()
        thread.join(0.2)
        assert thread.is_alive()
    thread.join(10)
    assert settings_kept(store) == ["first", "second"]
    other.close()


@pytest.mark.promise(
    about="several at once",
    fault="somebody reads while somebody saves",
    holds="the reader sees the log as it was before, at once",
    on="both",
)
def test_a_reader_is_not_kept_waiting_by_a_writer(store: Store) -> None:
    """The screen goes on showing what was saved before."""
    with store.writing() as connection:
        note(connection, "new")
        assert settings_kept(store) == []
    assert settings_kept(store) == ["new"]


def test_a_reading_block_is_one_transaction_from_its_start(file_store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """Also for statements that go straight to the driver: between two of them nothing can be saved."""
    monkeypatch.setattr(engine, "BUSY_SECONDS", 0.2)
    other = open_store(file_store.location)
    with file_store.reading() as connection:
        driver = connection.connection.driver_connection
        assert driver is not None
        assert driver.execute("SELECT count(*) FROM setting").fetchone() == (0,)
        with pytest.raises(ConflictError), other.writing() as second:
            note(second)
        assert driver.execute("SELECT count(*) FROM setting").fetchone() == (0,)
    with other.writing() as second:
        note(second)
    other.close()


def test_the_wait_is_ten_seconds() -> None:
    assert engine.BUSY_SECONDS == 10
