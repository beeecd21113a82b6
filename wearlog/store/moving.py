"""The whole log to another place: from a file to a server and back. The old one stays as it was."""

from __future__ import annotations

from dataclasses import dataclass

from wearlog.disk import bring_names_to_disk
from wearlog.errors import ConflictError, NotFoundError, RefusedError, UsageError
from wearlog.store.copying import LogMark, copy_log_rows, mark_of
from wearlog.store.inspection import inspect_log
from wearlog.store.location import Location
from wearlog.store.opening import Store, create_store, open_store


@dataclass(frozen=True, slots=True)
class Moved:
    """What was moved where.

    Attributes
    ----------
    before : bool
        The same log stood there already: an earlier move had come to its end without being able to say so.
    """

    source: Location
    target: Location
    mark: LogMark
    before: bool


def move_log(store: Store, target: Location) -> Moved:
    """Copy a log to a place where there is none: all of it, held against the old one row by row, or nothing.

    Nobody can save anything in the old log meanwhile. Whatever moment the program, the machine or the server stops at: the old
    log is whole, and the new one is whole or not there.

    Raises
    ------
    UsageError
        When both are the same place.
    ConflictError
        When the log is not in order, or what came to stand there is not what was read.
    RefusedError
        When another log is there, or a file that is in the way.
    """
    if _same_place(store.location, target):
        raise UsageError(f"{target.name} is where the log is.", "Name the place it shall go to.")
    if problems := inspect_log(store).problems:
        raise ConflictError(
            f"{len(problems)} things in {store.location.name} are not in order, so it was not moved.",
            "'wearlog check' names them.",
        )
    with store.writing() as source:
        if there := _opened(target):
            return Moved(store.location, target, _same_log(there, mark_of(source), store.location), before=True)
        found: list[LogMark] = []
        create_store(target, fill=lambda connection: found.append(copy_log_rows(source, connection))).close()
        if target.file is not None:
            bring_names_to_disk(target.file.parent)
    return Moved(store.location, target, found[0], before=False)


def _same_place(one: Location, other: Location) -> bool:
    if one.file is not None and other.file is not None:
        return one.file.resolve() == other.file.resolve()
    return one == other


def _opened(target: Location) -> Store | None:
    try:
        return open_store(target)
    except NotFoundError:
        return None


def _same_log(there: Store, mark: LogMark, source: Location) -> LogMark:
    try:
        with there.reading() as connection:
            unlike = mark.unlike(mark_of(connection))
    finally:
        there.close()
    if unlike:
        raise RefusedError(
            f"There is a log at {there.location.name} already, and it is not the same as {source.name}.",
            "Nothing was changed. 'wearlog pack' here and 'wearlog merge' there bring together two copies of one log.",
        )
    return mark
