"""Where a log should not lie: in a folder that a program keeps the same on several machines, or on a network share. Told once."""

from __future__ import annotations

import json
from contextlib import suppress
from pathlib import Path
from typing import Final

from wearlog.places import settings_folder, write_private

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
    """By what such programs leave behind: a hidden mark at the top of their folder, or a second copy called a conflict."""
    home = Path.home()
    beside = (path.name.casefold() for path in file.parent.iterdir() if path != file)
    if any(name.startswith(file.stem.casefold()) and "conflict" in name for name in beside):
        return True
    above = [folder for folder in file.parents if folder != home and len(folder.parts) > 1]
    return any(path.name.startswith(".") and "sync" in path.name.casefold() for one in above for path in one.iterdir())
