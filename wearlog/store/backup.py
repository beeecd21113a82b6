"""Backups of a log file: whole copies made while it may be in use, kept for days, weeks, months and years.

A log on a PostgreSQL server is copied by `server_copies.py`.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterable
from contextlib import closing
from datetime import date, datetime
from functools import lru_cache
from pathlib import Path

from wearlog.disk import HeldError, bring_names_to_disk, bring_to_disk, put_in_place, take_away_if_it_can_be
from wearlog.errors import RefusedError
from wearlog.store import engine
from wearlog.store.engine import damaged, explained
from wearlog.store.location import PACKED, Location, backup_folder, clear_leftovers, daily_files, day_of

#: how many of each are kept: sons (days), fathers (weeks), grandfathers (months); of older ones the first of each year stays
DAYS, WEEKS, MONTHS = 7, 5, 12


class CopyFailedError(RefusedError):
    """The copy could not be written; what was to be copied is sound as far as anybody knows."""


def daily_backup(file: Path) -> Path | None:
    """Make today's backup unless there is one. Called before the first write of a day; returns the new file or None."""
    # by the clock on the wall: a person asks for a copy by the day that they remember
    target = _copy_of_day(file, datetime.now().astimezone().date())
    # every entry asks: one look at the disk is all that it should take
    if os.path.exists(target):  # noqa: PTH110 - through pathlib it takes thrice as long
        return None
    if not file.exists() or target in map(_plain_name, daily_files(file)):
        return None
    clear_leftovers(file)
    copy_log(file, target)
    thin_out(daily_files(file))
    return target


@lru_cache(maxsize=4)
def _copy_of_day(file: Path, day: date) -> Path:
    return backup_folder(file) / f"{day}.db"


def _plain_name(copy: Path) -> Path:
    return copy.with_name(copy.name.removesuffix(PACKED))


def copy_log(source: Path, target: Path) -> None:
    """Copy a log that may be in use into `target`: checked, private (0600), on the disk before it gets its name.

    Raises
    ------
    RefusedError
        When the source is damaged, or there is no room or right to write the copy.
    """
    part = target.with_name(f"{target.name}.{os.getpid()}.part")
    try:
        target.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        os.close(os.open(part, os.O_CREAT | os.O_WRONLY | os.O_TRUNC, 0o600))
        _copy_pages(source, part)
        bring_to_disk(part)
        put_in_place(part, target)
        bring_names_to_disk(target.parent)
    except HeldError as error:
        raise CopyFailedError(error.message, error.hint) from error
    except OSError as error:
        raise CopyFailedError(
            f"The backup {target} could not be written: {error.strerror}.",
            "Check the disk and the folder's permissions.",
        ) from error
    finally:
        for built in (part, part.with_name(f"{part.name}-journal")):
            # what lies where the folder should be is told above
            take_away_if_it_can_be(built)


def _copy_pages(source: Path, part: Path) -> None:
    with (
        explained(Location(file=source)),
        closing(sqlite3.connect(_there(source), timeout=engine.BUSY_SECONDS, isolation_level=None, uri=True)) as old,
        closing(sqlite3.connect(part)) as new,
    ):
        # the lock to read is taken here, where waiting for it ends; inside backup() it would go on for ever
        old.execute("BEGIN").close()
        old.execute("SELECT count(*) FROM sqlite_schema").close()
        old.backup(new)
        new.execute("PRAGMA journal_mode=TRUNCATE").close()
        # a copy of a damaged log must not push sound ones out of the days that are kept
        if new.execute("PRAGMA quick_check(1)").fetchone()[0] != "ok":
            raise damaged(Location(file=source))


def _there(file: Path) -> str:
    """Return the address under which a file is opened only if it is there: a copy may be packed or thinned out at this moment."""
    address = file.absolute().as_uri()
    # a share of a network has its machine's name where SQLite wants none
    return f"{address if address.startswith('file:///') else address.replace('file://', 'file:////', 1)}?mode=rw"


def thin_out(files: Iterable[Path]) -> list[Path]:
    """Remove the backups that no rule keeps and return what was removed."""
    dated = sorted((day, file) for file in files if (day := day_of(file)) is not None)
    kept = days_kept({day for day, _ in dated})
    removed = [file for day, file in dated if day not in kept]
    for file in removed:
        # one that cannot be removed takes room and nothing else
        take_away_if_it_can_be(file)
    return removed


def days_kept(days: Iterable[date]) -> set[date]:
    """Return which days' backups stay: the latest 7 days; the first of each of 5 weeks, 12 months, and of every year."""
    ordered = sorted(days, reverse=True)
    kept = set(ordered[:DAYS])
    for most, period in ((WEEKS, _week), (MONTHS, _month), (None, _year)):
        first_of: dict[object, date] = {}
        # the latest come first, so that of each period the earliest day is what remains
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
