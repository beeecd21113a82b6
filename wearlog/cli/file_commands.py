"""check, where, backup, restore, upgrade, move-log, roles: the log itself, as a file or on a server."""

from __future__ import annotations

import os
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Final

import click

from wearlog.cli.options import answer, by_farms_clock, command, local_now, opened, say, with_db, with_json
from wearlog.errors import ConflictError, RefusedError
from wearlog.progress import stretch
from wearlog.settings import data_folder, settings_folder
from wearlog.store.location import Location, locate

if TYPE_CHECKING:
    from wearlog.logbook.files.mending import LogInspection
    from wearlog.logbook.open_log import Store

#: the shares of a check's time at which the file is looked through, and what is doubtful is told
_LOOKED_THROUGH: Final = 0.7
_DOUBTS_TOLD: Final = 0.8


@command("check", examples=("wearlog check", "wearlog check --json", "wearlog check --repair"))
@click.option("--repair", "mend", is_flag=True, help="Build a sound log out of what a damaged one holds.")
@with_json
@with_db
def check_command(*, mend: bool, as_json: bool, db: str) -> None:
    """Look through the whole log: the file itself, every row against its last version, every version against its digest.

    It also names what somebody may have forgotten (stops that are open for more than a day) and what would be asked about if it
    were entered now: breakages noted twice or before their part was fitted, meters that outran the clock.

    With --repair rows and indices are made anew of what the journal says. Where nothing was lost the repaired log takes the place
    of the damaged one, which is kept; else it lies beside, with numbers. Where all is in order the daily copies but the latest two
    are packed (gzip), to little more than half; restore takes them by the same names.
    """
    from wearlog.exchange.two_cabs import two_cabs
    from wearlog.logbook.checks.doubts import standing_doubts
    from wearlog.logbook.files.mending import inspect_log
    from wearlog.logbook.open_log import pack_older_copies
    from wearlog.present.files.apart_words import apart_json, apart_lines, finding_lines, findings_json
    from wearlog.present.files.check_words import doubts_json, doubts_lines, forgotten_json, forgotten_lines
    from wearlog.present.files.twin_words import offers_json, twins_headline
    from wearlog.reckoning.work.stops import forgotten_stops_view

    with opened(db) as store:
        with stretch():
            with stretch(last=_LOOKED_THROUGH):
                found = inspect_log(store)
            if not found.problems:
                forgotten, settings = forgotten_stops_view(store, local_now())
                doubts = standing_doubts(store)
                with stretch(first=_DOUBTS_TOLD):
                    cabs = two_cabs(store, by_farms_clock(store, local_now()))
        if found.problems:
            # of what was damaged nothing else can be said
            _tell_damage(store, found, mend=mend, as_json=as_json)
            return
    apart, findings, twins = cabs.apart, cabs.findings, cabs.twins
    entered_twice = twins_headline(len(twins.offers), twins.later)
    lines = [f"{found.rows:,} rows, {found.versions:,} versions, {found.deeds:,} entries in {store.location.name}."]
    lines.append("The file is whole." if findings or apart.rows else "Everything is in order.")
    lines += [*apart_lines(apart), *finding_lines(findings), *([entered_twice] if entered_twice else ())]
    lines += [*forgotten_lines(forgotten, settings), *doubts_lines(doubts)]
    answer(
        lines,
        as_json,
        lambda: {
            "rows": found.rows,
            "versions": found.versions,
            "entries": found.deeds,
            "problems": [],
            "to_settle": apart_json(apart),
            "to_mend": findings_json(findings),
            "twins": offers_json(twins.offers),
            "written_to_again": twins.later,
            "forgotten_stops": forgotten_json(forgotten),
            "doubtful": doubts_json(doubts),
        },
    )
    pack_older_copies(store)


def _tell_damage(store: Store, found: LogInspection, *, mend: bool, as_json: bool) -> None:
    """Name what is not in order and mend it if that was asked for. ConflictError when it stays."""
    from wearlog.logbook.files.mending import repair
    from wearlog.present.files.check_words import damage_json, damage_lines, repaired_lines

    repaired = repair(store) if mend else None
    answer(
        [*damage_lines(found, store.location.name), *(repaired_lines(repaired) if repaired else ())],
        as_json,
        lambda: damage_json(found, repaired),
    )
    if repaired is not None and repaired.kept is not None:
        return
    count = len(found.problems)
    what = "One thing is" if count == 1 else f"{count} things are"
    if repaired is not None:
        raise ConflictError(
            f"{what} not in order.",
            f"'wearlog restore {repaired.beside}' takes the repaired log; 'wearlog restore' lists others.",
        )
    raise ConflictError(
        f"{what} not in order.",
        "'wearlog check --repair' rebuilds what the journal still says; 'wearlog restore' lists copies.",
    )


@command(
    "completion",
    examples=("wearlog completion bash", "wearlog completion zsh > wearlog.zsh", "wearlog completion fish"),
)
@click.argument("shell", type=click.Choice(["bash", "zsh", "fish"]))
def completion_command(*, shell: str) -> None:
    """Print the lines by which SHELL finishes commands and options at Tab.

    Kept in a file that your shell reads when it starts (bash: add `source FILE` to ~/.bashrc; zsh: the same in ~/.zshrc; fish: the
    file goes into ~/.config/fish/completions) it works in every new window.
    """
    from click.shell_completion import get_completion_class

    from wearlog.cli.app import app
    from wearlog.cli.overview import COMPLETES

    asked = get_completion_class(shell)
    assert asked is not None, shell
    say(asked(app, {}, "wearlog", COMPLETES).source())


@command("where", examples=("wearlog where", "wearlog where --json"))
@with_json
@with_db
def where_command(*, as_json: bool, db: str) -> None:
    """Say where the log lies, its copies, and what belongs to this device: what to carry along to another computer."""
    from wearlog.store.location import backup_folder, backups, backups_by_hand, logs_put_aside, risk_of

    location = locate(db)
    file = location.file
    beside = [] if file is None else [*backups(file), *backups_by_hand(file), *logs_put_aside(file)]
    size = file.stat().st_size if file is not None and file.exists() else None
    risk = risk_of(file) if file is not None else ""
    there = "" if file is None else " (not there yet)" if size is None else f" ({_megabytes(size)})"
    lines = [f"log       {location.name}{there}"]
    if file is not None:
        taken = sum(path.stat().st_size for path in beside)
        lines.append(f"copies    {backup_folder(file)} and beside the log: {len(beside)}, {_megabytes(taken)}")
    lines += [f"settings  {settings_folder()}", f"messages  {data_folder() / 'log'}", *([risk] if risk else [])]
    answer(
        lines,
        as_json,
        lambda: {
            "log": location.name,
            "bytes": size,
            "copies": [str(path) for path in beside],
            "settings": str(settings_folder()),
            "messages": str(data_folder() / "log"),
            "risk": risk or None,
        },
    )


def _megabytes(size: int) -> str:
    return f"{size / 1e6:,.1f} MB"


@command("backup", examples=("wearlog backup", "wearlog backup /media/stick/farm-copy.db"))
@click.argument("target", required=False, type=click.Path(path_type=Path))
@with_db
def backup_command(target: Path | None, *, db: str) -> None:
    """Copy the log into a file now; without a name into the folder of backups beside it.

    A log on a server is copied into a log file on this machine, every row compared.
    """
    from wearlog.store.backup import copy_log
    from wearlog.store.location import backup_folder

    with opened(db) as store:
        file = store.location.file
        if file is None:
            back_up_server_log(store, target)
            return
        stamp = datetime.now().astimezone().strftime("%Y-%m-%d-%H%M%S")
        chosen = target or backup_folder(file) / f"by-hand-{stamp}.db"
        if chosen.exists():
            raise RefusedError(f"There is a file {chosen} already.", "Name another one.")
        copy_log(file, chosen)
    say(f"Copied to {chosen}.")


@command("restore", examples=("wearlog restore", "wearlog restore 2026-08-14"))
@click.argument("source", required=False)
@with_db
def restore_command(source: str | None, *, db: str) -> None:
    """List the copies of a log, or go back to one: a name of the list or a file. The log in use is kept beside it.

    Windows that have the log open are told that it was replaced.
    """
    from wearlog.store.location import named_copy
    from wearlog.store.restoring import restore

    location = locate(db)
    file = location.file
    if file is None:
        restore_server_log(location, source)
        return
    if source is None:
        say(_copies_of(file))
        return
    kept = restore(file, named_copy(file, source))
    say([f"Restored {source}.", *([f"The log that was there is kept as {kept}."] if kept else [])])


def _copies_of(file: Path) -> list[str]:
    from wearlog.store.location import backups, backups_by_hand, copy_name, logs_put_aside

    found = (
        ("Backups of this log:", [copy_name(path) for path in backups(file)]),
        ("Copies made by hand:", [path.stem for path in backups_by_hand(file)]),
        ("Logs that were put aside:", [path.name for path in logs_put_aside(file)]),
    )
    lines = [line for heading, names in found if names for line in (heading, *(f"  {name}" for name in names))]
    return lines or ["There is no backup of this log yet."]


@command("upgrade", examples=("wearlog upgrade",))
@with_db
def upgrade_command(*, db: str) -> None:
    """Bring a log of an older wearlog to this version; a backup is made first. Kinds of part that are new come in with it."""
    from wearlog.logbook.farm.first_day import bring_kinds
    from wearlog.store.migrate import upgrade
    from wearlog.store.opening import open_store
    from wearlog.store.revision import HEAD

    location = locate(db)
    kept = upgrade(location)
    store = open_store(location)
    try:
        kinds = bring_kinds(store)
    finally:
        store.close()
    lines = [f"Upgraded to revision {HEAD}. The log as it was is kept as {kept}."] if kept else []
    say([*lines, *kinds] or ["Nothing to do: the log is of this version."])


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
    from wearlog.store.copying import move_log

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
    from wearlog.settings import default_file, load_preferences, save_preferences

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
    from wearlog.store.server_copies import roles_script

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
