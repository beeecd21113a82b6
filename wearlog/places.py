"""Where things lie on this machine: the farm's file, the device's preferences, and what was shipped with the program."""

from __future__ import annotations

import os
from pathlib import Path

from wearlog.errors import NotFoundError


def data_folder() -> Path:
    """Return the folder of the farm's own files: WEARLOG_HOME if set, else the place the system has for such data."""
    home = os.environ.get("WEARLOG_HOME")
    if home:
        return Path(home)
    from platformdirs import user_data_path

    return user_data_path("wearlog", appauthor=False)


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
