"""Farms on which something is done and killed: made once, copied for every kill, in a file or on a server."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.kills.own_farms import OwnFarms
from wearlog.errors import WearlogError
from wearlog.store.copying import LogMark, mark_of
from wearlog.store.inspection import inspect_log
from wearlog.store.location import Location
from wearlog.store.opening import open_store


@dataclass(frozen=True)
class World:
    """One copy of a farm, and what lies about for what is done to it.

    Attributes
    ----------
    folder : Path
        Empty at first; the log lies in it where it is a file.
    database : str
        The name of the database on the server; empty for a file.
    elsewhere : Location
        Where a move goes: a place on the other kind of database, without a log.
    """

    folder: Path
    place: Location
    database: str
    elsewhere: Location
    farms: OwnFarms

    def settle(self) -> None:
        """Wait until the server has noticed that its client was killed."""
        if self.database:
            self.farms.server.wait_until_alone(self.database)
        elif self.elsewhere.file is None:
            self.farms.server.wait_until_alone(self.elsewhere.name.partition("?")[0].rpartition("/")[2])

    def mark(self) -> LogMark:
        return mark_at(self.place)


def mark_at(place: Location) -> LogMark:
    """Look through the whole log, which must be in order, and return its mark."""
    store = open_store(place)
    try:
        assert inspect_log(store).problems == ()
        with store.reading() as connection:
            return mark_of(connection)
    finally:
        store.close()


def mark_if_any(place: Location) -> LogMark | None:
    """The mark of a log that may not be there; half of one is an error."""
    try:
        return mark_at(place)
    except WearlogError as error:
        if "There is no log at" in error.message:
            return None
        raise


@contextmanager
def world(farms: OwnFarms, *, on_server: bool, old: bool, scratch: Path) -> Iterator[World]:
    """Make a copy of the farm, or of the one that an earlier wearlog wrote."""
    folder = scratch / "world"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    os.environ["WEARLOG_HOME"] = str(folder / "home")
    server = farms.server
    if on_server:
        with server.database(farms.old_template if old else farms.template) as name:
            place = Location(url=server.url(name).replace("postgresql:", "postgresql+psycopg:"))
            yield World(folder, place, name, Location(file=folder / "moved.db"), farms)
        return
    file = folder / "farm.db"
    shutil.copyfile(farms.old_file if old else farms.file, file)
    with server.database() as name:
        there = Location(url=server.url(name).replace("postgresql:", "postgresql+psycopg:"))
        yield World(folder, Location(file=file), "", there, farms)
