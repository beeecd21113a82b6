"""Where a log is kept: a file on this machine or a PostgreSQL server."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import parse_qsl, urlsplit

from wearlog.errors import UsageError
from wearlog.places import default_file
from wearlog.settings import load_preferences


@dataclass(frozen=True, slots=True)
class Location:
    """Exactly one of `file` and `url` is set; a URL carries no password."""

    file: Path | None = None
    url: str = ""

    @property
    def name(self) -> str:
        """How to call it in a sentence."""
        return str(self.file) if self.file else self.url.replace("+psycopg", "", 1)


def locate(named: str = "") -> Location:
    """Return where the log is: what was named, else WEARLOG_DB, else the device's preference, else the usual file.

    Raises
    ------
    UsageError
        For a URL of another kind of server, or one that carries a password.
    """
    text = named or os.environ.get("WEARLOG_DB", "") or load_preferences().location
    if not text:
        return Location(file=default_file())
    if "://" not in text:
        return Location(file=Path(text).expanduser())
    try:
        parts = urlsplit(text)
        _ = parts.port
    except ValueError as error:
        raise UsageError(f"'{text}' is not an address of a server.", "Write postgresql://HOST/NAME.") from error
    if parts.scheme not in ("postgresql", "postgres"):
        raise UsageError(
            f"'{parts.scheme}://' is not a place wearlog can keep a log.", "Name a file or postgresql://HOST/NAME."
        )
    # libpq takes it as a parameter as well
    if parts.password is not None or "password" in dict(parse_qsl(parts.query)):
        raise UsageError(
            "The address of the server holds a password.",
            "Leave it out and put it into ~/.pgpass, a PGSERVICE entry or PGPASSWORD, where it cannot end up in a log.",
        )
    # not by geturl(), which drops the slashes of postgresql:///farm (this machine's server, or a PGSERVICE)
    return Location(url="postgresql+psycopg://" + text.partition("://")[2])
