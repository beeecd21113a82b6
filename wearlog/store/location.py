"""Where a log is kept, on this machine or on a PostgreSQL server, what lies beside it, and where it should not lie.

Backups, logs that were put aside and leftovers of a crash lie beside. Names only; no database is opened.
"""

from __future__ import annotations

import json
import os
import re
import time
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, datetime
from itertools import chain, count
from pathlib import Path
from typing import Final
from urllib.parse import unquote, urlsplit

from wearlog.disk import put_in_place
from wearlog.errors import UsageError
from wearlog.settings import default_file, load_preferences, settings_folder, write_private

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


#: what a file that is being built may be without growing; an older one was left over by a crash or a pulled stick
_BUILT_WITHIN_SECONDS: Final = 3600
#: folders that a system itself names in the environment; names so short, and folders so near the top, say nothing
_SYSTEMS_OWN: Final = frozenset({"HOME", "PWD", "OLDPWD", "PUBLIC", "TEMP", "TMP", "TMPDIR"})
_SHORTEST, _AT_THE_TOP = 3, 2


def backup_folder(file: Path) -> Path:
    """Return the folder beside the log where its backups lie."""
    return file.with_name(f"{file.name}-backups")


#: what a copy that is packed ends in (RFC 1952)
PACKED: Final = ".gz"


def backups(file: Path) -> list[Path]:
    """Return the daily backups of a log, oldest first: of each day the plain one, or else the packed one."""
    found = {day: path for path in daily_files(file) if (day := day_of(path)) is not None}
    return [found[day] for day in sorted(found)]


def daily_files(file: Path) -> list[Path]:
    """Return every file of the daily backups, packed ones first: of a day there are two while its copy is being packed."""
    folder = backup_folder(file)
    found = [*folder.glob(f"????-??-??.db{PACKED}"), *folder.glob("????-??-??.db")]
    return [path for path in found if day_of(path) is not None]


def copy_name(path: Path) -> str:
    """Return how a copy is called in a list: without what its name ends in, packed or not."""
    return path.name.removesuffix(PACKED).removesuffix(".db")


def day_of(path: Path) -> date | None:
    """Return which day's backup a file is by its name; None when it is none."""
    try:
        return date.fromisoformat(copy_name(path))
    except ValueError:
        return None


def backups_by_hand(file: Path) -> list[Path]:
    """Return the other copies in the folder of backups, by name: those of 'wearlog backup' and whatever a person put there."""
    return sorted(path for path in backup_folder(file).glob("*.db") if day_of(path) is None)


def logs_put_aside(file: Path) -> list[Path]:
    """Return the logs that 'restore' and 'upgrade' put aside, and what 'check --repair' left beside, by name."""
    found = [*_beside(file, f"{file.name}.before-"), *_beside(file, f"{file.name}.repaired-")]
    own = second_names(file)
    return sorted(
        path for path in found if path not in own and not path.name.endswith(("-journal", "-wal", "-shm", ".part"))
    )


def second_names(file: Path) -> list[Path]:
    """Return the names that a restore gave the log itself before it was interrupted: no copies, though they look like some."""
    found = []
    for path in _beside(file, f"{file.name}.before-restore-"):
        with suppress(OSError):
            if path.samefile(file):
                found.append(path)
    return found


def named_copy(file: Path, name: str) -> Path:
    """Return the copy that a person calls so: a day or a name of the list, or else a path."""
    listed = (*backups(file), *backups_by_hand(file), *logs_put_aside(file))
    path = Path(name).expanduser()
    packed = path.with_name(f"{path.name}{PACKED}")
    # whoever wrote down where a copy lies finds it though it was packed since
    named = packed if path.name and packed.exists() and not path.exists() else path
    return next((one for one in listed if name in (copy_name(one), one.stem, one.name)), named)


def leftover_journals(file: Path) -> list[Path]:
    """Return what a crashed writer left beside a log, which belongs to that log alone and must never be played into another."""
    beside = (file.with_name(file.name + tail) for tail in ("-journal", "-wal", "-shm"))
    return [path for path in beside if path.is_file() and path.stat().st_size > 0]


def clear_leftovers(file: Path) -> None:
    """Remove what was being built beside a log when the program died: copies and new logs without a name of their own."""
    half_built = [
        *_beside(file, f".{file.name}."),
        *_beside(file, f"{file.name}."),
        *_beside(backup_folder(file) / "any", ""),
    ]
    for path in half_built:
        if path.name.endswith((".part", ".part-journal")):
            _remove_old(path)


def _beside(file: Path, start: str) -> Iterable[Path]:
    try:
        return [path for path in file.parent.iterdir() if path.name.startswith(start)]
    except OSError:
        return []


def _remove_old(path: Path) -> None:
    try:
        if time.time() - path.stat().st_mtime > _BUILT_WITHIN_SECONDS:
            path.unlink()
    except OSError:
        # somebody else's, or gone: it only takes room
        return


def copies_words(file: Path) -> str:
    """Say which copies of a log there are, in a few words; empty when there is none."""
    days, others = backups(file), [*backups_by_hand(file), *logs_put_aside(file)]
    found = [copy_name(days[-1])] if days else [path.name.removesuffix(".db") for path in others[-1:]]
    more = len(days) + len(others) - 1
    return f"{found[0]}{f' and {more} more' if more > 0 else ''}" if found else ""


def move_aside(journals: list[Path], file: Path, kept: Path) -> None:
    """Let leftover journals follow the log that is, or was, `file` to its kept name."""
    for journal in journals:
        put_in_place(journal, kept.with_name(kept.name + journal.name.removeprefix(file.name)))


def put_journals_aside(file: Path) -> Path | None:
    """Move the journals of a log that is gone out of the way of a new one; return the name they are kept under, or None."""
    journals = leftover_journals(file)
    if not journals:
        return None
    kept = free_name(file, "before-start")
    move_aside(journals, file, kept)
    return kept.with_name(kept.name + journals[0].name.removeprefix(file.name))


def free_name(file: Path, label: str) -> Path:
    """Return a name with the time for a log that is put aside; one that was put aside in the same second keeps its own."""
    stamp = datetime.now().astimezone().strftime("%Y%m%d-%H%M%S")
    names = (file.with_name(f"{file.name}.{label}-{stamp}{tail}") for tail in chain([""], (f"-{n}" for n in count(2))))
    return next(name for name in names if not name.exists() and not leftover_journals(name))


#: file systems that lie on another machine (their names in the kernel's list of mounts)
_SHARES: Final = ("nfs", "nfs4", "cifs", "smb3", "smbfs", "9p", "afs", "fuse.sshfs")

_MOUNTS: Final = Path("/proc/mounts")

_STICK: Final = "Two machines that write at once spoil it. 'wearlog pack' and 'merge' bring two laptops together."


def told_once(file: Path) -> str:
    """Return what is to be said of the place of a log, and remember that it was said; empty where nothing is."""
    said = risk_of(file)
    if not said:
        return ""
    memory = settings_folder() / "told.json"
    known: list[str] = []
    with suppress(OSError, ValueError):
        found = json.loads(memory.read_text("utf-8"))
        known = [one for one in found if isinstance(one, str)] if isinstance(found, list) else []
    # told at every entry it would be read by nobody
    if str(file) in known:
        return ""
    with suppress(OSError):
        write_private(memory, json.dumps([*known, str(file)]) + "\n")
    return said


def risk_of(file: Path) -> str:
    """Say why a log should not lie where it lies; empty where nothing is known against it."""
    file = file.absolute()
    if _in_a_package(file):
        return (
            f"{file} lies inside the package of this Python: it goes when that Python is removed. "
            "Set WEARLOG_HOME to a folder of your own, and move the log there."
        )
    with suppress(OSError):
        if _mounted_as(file) in _SHARES:
            return f"{file} lies on a network share. {_STICK}"
        if _is_synced(file):
            return f"{file} lies in a folder that another program keeps the same on several machines. {_STICK}"
    return ""


def _in_a_package(file: Path) -> bool:
    """By where one system puts what programs of its shop write: a folder of the package, under the name of a local cache."""
    parts = [part.casefold() for part in file.parts]
    return "localcache" in parts and "packages" in parts[: parts.index("localcache")]


def _mounted_as(file: Path) -> str:
    """Return the kind of file system that a file lies on, by the longest mount above it."""
    best, kind = "", ""
    if not _MOUNTS.exists():
        return ""
    for line in _MOUNTS.read_text("utf-8", "replace").splitlines():
        words = line.split()
        if len(words) > 2:
            place = words[1].replace("\\040", " ")
            if file.is_relative_to(place) and len(place) >= len(best):
                best, kind = place, words[2]
    return kind


def _is_synced(file: Path) -> bool:
    """By what such programs leave behind: a mark at the top of their folder, a second copy called a conflict, a name for it."""
    home = Path.home()
    beside = (path.name.casefold() for path in file.parent.iterdir() if path != file)
    if any(name.startswith(file.stem.casefold()) and "conflict" in name for name in beside):
        return True
    above = [folder for folder in file.parents if folder != home and len(folder.parts) > 1]
    return any(_is_named(one) or any(_marks(path.name.casefold(), one) for path in one.iterdir()) for one in above)


def _marks(name: str, folder: Path) -> bool:
    """Whether a hidden entry says that its folder is kept so: by its words, or since it is called as the folder is."""
    return name.startswith(".") and ("sync" in name or name[1:] == _first_word(folder))


def _is_named(folder: Path) -> bool:
    """Whether the environment names a folder by the folder's own name, as programs do that put it on a laptop."""
    own = _first_word(folder)
    named = (
        value for name, value in os.environ.items() if name.casefold().startswith(own) and name not in _SYSTEMS_OWN
    )
    return len(own) > _SHORTEST and len(folder.parts) > _AT_THE_TOP and any(Path(value) == folder for value in named)


def _first_word(folder: Path) -> str:
    return folder.name.casefold().partition(" ")[0]
