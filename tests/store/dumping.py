"""A small log with rows in every table, written as SQL; `python -m tests.store.dumping` keeps it for the newest revision.

A dump is made once, when its revision is released, and never again: it is what files out on the farms look like.
"""

from __future__ import annotations

import sqlite3
import sys
import tempfile
from contextlib import closing
from dataclasses import replace
from pathlib import Path

from tests.strategies import one_of_each
from wearlog.facts.bookkeeping import Setting
from wearlog.facts.closed_lists import Doing
from wearlog.facts.fact import Fact
from wearlog.store.ledger import Entry, record
from wearlog.store.location import Location
from wearlog.store.opening import Store, create_store
from wearlog.store.revision import APPLICATION_ID, HEAD
from wearlog.store.taking_back import take_back

DUMPS = Path(__file__).parent / "dumps"


def fill(store: Store) -> list[Fact]:
    """Write one row to every table, an edit, a void and an undo; return the facts as they stand in the end."""
    rows = one_of_each()
    setting = next(fact for fact in rows if isinstance(fact, Setting))
    edited = replace(setting, content="edited")
    deeds = [
        [Entry(fact) for fact in rows],
        [Entry(edited, Doing.EDITED)],
        [Entry(replace(edited, voided=True), Doing.VOIDED)],
    ]
    for number, entries in enumerate(deeds):
        with store.writing() as connection:
            last = record(connection, device="shop", said=f"deed {number}", entries=entries)
    with store.writing() as connection:
        take_back(connection, device="shop", deed=last)
    return [edited if fact is setting else fact for fact in rows]


def dump(file: Path) -> str:
    """Return a log file as SQL, its mark in the header included."""
    with closing(sqlite3.connect(file)) as connection:
        return "\n".join([f"PRAGMA application_id = {APPLICATION_ID};", *connection.iterdump()]) + "\n"


def load(name: str, file: Path) -> None:
    """Make a log file from a kept dump."""
    with closing(sqlite3.connect(file)) as connection:
        connection.executescript(DUMPS.joinpath(f"{name}.sql").read_text("utf-8"))


def keep_newest() -> Path:
    """Write the dump of the newest revision; refuses to replace one."""
    target = DUMPS / f"{HEAD}.sql"
    with tempfile.TemporaryDirectory() as folder:
        store = create_store(Location(file=Path(folder, "farm.db")))
        fill(store)
        store.close()
        with target.open("x", encoding="utf-8") as opened:
            opened.write(dump(Path(folder, "farm.db")))
    return target


if __name__ == "__main__":
    sys.stdout.write(f"{keep_newest()}\n")
