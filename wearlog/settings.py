"""What is this device's own: where things lie on it, its name in the journal, which log it opens. The farm's settings are facts."""

from __future__ import annotations

import os
from contextlib import suppress
from dataclasses import asdict, dataclass, replace
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


@dataclass(frozen=True, slots=True)
class Preferences:
    """What this device remembers. `location` is a path or a postgresql:// URL without a password; empty = the usual file.

    `person` is who enters things here; empty = nobody said.
    """

    device: str = ""
    location: str = ""
    person: str = ""


def _file() -> Path:
    return settings_folder() / "device.json"


def _machine() -> str:
    """Say which machine this is, without telling anything of it; empty where it does not know itself."""
    import hashlib

    for place in ("/etc/machine-id", "/var/lib/dbus/machine-id"):
        with suppress(OSError):
            if known := Path(place).read_text("ascii", "replace").strip():
                return hashlib.sha256(f"wearlog {known}".encode()).hexdigest()[:16]
    return ""


def _kept() -> object:
    """What was written down: with the settings, or where an earlier wearlog did it, beside the log."""
    for file in (_file(), data_folder() / _file().name):
        with suppress(OSError, ValueError):
            words = file.read_text("utf-8")
            # the screens are painted before anything is read or written: none of this is loaded until then
            import json

            return json.loads(words)
    return None


def load_preferences() -> Preferences:
    """Read the device's preferences; a missing or spoilt file gives the usual ones."""
    kept = _kept()
    if not isinstance(kept, dict):
        return Preferences()
    machine = _machine()
    said = {name: str(kept.get(name, "")) for name in Preferences.__dataclass_fields__}
    # copied here with the log from another machine: its name is that machine's, and undo would take back what was entered there
    if machine and kept.get("machine", machine) != machine:
        said["device"] = ""
    return Preferences(**said)


def save_preferences(preferences: Preferences) -> None:
    """Write the preferences whole: the file is never half-written."""
    import json

    machine = _machine()
    said = asdict(preferences) | ({"machine": machine} if machine else {})
    write_private(_file(), json.dumps(said, indent=1) + "\n")


def device_name() -> str:
    """Return this device's name in the journal: WEARLOG_DEVICE if set, else one made up once and remembered."""
    named = os.environ.get("WEARLOG_DEVICE", "").strip()
    if named:
        return named
    preferences = load_preferences()
    if preferences.device:
        return preferences.device
    import secrets

    made = f"device-{secrets.token_hex(3)}"
    try:
        save_preferences(replace(preferences, device=made))
    except OSError:
        # a read-only home still lets a person read the log; the name then lasts for this run only
        return made
    return made


def remember_person(name: str) -> None:
    """Let everything entered on this device from now on be noted as done by this person; empty forgets it."""
    save_preferences(replace(load_preferences(), person=name))
