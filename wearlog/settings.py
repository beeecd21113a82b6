"""Preferences of this device: its name in the journal and which file it opens. Settings of the farm are facts, not these."""

from __future__ import annotations

import hashlib
import json
import os
import secrets
from contextlib import suppress
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from wearlog.places import data_folder, settings_folder, write_private


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
    for place in ("/etc/machine-id", "/var/lib/dbus/machine-id"):
        with suppress(OSError):
            if known := Path(place).read_text("ascii", "replace").strip():
                return hashlib.sha256(f"wearlog {known}".encode()).hexdigest()[:16]
    return ""


def _kept() -> object:
    """What was written down: with the settings, or where an earlier wearlog did it, beside the log."""
    for file in (_file(), data_folder() / _file().name):
        with suppress(OSError, ValueError):
            return json.loads(file.read_text("utf-8"))
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
