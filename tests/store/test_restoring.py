"""Restoring in all circumstances: while others read and write, beside leftovers, under an open window, and what is told of it."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path

import pytest

from tests.cli.running import Wearlog, on_log, runner
from tests.store.test_backup import contents, note
from wearlog.errors import ConflictError, NotFoundError, RefusedError, ReplacedError, VersionError, WearlogError
from wearlog.store import engine
from wearlog.store.backup import copy_log
from wearlog.store.inspection import inspect_log
from wearlog.store.location import Location, backup_folder, backups, backups_by_hand, logs_put_aside
from wearlog.store.opening import Store, create_store, open_store
from wearlog.store.restoring import restore
from wearlog.store.revision import HEAD


@pytest.fixture
def file(file_store: Store) -> Path:
    assert file_store.location.file is not None
    return file_store.location.file


@pytest.fixture
def wearlog(capsys: pytest.CaptureFixture[str], file: Path) -> Wearlog:
    return on_log(runner(capsys), file)


@pytest.fixture
def copy(file_store: Store, file: Path, tmp_path: Path) -> Path:
    """A copy that holds 'good'; the log went on since."""
    note(file_store, "good")
    copy_log(file, tmp_path / "copy.db")
    note(file_store, "later")
    return tmp_path / "copy.db"


_HOLDER = """
import sqlite3, sys, time
log = sqlite3.connect(sys.argv[1], isolation_level=None)
log.execute(sys.argv[2])
log.execute("SELECT count(*) FROM setting").fetchone()
print("held", flush=True)
time.sleep(float(sys.argv[3]))
log.execute("COMMIT")
"""


def hold(file: Path, begin: str, seconds: float) -> subprocess.Popen[str]:
    """Let another program read or write the log for a while."""
    words = [sys.executable, "-c", _HOLDER, str(file), begin, str(seconds)]
    holder = subprocess.Popen(words, stdout=subprocess.PIPE, text=True)
    assert holder.stdout is not None
    assert holder.stdout.readline() == "held\n"
    return holder


@pytest.mark.parametrize("begin", ["BEGIN", "BEGIN IMMEDIATE", "BEGIN EXCLUSIVE"])
@pytest.mark.promise(
    about="moving, copying, restoring",
    fault="somebody has the log open for reading or writing during a restore",
    holds="it is not replaced under them",
    on="a file",
)
def test_a_log_that_somebody_reads_or_writes_is_not_replaced(
    begin: str, file_store: Store, file: Path, copy: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file_store.close()
    monkeypatch.setattr(engine, "BUSY_SECONDS", 0.3)
    with hold(file, begin, 60) as holder:
        with pytest.raises(ConflictError, match="is in use by another program, so it was not replaced"):
            restore(file, copy)
        holder.kill()
    assert contents(file) == ["good", "later"]
    assert logs_put_aside(file) == []
    assert not list(file.parent.glob(".*.part"))


def test_restore_waits_for_a_writer_to_end(file_store: Store, file: Path, copy: Path) -> None:
    file_store.close()
    with hold(file, "BEGIN IMMEDIATE", 0.7) as holder:
        began = time.monotonic()
        restore(file, copy)
        assert time.monotonic() - began > 0.3
        assert holder.wait() == 0
    assert contents(file) == ["good"]


@pytest.mark.promise(
    about="moving, copying, restoring",
    fault="a log is restored under an open window",
    holds="the window is told and writes into neither log",
    on="a file",
)
def test_an_open_window_is_told_and_writes_into_neither_log(file_store: Store, file: Path, copy: Path) -> None:
    """Its connection is on the old log: a journal of it beside the new one would spoil that."""
    with file_store.reading():
        pass
    window = open_store(file_store.location)
    with window.reading():
        pass
    file_store.close()
    aside = restore(file, copy)
    assert aside is not None
    with pytest.raises(ReplacedError, match=r"farm\.db was replaced by another file while it was open here\.$"):
        note(window, "into the old one")
    with pytest.raises(ReplacedError), window.reading():
        pass
    window.close()
    assert (contents(file), contents(aside)) == (["good"], ["good", "later"])


@pytest.mark.parametrize("replaced", [True, False])
@pytest.mark.parametrize("view", ["writing", "reading"])
def test_what_breaks_in_a_log_that_was_replaced_just_then_is_told_as_that(
    file_store: Store, file: Path, view: str, *, replaced: bool
) -> None:
    """A restore between looking at the file and writing: the database says that the disk failed."""
    note(file_store, "kept")
    another = file.with_name("another.db")
    another.write_bytes(file.read_bytes())

    def breaks() -> None:
        with getattr(file_store, view)() as connection:
            if replaced:
                another.replace(file)
            connection.exec_driver_sql("SELECT nothing FROM nowhere")

    with pytest.raises(WearlogError) as told:
        breaks()
    assert isinstance(told.value, ReplacedError) is replaced
    assert ("was replaced by another file while it was open here" in told.value.message) is replaced


def test_an_open_window_is_told_that_its_log_is_gone(file_store: Store, file: Path) -> None:
    note(file_store, "kept")
    file.rename(file.with_name("elsewhere.db"))
    with pytest.raises(ReplacedError, match=r"farm\.db is not there any more"):
        note(file_store, "lost")
    assert contents(file.with_name("elsewhere.db")) == ["kept"]
    assert not file.exists()


@pytest.mark.promise(
    about="upgrades",
    fault="another program upgrades the log under an open window",
    holds="the window writes nothing into it",
    on="both",
)
def test_an_open_window_does_not_write_into_a_log_that_was_upgraded(store: Store) -> None:
    with store.engine.begin() as connection:
        connection.exec_driver_sql("UPDATE alembic_version SET version_num = '9999'")
    try:
        with pytest.raises(VersionError, match="was written by a newer wearlog"):
            note(store, "in an old shape")
    finally:
        with store.engine.begin() as connection:
            assert connection.exec_driver_sql("SELECT count(*) FROM deed").scalar() == 0
            connection.exec_driver_sql(f"UPDATE alembic_version SET version_num = '{HEAD}'")


@pytest.mark.promise(
    about="moving, copying, restoring",
    fault="a restore is interrupted at any step",
    holds="there is a whole log under the name",
    on="a file",
)
def test_there_is_a_log_under_its_name_at_every_moment(
    file_store: Store, file: Path, copy: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The old log has its second name before the new one takes the first: where that fails, nothing has changed."""
    file_store.close()
    number = file.stat().st_ino
    replace = os.replace

    def pulled_plug(path: Path, target: Path) -> None:
        if target == file:
            raise OSError(5, "Input/output error")
        replace(path, target)

    monkeypatch.setattr(os, "replace", pulled_plug)
    with pytest.raises(RefusedError, match=r"farm\.db could not be replaced: Input/output error\.$"):
        restore(file, copy)
    assert file.stat().st_ino == number
    assert contents(file) == ["good", "later"]
    monkeypatch.undo()
    aside = restore(file, copy)
    assert aside is not None
    assert aside.stat().st_ino == number


def test_a_disk_that_knows_no_links_is_restored_too(
    file_store: Store, file: Path, copy: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_links(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    file_store.close()
    monkeypatch.setattr(os, "link", no_links)
    aside = restore(file, copy)
    assert aside is not None
    assert (contents(file), contents(aside)) == (["good"], ["good", "later"])


def test_a_journal_of_a_log_that_is_gone_is_not_played_into_the_backup(
    file_store: Store, file: Path, copy: Path, tmp_path: Path
) -> None:
    note(file_store, "x" * 400, rows=300)
    leave_journal(file)
    file_store.close()
    file.unlink()
    assert restore(file, copy) is None
    assert contents(file) == ["good"]
    assert [path.name.endswith("-journal") for path in tmp_path.glob("farm.db.before-restore-*")] == [True]
    store = open_store(Location(file=file))
    assert inspect_log(store).problems == ()
    store.close()


def leave_journal(file: Path) -> None:
    """Leave the journal of a writer that was killed half-way."""
    kept = file.with_name("kept-journal")
    with closing(sqlite3.connect(file, isolation_level=None)) as connection:
        connection.execute("PRAGMA cache_size = 1").close()
        connection.execute("BEGIN IMMEDIATE").close()
        connection.execute("UPDATE setting SET content = 'half'").close()
        kept.write_bytes(file.with_name("farm.db-journal").read_bytes())
        connection.execute("ROLLBACK").close()
    kept.rename(file.with_name("farm.db-journal"))
    assert file.with_name("farm.db-journal").stat().st_size > 512


def test_a_new_log_does_not_get_the_journal_of_one_that_is_gone(file_store: Store, file: Path, tmp_path: Path) -> None:
    note(file_store, "x" * 400, rows=300)
    leave_journal(file)
    file_store.close()
    file.unlink()
    store = create_store(Location(file=file))
    note(store, "new")
    assert inspect_log(store).problems == ()
    store.close()
    assert contents(file) == ["new"]
    (aside,) = tmp_path.glob("farm.db.before-start-*-journal")
    assert store.notices[0] == f"An unfinished write of a log that is gone lay here; it is kept as {aside}."
    assert store.notices[1].startswith("This is a new log. Copies of an earlier one are kept (")


def test_no_log_names_the_copies_there_are(file_store: Store, file: Path, copy: Path, wearlog: Wearlog) -> None:
    file_store.close()
    file.unlink()
    day = backups(file)[-1].stem
    ran = wearlog("brief")
    assert (ran.code, ran.err) == (
        3,
        f"wearlog: There is no log at {file}, but there are copies of it: {day}.\n"
        "  'wearlog restore' lists them, 'wearlog restore NAME' brings one back; "
        "to begin anew move them away, or name another file with --db.\n",
    )
    file.with_name("farm.db.before-restore-20260814-101500").write_bytes(copy.read_bytes())
    with pytest.raises(NotFoundError, match=rf"copies of it: {day} and 1 more\.$"):
        open_store(Location(file=file))


def test_restore_lists_every_copy_and_takes_each_by_its_name(
    file_store: Store, file: Path, copy: Path, wearlog: Wearlog
) -> None:
    file_store.close()
    assert wearlog("backup").code == 0
    (by_hand,) = backups_by_hand(file)
    assert wearlog("restore", str(copy)).out.startswith(f"Restored {copy}.\nThe log that was there is kept as ")
    (aside,) = logs_put_aside(file)
    assert wearlog("restore").out.splitlines() == [
        "Backups of this log:",
        f"  {backups(file)[0].stem}",
        "Copies made by hand:",
        f"  {by_hand.stem}",
        "Logs that were put aside:",
        f"  {aside.name}",
    ]
    for name, said in ((backups(file)[0].stem, []), (by_hand.stem, ["good", "later"]), (aside.name, ["good", "later"])):
        assert wearlog("restore", name).code == 0
        assert contents(file) == said


@pytest.mark.promise(
    about="a kill or a crash",
    fault="a crash left half-built files",
    holds="they are removed later, and what is still being built is not",
    on="a file",
)
def test_what_a_crash_left_half_built_is_removed_and_what_is_being_built_stays(file_store: Store, file: Path) -> None:
    folder = backup_folder(file)
    folder.mkdir()
    names = [".farm.db.77.part", "farm.db.before-0002.77.part", ".farm.db.77.part-journal", "farm.db.restored.7.part"]
    old = [*(file.with_name(name) for name in names), folder / "2024-01-01.db.77.part"]
    young, foreign = file.with_name(".farm.db.78.part"), file.with_name("other.db.77.part")
    for path in (*old, young, foreign):
        path.write_bytes(b"half")
        if path is not young:
            os.utime(path, (time.time() - 7200,) * 2)
    note(file_store, "the first of the day")
    assert [path for path in old if path.exists()] == []
    assert young.exists()
    assert foreign.exists()


def test_a_file_in_the_place_of_the_backup_folder_costs_the_backup_and_not_the_entry(
    file_store: Store, file: Path
) -> None:
    backup_folder(file).write_text("not a folder")
    note(file_store, "saved all the same")
    assert contents(file) == ["saved all the same"]
    assert file_store.to_tell() == (file_store.trouble,)
    assert file_store.trouble.startswith(f"The backup {backup_folder(file)}/")
    assert backup_folder(file).read_text() == "not a folder"


def test_a_file_that_is_no_backup_of_a_day_keeps_no_entry_out(file_store: Store, file: Path) -> None:
    backup_folder(file).mkdir()
    backup_folder(file).joinpath("2024-13-45.db").write_text("mine")
    note(file_store, "saved")
    assert contents(file) == ["saved"]
    assert backup_folder(file).joinpath("2024-13-45.db").read_text() == "mine"


def test_a_restore_that_was_killed_leaves_no_name_that_looks_like_a_copy(
    file_store: Store, file: Path, copy: Path
) -> None:
    file_store.close()
    # as it stands between the two steps: the log has its second name, the backup is not in its place yet
    os.link(file, file.with_name(f"{file.name}.before-restore-20260728-100000"))
    assert logs_put_aside(file) == []
    kept = restore(file, copy)
    assert logs_put_aside(file) == [kept]
    assert list(file.parent.glob(f"{file.name}.before-restore-*")) == [kept]


def test_an_import_that_begins_a_log_says_what_lay_there(
    file_store: Store, file: Path, tmp_path: Path, wearlog: Wearlog
) -> None:
    file_store.close()
    file.unlink()
    file.with_name(f"{file.name}-journal").write_bytes(b"half a write")
    (tmp_path / "book").mkdir()
    (tmp_path / "book" / "machine.csv").write_text("name,kind\nKestrel,combine\n")
    done = on_log(wearlog, file)("import", str(tmp_path / "book"))
    assert done.code == 0, done
    assert "An unfinished write of a log that is gone lay here; it is kept as " in done.err
