"""move-log, roles, and what backup and restore do with a log on a server."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Final

import click

from wearlog.cli.options import answer, command, say, with_db, with_json
from wearlog.logbook.doors import opened
from wearlog.store.location import Location, locate

if TYPE_CHECKING:
    from wearlog.logbook.doors import Store

#: what a copy of one log does not have
_NOT_IN_IT: Final = (
    "Not in it: the roles and rights of the server. For those, for a copy that the server makes by itself every night, and to go "
    "back to any minute, whoever keeps the server uses pg_dump or its archive."
)


@command(
    "move-log",
    examples=(
        "wearlog move-log postgresql://shed/farm",
        "wearlog move-log cab.db --db postgresql://shed/farm",
        "wearlog move-log elsewhere.db",
    ),
)
@click.argument("target", metavar="FILE|postgresql://HOST/NAME")
@with_json
@with_db
def move_log_command(target: str, *, as_json: bool, db: str) -> None:
    """Move the whole log to a place where there is none yet: from a file to a server, from a server into a file.

    Every row, its history and its ids come along. Counts and digests of all tables are compared before anything is called done;
    interrupted at whatever moment, the old log is whole and the new one is whole or not there, and the same line moves it again.
    The old log stays where it was.
    """
    from wearlog.present.words import counted
    from wearlog.store.moving import move_log

    place = locate(target)
    with opened(db) as store:
        moved = move_log(store, place)
    mark, follows = moved.mark, _opened_from_now_on(moved.target, db)
    old, new = moved.source.name, moved.target.name
    rows = sum(one.rows for one in mark.tables.values())
    answer(
        [
            f"{new} held this log already: nothing was to be done." if moved.before else f"Moved {old} to {new}.",
            f"{counted(mark.deeds, 'entry', 'entries')}, {counted(mark.versions, 'version')}; all {rows:,} rows of "
            f"{len(mark.tables)} tables were compared and are the same on both sides (digest {mark.digest[:12]}).",
            f"This device opens {new} from now on."
            if follows
            else "Name it with --db or WEARLOG_DB; without that this device goes on opening what it opened before.",
            f"The old log stays at {old} as it was. Should somebody still enter something there: 'wearlog pack' there and "
            "'wearlog merge' here bring it over.",
        ],
        as_json,
        lambda: {
            "from": old,
            "to": new,
            "was_there": moved.before,
            "entries": mark.deeds,
            "versions": mark.versions,
            "rows": {name: one.rows for name, one in mark.tables.items()},
            "digest": mark.digest,
            "opened_from_now_on": follows,
        },
    )


def _opened_from_now_on(target: Location, db: str) -> bool:
    """Where the log was this device's usual one the device goes along; a place that was named stays to be named."""
    if db or os.environ.get("WEARLOG_DB", ""):
        return False
    from wearlog.places import default_file
    from wearlog.settings import load_preferences, save_preferences

    place = "" if target.file is not None and target.file.resolve() == default_file().resolve() else target.name
    if target.file is not None and place:
        place = str(target.file.resolve())
    save_preferences(replace(load_preferences(), location=place))
    return True


@command("roles", examples=("wearlog roles", "wearlog roles > roles.sql"))
def roles_command() -> None:
    """Print the SQL that makes the roles of owner, clerk and reader for a log on a PostgreSQL server.

    An administrator of the server runs it with psql, once the log is there and again after each upgrade. It says how. A clerk adds
    to the history and cannot change or drop it; a reader only reads.
    """
    from wearlog.store.server_roles import roles_script

    say(roles_script().rstrip())


def back_up_server_log(store: Store, target: Path | None) -> None:
    """Copy a server's log into a file and say what is in it."""
    from wearlog.present.words import counted
    from wearlog.store.server_copies import back_up

    done = back_up(store, target)
    say(
        [
            f"Copied to {done.file}: {counted(done.mark.deeds, 'entry', 'entries')}, every row compared.",
            f"It is a log by itself (--db {done.file}); 'wearlog restore' puts it back.",
            _NOT_IN_IT,
        ]
    )


def restore_server_log(location: Location, source: str | None) -> None:
    """List the copies of a server's log on this device, or put one back."""
    from wearlog.store.server_copies import copies_of, restore_on_server

    found = copies_of(location)
    if source is None:
        lines = [f"Copies of {location.name} on this device:", *(f"  {one.stem}" for one in found)]
        say(lines if found else f"There is no copy of {location.name} on this device; 'wearlog backup' makes one.")
        return
    named = next((one for one in found if source in (one.stem, one.name)), Path(source))
    done = restore_on_server(location, named)
    lines = [f"Restored {named.name}; every row compared."]
    say([*lines, f"The log that was there is kept as {done.kept}."] if done.kept else lines)
