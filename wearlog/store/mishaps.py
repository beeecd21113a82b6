"""What can go wrong with a file or a server, turned into a sentence, a hint and an exit code."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError

from wearlog.errors import ConflictError, NotFoundError, RefusedError, WearlogError
from wearlog.store.kept_copies import copies_words
from wearlog.store.location import Location
from wearlog.store.server_mishaps import explain_server

_MAGIC = b"SQLite format 3\x00"


def not_ours(location: Location) -> RefusedError:
    return RefusedError(
        f"{location.name} is not a wearlog file.", "Name the right file with --db, or move this one out of the way."
    )


def damaged(location: Location) -> RefusedError:
    return RefusedError(
        f"{location.name} is damaged.",
        "Keep a copy of it, then run 'wearlog restore' to go back to the last good backup.",
    )


@contextmanager
def explained(location: Location, *, writes: bool = True) -> Iterator[None]:
    """Turn an error of the database driver into one of ours; anything else passes through.

    Parameters
    ----------
    writes : bool
        Whether what is done in the block was to save something.
    """
    try:
        yield
    except DBAPIError as error:
        raise _explain(location, error.orig, writes=writes) from error
    except sqlite3.Error as error:
        raise _explain_file(location, error) from error
    except UnicodeDecodeError as error:
        # what the driver quotes of a spoilt file is no text either
        raise damaged(location) from error
    except Exception as error:
        # histories are read past SQLAlchemy; the server's driver is loaded only where there is a server
        if type(error).__module__.partition(".")[0] != "psycopg":
            raise
        raise _explain(location, error, writes=writes) from error


def _explain(location: Location, error: BaseException | None, *, writes: bool) -> WearlogError:
    if isinstance(error, sqlite3.Error):
        return _explain_file(location, error)
    return explain_server(location, error, writes=writes)


def _explain_file(location: Location, error: sqlite3.Error) -> WearlogError:
    name = getattr(error, "sqlite_errorname", "") or ""
    place = location.name
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return ConflictError(
            f"{place} is in use by another program.", "Close the other window, or try again in a moment."
        )
    if name.startswith("SQLITE_READONLY"):
        return RefusedError(
            f"{place} can only be read, so nothing was saved.", "Check the file's and the folder's permissions."
        )
    if name.startswith("SQLITE_FULL"):
        return RefusedError(
            "The disk is full, so nothing was saved.", "Make room and enter it again; what was saved before is safe."
        )
    if name.startswith("SQLITE_NOTADB"):
        return not_ours(location)
    if name.startswith("SQLITE_CORRUPT"):
        return damaged(location)
    if name.startswith("SQLITE_CANTOPEN"):
        return NotFoundError(
            f"{place} cannot be opened.", "Check that the folder is there and that you may write to it."
        )
    if name.startswith("SQLITE_IOERR"):
        return RefusedError(f"Reading or writing {place} failed ({error}).", "Check the disk or stick it lies on.")
    # by its class too: the driver has no name for every kind of constraint (a text in a column of whole numbers)
    if name.startswith("SQLITE_CONSTRAINT") or isinstance(error, sqlite3.IntegrityError):
        return RefusedError(f"That does not fit the log ({error}).", "Nothing was saved.")
    return WearlogError(f"{place}: {error}.", "Run 'wearlog check'.")


def look_at_header(location: Location, application_id: int) -> None:
    """Read the first 100 bytes of the file: refuse one that is not ours before any database code touches it."""
    assert location.file is not None
    try:
        with location.file.open("rb") as opened:
            header = opened.read(100)
    except (FileNotFoundError, NotADirectoryError) as error:
        if copies := copies_words(location.file):
            raise NotFoundError(
                f"There is no log at {location.name}, but there are copies of it: {copies}.",
                "'wearlog restore' lists them, 'wearlog restore NAME' brings one back; "
                "to begin anew move them away, or name another file with --db.",
            ) from error
        raise NotFoundError(
            f"There is no log at {location.name} yet.",
            "Start one with 'wearlog import' or 'wearlog add', or name a file with --db.",
        ) from error
    except IsADirectoryError as error:
        raise not_ours(location) from error
    except OSError as error:
        raise RefusedError(
            f"{location.name} cannot be read: {error.strerror}.", "Check the disk and the file's permissions."
        ) from error
    if not header.startswith(_MAGIC) or int.from_bytes(header[68:72]) != application_id:
        raise not_ours(location)
