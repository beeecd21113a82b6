"""A farm read once and kept until something is entered: the screens ask many questions of the same log. Keeps nothing on disk."""

from __future__ import annotations

import threading
from dataclasses import replace
from datetime import datetime
from uuid import UUID

from wearlog.reckoning.farm import Farm, farm_from
from wearlog.store.connection import Connection
from wearlog.store.journal import journal_end


class KeptFarm:
    """The latest farm that was read. Threads may share it: one reads while the others wait for the same reading."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._farm: Farm | None = None
        self._newest: tuple[int, UUID | None] | None = None

    def at(self, connection: Connection, now: datetime) -> Farm:
        """Return the farm as it is in the connection's view of the log, read anew only when the journal has grown."""
        # every write leaves a deed, so the journal's end says whether anything changed
        newest = journal_end(connection)
        with self._lock:
            # with a new year another calendar year may stand for a season that nobody entered
            kept = self._farm
            if kept is None or newest != self._newest or kept.now.year != kept.settings.by_clock(now).year:
                kept = self._farm = farm_from(connection, now)
                self._newest = newest
            return replace(kept, now=kept.settings.by_clock(now))
