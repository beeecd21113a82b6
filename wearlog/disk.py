"""What every system allows with files: on the disk for certain, one in the place of another, taken away.

On some systems a file that another program has open can be neither replaced nor removed, a folder cannot be opened, and only a file
opened for writing can be brought to the disk. Virus scanners and spreadsheets hold files for a moment; the screens hold the log.
"""

from __future__ import annotations

import os
import shutil
import time
from collections.abc import Callable
from pathlib import Path
from typing import Final, TypeVar

from wearlog.errors import RefusedError

#: how long a file that another program holds is tried again
PATIENCE_SECONDS: Final = 2.0
_PAUSE_SECONDS: Final = 0.05
#: access denied, sharing violation, lock violation: the system's own numbers for a file that somebody has open
_HELD: Final = (5, 32, 33)

_T = TypeVar("_T")


class HeldError(RefusedError):
    """A file is open in another program, on a system where it cannot be replaced then."""


def bring_to_disk(file: Path) -> None:
    """Wait until what was written to a file is on the disk. OSError when it cannot be."""
    # opened for writing: a handle to read is not allowed to do it everywhere
    handle = os.open(file, os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def bring_names_to_disk(folder: Path) -> None:
    """Wait until the names that a folder holds are on the disk, where the system has that; elsewhere it does so by itself."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except (PermissionError, IsADirectoryError):
        return
    try:
        os.fsync(handle)
    except PermissionError:
        return
    finally:
        os.close(handle)


def put_in_place(part: Path, file: Path) -> None:
    """Give a finished file its name, in one step; what had that name before is gone.

    Raises
    ------
    HeldError
        When another program has one of them open and does not let go. Both are as they were.
    OSError
        When it cannot be done for another reason.
    """
    _patiently(lambda: os.replace(part, file), file)  # noqa: PTH105 - one name for what every system is asked


def put_folder_in_place(part: Path, folder: Path) -> None:
    """Give a finished folder its name. An earlier one goes, or stays where the new one cannot have it. Errors as `put_in_place`."""
    if not folder.exists():
        put_in_place(part, folder)
        return
    old = part.with_suffix(".old")
    put_in_place(folder, old)
    try:
        put_in_place(part, folder)
    except (HeldError, OSError):
        put_in_place(old, folder)
        raise
    shutil.rmtree(old)


def take_away(file: Path) -> None:
    """Remove a file if it is there. HeldError when another program does not let go of it; OSError for another reason."""
    _patiently(lambda: file.unlink(missing_ok=True), file)


def take_away_if_it_can_be(file: Path) -> None:
    """Remove what was being built; where it cannot be removed it takes room, and the next one clears it."""
    try:
        file.unlink(missing_ok=True)
    except OSError:
        return


def is_held(error: OSError) -> bool:
    """Say whether a file could not be touched because somebody has it open."""
    return getattr(error, "winerror", None) in _HELD


def why_unread(error: OSError) -> str:
    """Say in a few words why a file could not be read, so that they fit behind "cannot be read:"."""
    if is_held(error):
        return "another program has it open; close it there"
    return error.strerror or str(error)


def _patiently(doing: Callable[[], _T], file: Path) -> _T:
    until = time.monotonic() + PATIENCE_SECONDS
    while True:
        try:
            return doing()
        except OSError as error:
            if not is_held(error):
                raise
            if time.monotonic() > until:
                raise HeldError(
                    f"{file} is open in another program, so it was not replaced.",
                    "Close the other wearlog windows, the spreadsheet or the editor that has it, and try again.",
                ) from error
            time.sleep(_PAUSE_SECONDS)
