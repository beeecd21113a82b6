"""The history of the log: deeds as people did them, latest first."""

from __future__ import annotations

from wearlog.facts.farm_settings import FarmSettings
from wearlog.store.finding import settings_of
from wearlog.store.journal import DeedLine, deed_lines
from wearlog.store.opening import Store


def recent_deeds(store: Store, count: int, before: DeedLine | None = None) -> tuple[tuple[DeedLine, ...], FarmSettings]:
    """Return the latest deeds (before a line, to page back) and the settings to show them with."""
    with store.reading() as connection:
        rows = tuple(deed_lines(connection, limit=count, before=before))
        return rows, settings_of(connection)
