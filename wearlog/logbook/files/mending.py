"""Looking through a log and mending it, for those above the logbook, who never import the store themselves."""

from __future__ import annotations

from wearlog.store.inspection import LogInspection, inspect_log
from wearlog.store.repair import Repaired, repair

__all__ = ["LogInspection", "Repaired", "inspect_log", "repair"]
