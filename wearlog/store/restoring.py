"""Putting a backup in the place of a log, which nobody reads or writes meanwhile. What was there stays, under another name."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path
from typing import Final

from wearlog.disk import HeldError, bring_names_to_disk, put_in_place, take_away, take_away_if_it_can_be
from wearlog.errors import ConflictError, NotFoundError, RefusedError
from wearlog.store import engine
from wearlog.store.backup import copy_log
from wearlog.store.engine import look_at_header
from wearlog.store.location import Location, clear_leftovers, free_name, leftover_journals, second_names
from wearlog.store.packed_copies import plain_copy
from wearlog.store.revision import APPLICATION_ID

#: the bytes that SQLite locks in a file, whatever stands in it: pending, reserved and 510 shared ones (its file format, 1.6)
_LOCK_BYTES: Final = (0x40000000, 512)
#: how long its counter of changes is, and where it stands (1.3.9)
_COUNTER: Final = (4, 24)


def restore(file: Path, source: Path, *, unchanged_since: bytes | None = None) -> Path | None:
    """Put the backup `source` in the place of the log and return where the log that was there is kept now.

    Parameters
    ----------
    unchanged_since : bytes, optional
        What `change_counter` said when the source was made of the log: whatever was entered since must not be put aside unseen.

    Raises
    ------
    NotFoundError, RefusedError
        When the backup is missing, not ours, or damaged; the log in use is untouched then.
    ConflictError
        When somebody is reading or writing the log and does not end.
    """
    if not source.exists():
        raise NotFoundError(f"There is no backup {source}.", "'wearlog restore' without a name lists what there is.")
    # the file itself where the name is a link to it: there SQLite keeps its journal
    file = Path(os.path.realpath(file))
    clear_leftovers(file)
    ready = file.with_name(f".{file.name}.restored.{os.getpid()}.part")
    try:
        # a copy of the backup goes in: the backup itself stays where it lies
        with plain_copy(source, beside=file) as plain:
            look_at_header(Location(file=plain), APPLICATION_ID)
            copy_log(plain, ready)
        with held_alone(file) as handle:
            if unchanged_since is not None and _counted(file, handle) != unchanged_since:
                raise ConflictError(f"Something was saved into {file} meanwhile.", "Nothing was replaced. Try again.")
            return _replace(file, ready)
    except OSError as error:
        raise RefusedError(
            f"{file} could not be replaced: {error.strerror}.", "Check the disk and the folder's permissions."
        ) from error
    finally:
        take_away_if_it_can_be(ready)


def change_counter(file: Path) -> bytes:
    """Return what changes in the head of a log with every write. No connection of this process may hold a lock on it."""
    with file.open("rb") as opened:
        head = opened.read(_COUNTER[1] + _COUNTER[0])
    return head[_COUNTER[1] :]


def _counted(file: Path, handle: int | None) -> bytes:
    """The counter of changes by the handle that holds the log, since opening it again would end its locks; else by its name."""
    if handle is None:
        return change_counter(file) if file.exists() else b""
    os.lseek(handle, _COUNTER[1], os.SEEK_SET)
    return os.read(handle, _COUNTER[0])


def _replace(file: Path, ready: Path) -> Path | None:
    """Put the old log and its journals aside and `ready` in their place. Whatever fails between puts back what was moved."""
    for name in second_names(file):
        # of a restore that was killed: the log is held alone, so none is under way
        take_away_if_it_can_be(name)
    kept = free_name(file, "before-restore")
    there, journals = file.exists(), leftover_journals(file)
    linked = there and _linked(file, kept)
    moved: list[tuple[Path, Path]] = []
    try:
        if there and not linked:
            put_in_place(file, kept)
            moved.append((file, kept))
        if journals:
            # the half-written log and its journal go together. Between the two steps it is better that there is no log ("no log"
            # names this one) than one without the journal that would mend it
            if linked:
                take_away(file)
                moved.append((file, kept))
            for journal in journals:
                aside = kept.with_name(kept.name + journal.name.removeprefix(file.name))
                put_in_place(journal, aside)
                moved.append((journal, aside))
        put_in_place(ready, file)
    except (HeldError, OSError):
        for name, aside in reversed(moved):
            put_in_place(aside, name)
        if linked and file.exists():
            # it is the old log's second name, and the only one that goes
            take_away_if_it_can_be(kept)
        raise
    bring_names_to_disk(file.parent)
    return kept if there else None


def _linked(file: Path, kept: Path) -> bool:
    """Give the old log its second name, so that there is a log under the first one at every moment."""
    try:
        os.link(file, kept)
    except OSError:
        # sticks with a simple file system know no links; the log is then put aside first
        return False
    return True


@contextmanager
def held_alone(file: Path) -> Iterator[int | None]:
    """Hold a log so that nobody reads or writes it, and give its open file; None where there is none or no such lock.

    It is not opened as a database: it may be damaged, its journal not its own.

    No connection of this process may be open on the file: its locks would end with ours.

    Raises
    ------
    ConflictError
        When somebody has it and does not end within the usual wait.
    """
    if find_spec("fcntl") is None or not file.exists():
        # where these locks are missing the system itself refuses to replace a file that is open
        yield None
        return
    handle = os.open(file, os.O_RDWR)
    try:
        _lock(handle, file)
        yield handle
    finally:
        os.close(handle)


def _lock(handle: int, file: Path) -> None:
    import fcntl

    start, length = _LOCK_BYTES
    until = time.monotonic() + engine.BUSY_SECONDS
    while True:
        try:
            fcntl.lockf(handle, fcntl.LOCK_EX | fcntl.LOCK_NB, length, start)
        except (BlockingIOError, PermissionError) as error:
            if time.monotonic() > until:
                raise ConflictError(
                    f"{file} is in use by another program, so it was not replaced.",
                    "Close the other window, or try again in a moment.",
                ) from error
            time.sleep(0.05)
        else:
            return
