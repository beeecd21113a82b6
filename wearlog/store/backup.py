"""Backups of a log file: whole copies made while it may be in use, kept for days, weeks, months and years, and restored.

A log on a PostgreSQL server is backed up by whoever keeps the server; here it is refused with that sentence.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterable
from contextlib import closing
from datetime import date, datetime
from itertools import chain, count
from pathlib import Path

from wearlog.errors import NotFoundError, RefusedError
from wearlog.store import engine
from wearlog.store.location import Location
from wearlog.store.mishaps import damaged, explained, look_at_header
from wearlog.store.revision import APPLICATION_ID

#: how many of each are kept: sons (days), fathers (weeks), grandfathers (months); of older ones the first of each year stays
DAYS, WEEKS, MONTHS = 7, 5, 12


class CopyFailedError(RefusedError):
    """The copy could not be written; what was to be copied is sound as far as anybody knows."""


def backup_folder(file: Path) -> Path:
    """Return the folder beside the log where its backups lie."""
    return file.with_name(f"{file.name}-backups")


def backups(file: Path) -> list[Path]:
    """Return the daily backups of a log, oldest first."""
    return sorted(backup_folder(file).glob("????-??-??.db"))


def daily_backup(file: Path) -> Path | None:
    """Make today's backup unless there is one. Called before the first write of a day; returns the new file or None."""
    target = backup_folder(file) / f"{datetime.now().astimezone().date()}.db"
    if target.exists() or not file.exists():
        return None
    copy_log(file, target)
    thin_out(backups(file))
    return target


def copy_log(source: Path, target: Path) -> None:
    """Copy a log that may be in use into `target`: checked, private (0600), on the disk before it gets its name.

    Raises
    ------
    RefusedError
        When the source is damaged, or there is no room or right to write the copy.
    """
    part = target.with_name(f"{target.name}.{os.getpid()}.part")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        os.close(os.open(part, os.O_CREAT | os.O_WRONLY | os.O_TRUNC, 0o600))
        _copy_pages(source, part)
        _sync(part)
        part.replace(target)
        _sync(target.parent)
    except OSError as error:
        raise CopyFailedError(
            f"The backup {target} could not be written: {error.strerror}.",
            "Check the disk and the folder's permissions.",
        ) from error
    finally:
        part.unlink(missing_ok=True)


def _copy_pages(source: Path, part: Path) -> None:
    with (
        explained(Location(file=source)),
        closing(sqlite3.connect(source, timeout=engine.BUSY_SECONDS, isolation_level=None)) as old,
        closing(sqlite3.connect(part)) as new,
    ):
        # the lock to read is taken here, where waiting for it ends; inside backup() it would go on for ever
        old.execute("BEGIN").close()
        old.execute("SELECT count(*) FROM sqlite_schema").close()
        old.backup(new)
        new.execute("PRAGMA journal_mode=TRUNCATE").close()
        if new.execute("PRAGMA quick_check(1)").fetchone()[0] != "ok":
            raise damaged(Location(file=source))


def _sync(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def thin_out(files: Iterable[Path]) -> list[Path]:
    """Remove the backups that no rule keeps and return what was removed."""
    by_day = {date.fromisoformat(file.stem): file for file in files}
    kept = days_kept(by_day)
    removed = [file for day, file in sorted(by_day.items()) if day not in kept]
    for file in removed:
        file.unlink(missing_ok=True)
    return removed


def days_kept(days: Iterable[date]) -> set[date]:
    """Return which days' backups stay: the latest 7 days; the first of each of 5 weeks, 12 months, and of every year."""
    ordered = sorted(days, reverse=True)
    kept = set(ordered[:DAYS])
    for most, period in ((WEEKS, _week), (MONTHS, _month), (None, _year)):
        first_of: dict[object, date] = {}
        for day in ordered:
            first_of[period(day)] = day
        kept.update(list(first_of.values())[:most])
    return kept


def _week(day: date) -> object:
    return day.isocalendar()[:2]


def _month(day: date) -> object:
    return day.year, day.month


def _year(day: date) -> object:
    return day.year


def restore(file: Path, source: Path) -> Path | None:
    """Put the backup `source` in the place of the log and return where the log that was there is kept now.

    Raises
    ------
    NotFoundError, RefusedError
        When the backup is missing, not ours, or damaged; the log in use is untouched then.
    """
    if not source.exists():
        raise NotFoundError(f"There is no backup {source}.", "'wearlog restore' without a name lists what there is.")
    look_at_header(Location(file=source), APPLICATION_ID)
    ready = file.with_name(f"{file.name}.restored")
    copy_log(source, ready)
    kept = None
    if file.exists():
        kept = _free_name(file)
        # a hot journal belongs to the log that is put aside: it must go with it, or it would be played into the backup
        for tail in ("", "-journal"):
            old = file.with_name(file.name + tail)
            if old.exists():
                old.replace(kept.with_name(kept.name + tail))
    ready.replace(file)
    _sync(file.parent)
    return kept


def _free_name(file: Path) -> Path:
    """Return a name with the time for a log that is put aside; one that was put aside in the same second keeps its own."""
    stamp = datetime.now().astimezone().strftime("%Y%m%d-%H%M%S")
    names = (
        file.with_name(f"{file.name}.before-restore-{stamp}{tail}") for tail in chain([""], (f"-{n}" for n in count(2)))
    )
    return next(name for name in names if not name.exists())
