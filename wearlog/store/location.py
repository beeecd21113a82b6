"""Where a log is kept: a file on this machine or a PostgreSQL server."""

from __future__ import annotations

import os
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Final
from urllib.parse import unquote, urlsplit

from wearlog.errors import UsageError
from wearlog.places import default_file
from wearlog.settings import load_preferences

#: what libpq takes as a secret, in an address or in its own form `host=shed password=...`
_SECRETS: Final = ("password", "sslpassword")
_NO_PASSWORD: Final = (
    "The address of the server holds a password.",
    "Leave it out and put it into ~/.pgpass, a PGSERVICE entry or PGPASSWORD, where it cannot end up in a log.",
)


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
        if _holds_secret(text):
            raise UsageError(*_NO_PASSWORD)
        return Location(file=Path(text).expanduser())
    # looked at first: no other sentence about such an address may repeat it
    if _holds_secret(text):
        raise UsageError(*_NO_PASSWORD)
    try:
        parts = urlsplit(text)
        _ = parts.port
    except ValueError as error:
        raise UsageError(f"'{text}' is not an address of a server.", "Write postgresql://HOST/NAME.") from error
    if parts.scheme not in ("postgresql", "postgres"):
        raise UsageError(
            f"'{parts.scheme}://' is not a place wearlog can keep a log.", "Name a file or postgresql://HOST/NAME."
        )
    # not by geturl(), which drops the slashes of postgresql:///farm (this machine's server, or a PGSERVICE)
    return Location(url="postgresql+psycopg://" + text.partition("://")[2])


def _holds_secret(text: str) -> bool:
    """Say whether an address, however it is spoilt, holds a password: `user:password@`, a parameter, or libpq's own form."""
    _, slashes, rest = text.partition("://")
    if not slashes:
        # with a slash too few it would be taken for a file, and named
        if not text.startswith(("postgresql:", "postgres:", "host=", "dbname=", "user=", "service=")):
            return False
        rest = text.partition(":")[2].lstrip("/")
    names = "|".join(_SECRETS)
    named = re.search(rf"(?:^|[?&\s])(?:{names})\s*=", unquote(text), re.IGNORECASE)
    host, _, after = re.sub(r"[/?#]", "\n", rest, count=1).partition("\n")
    user = host.rpartition("@")[0]
    # a slash in a password that was not escaped ends the name of the host too early: what stands as its port is then no number
    cut_short = not user and "@" in after and re.search(r":(?!\d*$)", host) is not None and not host.startswith("[")
    return named is not None or ":" in user or cut_short
