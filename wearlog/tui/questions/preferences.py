"""Questions about the settings of the farm and of this device."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from wearlog.errors import RefusedError
from wearlog.facts.farm_settings import FarmSettings
from wearlog.settings import load_preferences, save_preferences

if TYPE_CHECKING:
    from wearlog.tui.door import Door


@dataclass(frozen=True, slots=True)
class SettingsStart:
    """What the settings are now; `device_is_fixed` when the environment names it."""

    settings: FarmSettings
    log_name: str
    device: str
    device_is_fixed: bool


def settings_start(door: Door) -> SettingsStart:
    """Read them."""
    from wearlog.logbook.doors import location_name, settings_of

    with door.log.reading() as connection:
        settings = settings_of(connection)
    fixed = bool(os.environ.get("WEARLOG_DEVICE", "").strip())
    return SettingsStart(settings, location_name(door.location_text), door.log.device, fixed)


def save_settings(door: Door, contents: Mapping[str, str], device: str) -> str:
    """Save the settings of the farm that changed, as one entry, and the name of this device if it was given another."""
    from wearlog.logbook.farm_setting import change_settings

    said = []
    if device:
        try:
            save_preferences(replace(load_preferences(), device=device))
        except OSError as error:
            raise RefusedError(f"The name of this device cannot be kept: {error.strerror}.") from error
        door.log.device = device
        said.append(f"this device is {device} from now on")
    if contents:
        said.insert(0, change_settings(door.log, contents).said)
    if not said:
        return "Nothing was changed."
    return f"Saved: {'; '.join(said)}.{' u undoes.' if contents else ''}"
