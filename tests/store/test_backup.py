"""Backups of a log: made on the first write of a day, whole and private, thinned like generations, and put back."""

from __future__ import annotations

import sqlite3
import stat
import threading
from contextlib import closing
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import text

from wearlog.errors import ConflictError, NotFoundError, RefusedError
from wearlog.facts.bookkeeping import Setting
from wearlog.store import backup, engine
from wearlog.store.backup import copy_log, daily_backup, days_kept, thin_out
from wearlog.store.ledger import Entry, record
from wearlog.store.location import Location, backups
from wearlog.store.opening import Store, create_store, open_store
from wearlog.store.restoring import restore


def note(store: Store, content: str, rows: int = 1) -> None:
    with store.writing() as connection:
        entries = [Entry(Setting(key=str(number), content=content)) for number in range(rows)]
        record(connection, device="shop", said="note", entries=entries)


def contents(file: Path) -> list[str]:
    """Return the settings in a file, read without any of our code."""
    with closing(sqlite3.connect(f"file:{file}?mode=ro", uri=True)) as connection:
        return [row[0] for row in connection.execute("SELECT content FROM setting ORDER BY content")]


@pytest.fixture
def file(file_store: Store) -> Path:
    assert file_store.location.file is not None
    return file_store.location.file


def set_today(monkeypatch: pytest.MonkeyPatch, moment: datetime) -> None:
    class Clock(datetime):
        @classmethod
        def now(cls, tz: Any = None) -> datetime:
            return moment

    monkeypatch.setattr(backup, "datetime", Clock)


def test_the_first_write_of_a_day_makes_a_backup_of_what_was_there_before(
    file_store: Store, file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One a day by the farm's own calendar, named by the day; the second write of the day makes none."""
    set_today(monkeypatch, datetime(2024, 7, 20, 22, 30).astimezone())
    note(file_store, "one")
    note(file_store, "two")
    set_today(monkeypatch, datetime(2024, 7, 21, 6, 0).astimezone())
    note(file_store, "three")
    assert [found.name for found in backups(file)] == ["2024-07-20.db", "2024-07-21.db"]
    assert [contents(found) for found in backups(file)] == [[], ["one", "two"]]


def test_reading_makes_no_backup(file_store: Store, file: Path) -> None:
    with file_store.reading() as connection:
        connection.execute(text("SELECT 1"))
    assert backups(file) == []


def test_a_backup_is_private_and_complete_and_alone(file_store: Store, file: Path) -> None:
    note(file_store, "kept", rows=500)
    for old in backups(file):
        old.unlink()
    made = daily_backup(file)
    assert made is not None
    assert stat.S_IMODE(made.stat().st_mode) == 0o600
    assert contents(made) == ["kept"] * 500
    assert [found.name for found in made.parent.iterdir()] == [made.name]
    with closing(sqlite3.connect(made)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    open_store(Location(file=made)).close()


def test_no_backup_of_a_file_that_is_not_there(tmp_path: Path) -> None:
    assert daily_backup(tmp_path / "farm.db") is None
    assert list(tmp_path.glob("farm*")) == []


@pytest.mark.promise(
    about="moving, copying, restoring",
    fault="somebody saves while a backup is made",
    holds="the backup holds whole entries only",
    on="a file",
)
def test_a_copy_made_while_another_writes_holds_whole_deeds_only(file_store: Store, file: Path, tmp_path: Path) -> None:
    """Each deed writes 20 rows; every copy holds a multiple of 20 and passes the check."""
    note(file_store, "first", rows=20)
    stop, other = threading.Event(), open_store(file_store.location)

    def write_on() -> None:
        while not stop.is_set():
            note(other, "more", rows=20)
            stop.wait(0.005)

    writer = threading.Thread(target=write_on)
    writer.start()
    try:
        copies = [tmp_path / "copies" / f"{number}.db" for number in range(5)]
        for copy in copies:
            copy_log(file, copy)
    finally:
        stop.set()
        writer.join()
        other.close()
    rows = [len(contents(copy)) for copy in copies]
    assert all(count % 20 == 0 for count in rows)
    assert rows == sorted(rows)
    assert rows[-1] > rows[0] > 0


def test_a_copy_while_a_deed_is_half_written_holds_what_was_before(
    file_store: Store, file: Path, tmp_path: Path
) -> None:
    note(file_store, "before")
    with file_store.writing() as connection:
        record(connection, device="shop", said="note", entries=[Entry(Setting(key="k", content="half"))])
        copy_log(file, tmp_path / "copy.db")
    assert contents(tmp_path / "copy.db") == ["before"]


def test_a_copy_of_a_file_that_is_held_gives_up(file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(engine, "BUSY_SECONDS", 0.2)
    with closing(sqlite3.connect(file, isolation_level=None)) as holder:
        holder.execute("BEGIN EXCLUSIVE").close()
        with pytest.raises(ConflictError, match="is in use by another program"):
            copy_log(file, tmp_path / "copies" / "copy.db")
    assert list(tmp_path.joinpath("copies").iterdir()) == []


@pytest.mark.promise(
    about="a damaged file",
    fault="the log is damaged when the backup of the day is due",
    holds="no good backup is replaced",
    on="a file",
)
def test_a_damaged_log_makes_no_backup_over_a_good_one(file_store: Store, file: Path, tmp_path: Path) -> None:
    note(file_store, "x" * 500, rows=400)
    file_store.close()
    target = tmp_path / "copies" / "copy.db"
    copy_log(file, target)
    good = target.read_bytes()
    spoil(file)
    with pytest.raises(RefusedError, match=r"farm\.db is damaged\."):
        copy_log(file, target)
    assert target.read_bytes() == good
    assert [found.name for found in target.parent.iterdir()] == ["copy.db"]


def spoil(file: Path) -> None:
    """Overwrite pages in the middle."""
    with file.open("r+b") as opened:
        opened.seek(80 * 4096)
        opened.write(b"\xa5" * 40 * 4096)


# ---------------------------------------------------------------------------------------------------------------- thinning


def kept_after(days: list[date]) -> set[date]:
    """Return what is there after years of making a backup on each of these days and thinning out each time."""
    there: set[date] = set()
    for day in days:
        there = days_kept(there | {day})
    return there


def test_a_daily_writer_has_days_weeks_months_and_years() -> None:
    """Three years of every day, ending on a Saturday: 7 days, the Mondays of 5 weeks, the firsts of 12 months, and of years."""
    end = date(2024, 8, 31)
    days = [end - timedelta(days=back) for back in range(3 * 366)][::-1]
    expected = {end - timedelta(days=back) for back in range(7)}
    expected |= {date(2024, 8, day) for day in (5, 12, 19, 26)} | {date(2024, 7, 29)}
    expected |= {date(2024, month, 1) for month in range(1, 9)} | {date(2023, month, 1) for month in range(9, 13)}
    expected |= {days[0], date(2022, 1, 1), date(2023, 1, 1)}
    assert kept_after(days) == expected


@settings(max_examples=60, deadline=None)
@given(
    start=st.dates(date(2015, 1, 1), date(2022, 1, 1)),
    gaps=st.lists(st.integers(1, 40) | st.sampled_from([1, 1, 1, 2, 200, 400]), min_size=1, max_size=300),
)
def test_thinning_day_by_day_never_loses_what_should_stay(start: date, gaps: list[int]) -> None:
    """Whatever days there were: the newest stay, every period of each rule keeps one, and few are kept."""
    days = [start]
    for gap in gaps:
        days.append(days[-1] + timedelta(days=gap))
    kept = kept_after(days)
    assert kept <= set(days)
    assert set(days[-backup.DAYS :]) <= kept
    for most, period in (
        (backup.WEEKS, lambda day: day.isocalendar()[:2]),
        (backup.MONTHS, lambda day: (day.year, day.month)),
        (len(days), lambda day: day.year),
    ):
        first_of = {}
        for day in sorted(days, reverse=True):
            first_of[period(day)] = day
        # thinning each day keeps exactly the first of each period, as if all had been there to choose from
        assert set(list(first_of.values())[:most]) <= kept
    years = len({day.year for day in days})
    assert len(kept) <= backup.DAYS + backup.WEEKS + backup.MONTHS + years
    assert days_kept(kept) == kept


def test_thinning_removes_the_files_and_nothing_else(tmp_path: Path) -> None:
    days = [date(2024, 3, 1) + timedelta(days=number) for number in range(100)]
    for day in days:
        tmp_path.joinpath(f"{day}.db").touch()
    tmp_path.joinpath("my own copy.db").touch()
    removed = thin_out(tmp_path.glob("????-??-??.db"))
    there = {found.stem for found in tmp_path.glob("*.db")}
    assert there == {str(day) for day in days_kept(days)} | {"my own copy"}
    assert {file.stem for file in removed} == {str(day) for day in days} - there


# ----------------------------------------------------------------------------------------------------------------- restore


def test_restore_puts_the_backup_in_place_and_the_old_log_aside(file_store: Store, file: Path, tmp_path: Path) -> None:
    note(file_store, "good")
    copy_log(file, tmp_path / "copy.db")
    note(file_store, "mistake")
    file_store.close()
    aside = restore(file, tmp_path / "copy.db")
    assert aside is not None
    assert aside.name.startswith("farm.db.before-restore-")
    assert (contents(file), contents(aside)) == (["good"], ["good", "mistake"])
    assert [stat.S_IMODE(found.stat().st_mode) for found in (file, aside)] == [0o600, 0o600]
    store = open_store(file_store.location)
    note(store, "goes on")
    store.close()


def test_restore_where_there_is_no_log(tmp_path: Path) -> None:
    create_store(Location(file=tmp_path / "copy.db")).close()
    assert restore(tmp_path / "farm.db", tmp_path / "copy.db") is None
    assert contents(tmp_path / "farm.db") == []


def test_two_restores_in_one_second_keep_both_logs(file_store: Store, file: Path, tmp_path: Path) -> None:
    note(file_store, "first")
    file_store.close()
    create_store(Location(file=tmp_path / "empty.db")).close()
    asides = [restore(file, tmp_path / "empty.db") for _ in range(3)]
    assert len({str(aside) for aside in asides}) == 3
    assert asides[0] is not None
    assert contents(asides[0]) == ["first"]


@pytest.mark.promise(
    about="moving, copying, restoring",
    fault="the log that is replaced was being written when the power went",
    holds="its journal goes aside with it and not into the backup",
    on="a file",
)
def test_restore_takes_the_hot_journal_of_the_old_log_aside_with_it(
    file_store: Store, file: Path, tmp_path: Path
) -> None:
    """A journal left by a crash must not be played into the backup; beside the old log it repairs that."""
    note(file_store, "before", rows=300)
    copy_log(file, tmp_path / "copy.db")
    hot = _crash_half_way(file, tmp_path)
    for tail in ("", "-journal"):
        hot.with_name(hot.name + tail).replace(file.with_name(file.name + tail))
    aside = restore(file, tmp_path / "copy.db")
    assert aside is not None
    assert not file.with_name("farm.db-journal").exists()
    assert aside.with_name(f"{aside.name}-journal").stat().st_size > 512
    assert contents(file) == ["before"] * 300
    # opened as a file that may be written, the journal is played back into the old log, where it belongs
    with closing(sqlite3.connect(aside)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert connection.execute("SELECT DISTINCT content FROM setting").fetchall() == [("before",)]


def _crash_half_way(file: Path, tmp_path: Path) -> Path:
    """Copy a log and its journal at a moment when changed pages are in the file and not yet committed."""
    crashed = tmp_path / "crashed.db"
    with closing(sqlite3.connect(file, isolation_level=None)) as connection:
        connection.execute("PRAGMA cache_size = 1").close()
        connection.execute("BEGIN IMMEDIATE").close()
        connection.execute("UPDATE setting SET content = 'half'").close()
        crashed.write_bytes(file.read_bytes())
        crashed.with_name("crashed.db-journal").write_bytes(file.with_name("farm.db-journal").read_bytes())
        connection.execute("ROLLBACK").close()
    assert b"half" in crashed.read_bytes()
    return crashed


@pytest.mark.promise(
    about="moving, copying, restoring",
    fault="a backup is damaged",
    holds="it is refused, the log stays as it is",
    on="a file",
)
def test_a_damaged_backup_is_refused_and_the_log_stays(file_store: Store, file: Path, tmp_path: Path) -> None:
    note(file_store, "x" * 500, rows=400)
    copy_log(file, tmp_path / "copy.db")
    spoil(tmp_path / "copy.db")
    before = file.read_bytes()
    with pytest.raises(RefusedError, match=r"copy\.db is damaged\."):
        restore(file, tmp_path / "copy.db")
    assert file.read_bytes() == before
    assert not file.with_name("farm.db.restored").exists()


def test_a_backup_that_is_not_there_or_not_ours_is_refused(file: Path, tmp_path: Path) -> None:
    with pytest.raises(NotFoundError, match=r"^There is no backup .*gone\.db\.$"):
        restore(file, tmp_path / "gone.db")
    tmp_path.joinpath("photo.jpg").write_bytes(b"\xff\xd8\xff")
    with pytest.raises(RefusedError, match=r"photo\.jpg is not a wearlog file\.$"):
        restore(file, tmp_path / "photo.jpg")
    assert contents(file) == []
