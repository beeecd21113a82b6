"""Where things lie on this machine: the farm's file, the device's preferences, and what was shipped with the program."""

from __future__ import annotations

import os
from pathlib import Path

from wearlog.disk import HeldError, put_in_place, take_away_if_it_can_be
from wearlog.errors import NotFoundError


def data_folder() -> Path:
    """Return the folder of the farm's own files: WEARLOG_HOME if set, else the place the system has for such data."""
    home = os.environ.get("WEARLOG_HOME")
    if home:
        return Path(home)
    from platformdirs import user_data_path

    return user_data_path("wearlog", appauthor=False)


def settings_folder() -> Path:
    """Return the folder of what belongs to this machine and not to the farm: WEARLOG_HOME if set, else the place for settings."""
    home = os.environ.get("WEARLOG_HOME")
    if home:
        return Path(home)
    from platformdirs import user_config_path

    return user_config_path("wearlog", appauthor=False)


def write_private(file: Path, text: str) -> None:
    """Write a file whole, for its owner only (0600), in a folder for its owner only. OSError when it cannot be."""
    file.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    part = file.with_name(f"{file.name}.{os.getpid()}.part")
    try:
        handle = os.open(part, os.O_CREAT | os.O_WRONLY | os.O_TRUNC, 0o600)
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as opened:
            opened.write(text)
        put_in_place(part, file)
    except (HeldError, OSError):
        take_away_if_it_can_be(part)
        raise


def default_file() -> Path:
    """Return the path of the file that is used when nobody names another."""
    return data_folder() / "farm.db"


def shipped(name: str) -> Path:
    """Return the folder `name` (migrations, demo_fleet) that came with the program, installed or in the source tree.

    Raises
    ------
    NotFoundError
        When the installation is incomplete.
    """
    package = Path(__file__).parent
    for folder in (package / f"_{name}", package.parent / name):
        if folder.is_dir():
            return folder
    raise NotFoundError(f"The folder '{name}' that belongs to the program is missing.", "Install wearlog again.")
