"""Four people save at once on one server, which is killed in the middle: nothing is lost, nothing is there twice.

`python -m tests.kills.four_writers 10000` lets them enter so many; a short run stands with the tests.
"""

from __future__ import annotations

import os
import random
import sys
import time
import traceback
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NoReturn, TextIO

from sqlalchemy import select

from tests.own_server import OwnServer, own_server
from tests.servers import quick_folder
from wearlog.errors import ConflictError, NoAnswerError
from wearlog.facts.closed_lists import Ground
from wearlog.facts.work import Field
from wearlog.store.inspection import inspect_log
from wearlog.store.ledger import Entry, record
from wearlog.store.location import Location, locate
from wearlog.store.opening import Store, create_store, open_store
from wearlog.store.schema import TABLE_OF_FACT

WRITERS = 4
_FIELD = TABLE_OF_FACT[Field]


@dataclass(frozen=True)
class Written:
    """What came of it: entries, how often the server was killed, what writers were told, and how long it took.

    Attributes
    ----------
    lost, doubled : list of str
        Names that a writer was told were saved and are not there, and those that are there more than once.
    told : Counter of str
        How often a writer was told that nothing was saved, that nobody can know, or that somebody else was saving.
    """

    entries: int
    deeds: int
    problems: tuple[str, ...]
    lost: list[str]
    doubled: list[str]
    kills: int
    told: Counter[str]
    seconds: float


def four_writers(entries: int, kills: int, seed: int) -> Written:
    """Let four processes enter so many fields in all, and kill the server so often meanwhile."""
    begun = time.monotonic()
    with (
        TemporaryDirectory(prefix="wearlog-writers-", dir=quick_folder()) as folder,
        own_server() as server,
        server.database() as name,
    ):
        place = locate(server.url(name))
        create_store(place).close()
        each = entries // WRITERS
        children = [_forked(place, number, each, Path(folder)) for number in range(WRITERS)]
        _kill_in_the_middle(server, place, kills, random.Random(seed), each * WRITERS)
        for child in children:
            _, status = os.waitpid(child, 0)
            assert status == 0, [log.read_text() for log in sorted(Path(folder).glob("*.failed"))]
        return _look(place, Path(folder), server.kills, time.monotonic() - begun)


def _forked(place: Location, number: int, entries: int, folder: Path) -> int:
    child = os.fork()
    if child == 0:
        _write(place, number, entries, folder)
    return child


def _write(place: Location, number: int, entries: int, folder: Path) -> NoReturn:
    code = 1
    try:
        with (folder / f"{number}.saved").open("w") as saved, (folder / f"{number}.told").open("w") as told:
            store = _opened(place)
            store.device = f"cab {number}"
            for turn in range(entries):
                name = f"{number}-{turn}"
                while not _saved(store, name, told):
                    time.sleep(0.05)
                saved.write(f"{name}\n")
        code = 0
    except BaseException:  # noqa: BLE001  (the child tells the parent and ends)
        (folder / f"{number}.failed").write_text(traceback.format_exc())
    finally:
        os._exit(code)


def _opened(place: Location) -> Store:
    while True:
        try:
            return open_store(place)
        except NoAnswerError:
            time.sleep(0.05)


def _saved(store: Store, name: str, told: TextIO) -> bool:
    """Enter one field as a person would, who believes what is said; True when it is saved."""
    try:
        with store.writing() as connection:
            entry = Entry(Field(name=name, area_square_metres=640_000, ground=Ground.STONY))
            record(connection, device=store.device, said=name, entries=[entry])
    except NoAnswerError as error:
        if "is not known" in error.message:
            told.write("not known\n")
            return _is_there(store, name)
        told.write("nothing was saved\n")
        return False
    except ConflictError:
        told.write("somebody else\n")
        return False
    return True


def _is_there(store: Store, name: str) -> bool:
    """What the sentence says: look at the log when the server is back."""
    while True:
        try:
            with store.reading() as connection:
                return connection.execute(select(_FIELD.c.id).where(_FIELD.c.name == name)).first() is not None
        except NoAnswerError:
            time.sleep(0.05)


def _kill_in_the_middle(server: OwnServer, place: Location, kills: int, chance: random.Random, entries: int) -> None:
    """Kill it when a share of the entries is there, the shares spread over all of them."""
    store = open_store(place)
    for share in sorted(chance.uniform(0.1, 0.9) for _ in range(kills)):
        while True:
            with store.reading() as connection:
                there = len(connection.execute(select(_FIELD.c.id)).fetchall())
            if there >= share * entries:
                break
            time.sleep(0.02)
        server.kill()
        server.start()
    store.close()


def _look(place: Location, folder: Path, kills: int, seconds: float) -> Written:
    store = open_store(place)
    inspection = inspect_log(store)
    with store.reading() as connection:
        there = Counter(connection.execute(select(_FIELD.c.name)).scalars().all())
    store.close()
    saved = [name for file in folder.glob("*.saved") for name in file.read_text().split()]
    told = Counter(line for file in folder.glob("*.told") for line in file.read_text().splitlines())
    return Written(
        entries=sum(there.values()),
        deeds=inspection.deeds,
        problems=inspection.problems,
        lost=[name for name in saved if name not in there],
        doubled=[name for name, times in there.items() if times > 1],
        kills=kills,
        told=told,
        seconds=seconds,
    )


if __name__ == "__main__":
    done = four_writers(int(sys.argv[1]), kills=5, seed=15)
    sys.stdout.write(f"{done}\n")
    sys.exit(bool(done.lost or done.doubled or done.problems))
