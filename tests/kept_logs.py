"""Logs that are entered once and then copied: a copy costs a tenth of entering it again.

A log in a file is kept as a file. On a server the rows are kept in a schema beside the tables, and copied by the server itself.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from contextlib import contextmanager
from fcntl import LOCK_EX, flock
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator

    from wearlog.store.opening import Store

T = TypeVar("T")


def built_once(factory: pytest.TempPathFactory, name: str, build: Callable[[Path], None]) -> Path:
    """Return the file or folder that `build` makes; of the processes that test at once one makes it, for all.

    Copy it before you write.
    """
    own = factory.getbasetemp()
    # the processes of one run have their folders side by side in a folder of that run
    folder = (own.parent if os.environ.get("PYTEST_XDIST_WORKER") else own) / "built_once"
    folder.mkdir(exist_ok=True)
    made, whole = folder / name, folder / f"{name}.whole"
    with _alone(folder / f"{name}.lock"):
        if not whole.exists():
            build(made)
            whole.touch()
    return made


@contextmanager
def _alone(lock: Path) -> Iterator[None]:
    with lock.open("w") as held:
        flock(held, LOCK_EX)
        yield


class KeptLogs:
    """Logs that were entered once, in a file and on a server each, to bring other logs to where they stand."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._answers: dict[tuple[str, str], Any] = {}

    def once(self, name: str, enter: Callable[[Path], T]) -> T:
        """Return what `enter` returned the first time, when it was given the place of a file.

        A fixture that several conftests import is another fixture in each of them; this is what they have in common.
        """
        if ("", name) not in self._answers:
            self._answers["", name] = enter(self._folder / name)
        answer: T = self._answers["", name]
        return answer

    def of(self, store: Store, name: str, enter: Callable[[Store], T]) -> T:
        """Bring a log to where `enter` leaves it, and return what `enter` returned when it was entered."""
        known = (store.engine.dialect.name, name)
        keeper = _FileKeeper(self._folder) if store.location.file else _ServerKeeper()
        if known in self._answers:
            keeper.bring_back(store, name)
        else:
            self._answers[known] = enter(store)
            keeper.keep(store, name)
        answer: T = self._answers[known]
        return answer


class _FileKeeper:
    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def keep(self, store: Store, name: str) -> None:
        _copy_with_backups(_file_of(store), self._folder / f"{name}.db")

    def bring_back(self, store: Store, name: str) -> None:
        # no connection may have the file open that is replaced
        store.engine.dispose()
        _copy_with_backups(self._folder / f"{name}.db", _file_of(store))


def _file_of(store: Store) -> Path:
    assert store.location.file is not None
    return store.location.file


def _copy_with_backups(source: Path, target: Path) -> None:
    """Copy a log; the backup that was made when it was entered comes along, so that the first write makes no other."""
    from wearlog.store.backup import backup_folder, backups

    shutil.copy(source, target)
    for backup in backups(source):
        folder = backup_folder(target)
        folder.mkdir(exist_ok=True)
        shutil.copy(backup, folder)


class _ServerKeeper:
    def keep(self, store: Store, name: str) -> None:
        tables = _tables()
        _run(store, [f"CREATE SCHEMA kept_{name}", *(f"CREATE TABLE kept_{name}.{t} AS TABLE {t}" for t in tables)])

    def bring_back(self, store: Store, name: str) -> None:
        tables = _tables()
        _run(store, [*_emptying(tables), *(f"INSERT INTO {t} SELECT * FROM kept_{name}.{t}" for t in tables)])


def empty_tables(store: Store) -> None:
    """Delete every row of a log on a server."""
    _run(store, _emptying(_tables()))


def _tables() -> list[str]:
    """Return the names of all tables, each after those it rests on."""
    from wearlog.store.schema import metadata

    return [table.name for table in metadata.sorted_tables]


def _emptying(tables: list[str]) -> list[str]:
    return [f"DELETE FROM {table}" for table in reversed(tables)]


def _run(store: Store, statements: list[str]) -> None:
    """Send all statements at once: one way to the server and back."""
    with store.engine.begin() as connection:
        connection.exec_driver_sql("; ".join(statements), execution_options={"no_parameters": True})
