"""Preferences of this device: its name in the journal and which file it opens. Settings of the farm are facts, not these."""

from __future__ import annotations

import json
import os
import secrets
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from wearlog.places import data_folder


@dataclass(frozen=True, slots=True)
class Preferences:
    """What this device remembers. `location` is a path or a postgresql:// URL without a password; empty = the usual file.

    `person` is who enters things here; empty = nobody said.
    """

    device: str = ""
    location: str = ""
    person: str = ""


def _file() -> Path:
    return data_folder() / "device.json"


def load_preferences() -> Preferences:
    """Read the device's preferences; a missing or spoilt file gives the usual ones."""
    try:
        kept = json.loads(_file().read_text("utf-8"))
    except (OSError, ValueError):
        return Preferences()
    if not isinstance(kept, dict):
        return Preferences()
    return Preferences(**{name: str(kept.get(name, "")) for name in Preferences.__dataclass_fields__})


def save_preferences(preferences: Preferences) -> None:
    """Write the preferences whole: the file is never half-written."""
    file = _file()
    file.parent.mkdir(parents=True, exist_ok=True)
    part = file.with_suffix(".part")
    part.write_text(json.dumps(asdict(preferences), indent=1) + "\n", "utf-8")
    part.replace(file)


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
