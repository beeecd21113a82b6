"""The farm as it stands before each kill, in a file and as a template on the server, with what is brought to it."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path

from tests.own_server import OwnServer
from tests.small_farm import AUGUST, harvest, land, small_farm
from tests.store.dumping import load
from tests.store.test_upgrade_0002 import onto_server
from wearlog.exchange.bundles import pack
from wearlog.facts.closed_lists import Ground
from wearlog.logbook.farm.machines import add_field
from wearlog.store.copying import LogMark, mark_of, move_log
from wearlog.store.location import Location
from wearlog.store.migrate import upgrade
from wearlog.store.opening import create_store, open_store

#: what another laptop entered, and how many rows of a sheet come in: enough to be hit in the middle
BROUGHT, SHEET_ROWS = 40, 400


@dataclass(frozen=True)
class OwnFarms:
    """Files and templates that nobody writes to."""

    server: OwnServer
    file: Path
    mark: LogMark
    template: str
    old_file: Path
    old_template: str
    earlier: Path
    earlier_mark: LogMark
    bundle: Path
    sheet: Path
    upgraded_rows: dict[str, int]


@contextmanager
def own_farms(server: OwnServer, folder: Path) -> Iterator[OwnFarms]:
    """Make all of it."""
    os.environ["WEARLOG_HOME"] = str(folder / "home")
    os.environ["WEARLOG_DEVICE"] = "shop"
    file, earlier, old = folder / "farm.db", folder / "earlier.db", folder / "old.db"
    store = create_store(Location(file=file))
    farm = small_farm(store)
    land(farm)
    store.close()
    shutil.copyfile(file, earlier)
    store = open_store(Location(file=file))
    for day in range(12):
        harvest(replace(farm, store=store), at=AUGUST + timedelta(days=day - 12))
    load("0001", old)
    with ExitStack() as stack:
        template, old_template = (stack.enter_context(server.database()) for _ in range(2))
        move_log(store, _at(server, template))
        store.close()
        onto_server(old, _at(server, old_template))
        yield OwnFarms(
            server=server,
            file=file,
            mark=_mark(file),
            template=template,
            old_file=old,
            old_template=old_template,
            earlier=earlier,
            earlier_mark=_mark(earlier),
            bundle=_bundle(file, folder),
            sheet=_sheet(folder),
            upgraded_rows=_upgraded_rows(old, folder),
        )


def _at(server: OwnServer, database: str) -> Location:
    return Location(url=server.url(database).replace("postgresql:", "postgresql+psycopg:"))


def _mark(file: Path) -> LogMark:
    store = open_store(Location(file=file))
    try:
        with store.reading() as connection:
            return mark_of(connection)
    finally:
        store.close()


def _bundle(file: Path, folder: Path) -> Path:
    """What another laptop with the same log entered since."""
    copy = folder / "cab.db"
    shutil.copyfile(file, copy)
    cab = open_store(Location(file=copy))
    cab.device = "cab"
    for number in range(BROUGHT):
        add_field(cab, f"cab field {number}", 640_000, Ground.STONY)
    pack(cab, folder / "stick.bundle")
    cab.close()
    return folder / "stick.bundle"


def _sheet(folder: Path) -> Path:
    rows = [f"sheet field {number},160,stony" for number in range(SHEET_ROWS)]
    sheet = folder / "field.csv"
    sheet.write_text("\n".join(["name,area_ac,ground", *rows]) + "\n", "utf-8")
    return sheet


def _upgraded_rows(old: Path, folder: Path) -> dict[str, int]:
    """How many rows each table has after an upgrade that nobody disturbed."""
    copy = folder / "upgraded.db"
    shutil.copyfile(old, copy)
    upgrade(Location(file=copy))
    return {name: one.rows for name, one in _mark(copy).tables.items()}
