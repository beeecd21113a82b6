"""What is done and killed, and what must hold of the log whatever moment it was: the promises, one by one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from tests.kills.own_farms import BROUGHT
from tests.kills.worlds import World, mark_at, mark_if_any
from wearlog.cli.main import run
from wearlog.errors import VersionError
from wearlog.store.copying import LogMark
from wearlog.store.location import Location, logs_put_aside
from wearlog.store.migrate import upgrade
from wearlog.store.opening import open_store
from wearlog.store.server_copies import copies_of


@dataclass(frozen=True)
class Act:
    """Something that a person does with one command.

    Attributes
    ----------
    words : callable
        The words of the command in a world.
    was_done : callable
        Looks at the log afterwards, given what it was before (None where it is of an earlier wearlog), and says whether the deed
        is there: all of it (True) or nothing of it (False). AssertionError for anything between.
    old : bool
        Whether the log is of an earlier wearlog.
    """

    name: str
    words: Callable[[World], list[str]]
    was_done: Callable[[World, LogMark | None], bool]
    old: bool = False


def do(act: Act, world: World) -> None:
    """Do it as a person would; RuntimeError with its exit code where it did not end well."""
    code = run([*act.words(world), "--db", world.place.name])
    if code:
        raise RuntimeError(f"exit code {code}")


def _entered(deeds: int) -> Callable[[World, LogMark | None], bool]:
    def was_done(world: World, before: LogMark | None) -> bool:
        assert before is not None
        after = world.mark()
        more = after.deeds - before.deeds
        assert more in (0, deeds), f"{more} of {deeds} entries"
        assert more or after == before, f"without an entry {after.unlike(before)} are not as they were"
        return more == deeds

    return was_done


def _copied(world: World, before: LogMark | None) -> bool:
    assert world.mark() == before, "a backup changed the log"
    copy = _file(world, "copy.db")
    if mark_if_any(copy) is None:
        return False
    assert mark_at(copy) == before, "the copy is not the log"
    return True


def _restored(world: World, before: LogMark | None) -> bool:
    assert before is not None
    after = world.mark()
    if after == before:
        return False
    assert after == world.farms.earlier_mark, "neither the log that was there nor the backup"
    file = world.place.file
    kept = logs_put_aside(file) if file is not None else copies_of(world.place)
    # one that was killed after it had kept the log leaves that behind, and the next keeps it once more
    assert kept, "the log that was there is not kept"
    assert all(mark_at(_file(world, str(one))) == before for one in kept), "what is kept is not the log that was there"
    return True


def _moved(world: World, before: LogMark | None) -> bool:
    assert world.mark() == before, "a move changed the old log"
    there = mark_if_any(world.elsewhere)
    assert there in (None, before), "half of the log is in the new place"
    return there is not None


def _upgraded(world: World, _before: LogMark | None) -> bool:
    try:
        open_store(world.place).close()
        done = True
    except VersionError:
        upgrade(world.place)
        done = False
    rows = {name: one.rows for name, one in world.mark().tables.items()}
    grown = rows["part_kind"] > world.farms.upgraded_rows["part_kind"]
    # the kinds of part that are new come in as one entry of their own after it, or not yet
    same = {name: count for name, count in rows.items() if count == world.farms.upgraded_rows[name]}
    assert grown or len(same) == len(rows), "rows were lost or doubled"
    assert all(count >= world.farms.upgraded_rows[name] for name, count in rows.items()), "rows were lost"
    return done and grown


def _file(world: World, name: str) -> Location:
    return Location(file=world.folder / name)


ACTS = (
    Act("log", lambda world: ["log", "north 3 sections 41-43 rock, 20 min", "--yes"], _entered(1)),
    Act(
        "cut",
        lambda world: ["cut", "kestrel", "60", "--hours", "5", "--to", "2026-08-20 20:00", "--yes"],
        _entered(1),
    ),
    Act("import", lambda world: ["import", str(world.farms.sheet)], _entered(1)),
    Act("undo", lambda world: ["undo", "--yes"], _entered(1)),
    Act("merge", lambda world: ["merge", str(world.farms.bundle), "--yes"], _entered(BROUGHT)),
    Act("upgrade", lambda world: ["upgrade"], _upgraded, old=True),
    Act("backup", lambda world: ["backup", str(world.folder / "copy.db")], _copied),
    Act("restore", lambda world: ["restore", str(world.farms.earlier)], _restored),
    Act("move", lambda world: ["move-log", world.elsewhere.name], _moved),
)
