"""The history of the log: deeds as people did them, latest first."""

from __future__ import annotations

from datetime import datetime

from wearlog.facts.farm_settings import FarmSettings
from wearlog.store.finding import settings_of
from wearlog.store.journal import DeedLine, deed_lines
from wearlog.store.opening import Store


def recent_deeds(store: Store, count: int, before: datetime | None = None) -> tuple[tuple[DeedLine, ...], FarmSettings]:
    """Return the latest deeds (before an instant, to page back) and the settings to show them with."""
    with store.reading() as connection:
        rows = tuple(deed_lines(connection, limit=count, before=before))
        return rows, settings_of(connection)
