"""What a question gets: the log, and the farm as it was last read. Questions run in threads and touch no widget."""

from __future__ import annotations

import threading
from datetime import datetime
from typing import TYPE_CHECKING, Any

from wearlog.machine_clock import machine_now

if TYPE_CHECKING:
    from wearlog.facts.farm_settings import FarmSettings
    from wearlog.logbook.open_log import Connection, Store
    from wearlog.reckoning.farm import Farm


class Door:
    """What a question gets: the log, opened by the first question that needs it, and the farm as it was last read."""

    def __init__(self, location_text: str) -> None:
        self.location_text = location_text
        self._lock = threading.Lock()
        self._log: Store | None = None
        self._kept: Any = None
        self._settings: FarmSettings | None = None

    @property
    def log(self) -> Store:
        """The open log. Any of wearlog's errors when it cannot be opened; the next question tries again."""
        with self._lock:
            if self._log is None:
                from wearlog.logbook.open_log import open_log, settings_of

                self._log = open_log(self.location_text)
                with self._log.reading() as connection:
                    self._settings = settings_of(connection)
            return self._log

    def farm(self, connection: Connection) -> Farm:
        """The farm in this connection's view, read anew only when something was entered since."""
        with self._lock:
            if self._kept is None:
                from wearlog.reckoning.farm import KeptFarm

                self._kept = KeptFarm()
        farm: Farm = self._kept.at(connection, self.now())
        self._settings = farm.settings
        return farm

    def now(self) -> datetime:
        """The time on this machine's clock, with its zone."""
        return machine_now()

    def farm_now(self) -> datetime:
        """The same by the farm's clock, once its log is open."""
        return self._settings.by_clock(self.now()) if self._settings is not None else self.now()

    def open_anew(self) -> None:
        """Forget the log that was open, whose file was replaced, and what was read of it: the next question opens the new one."""
        self.close()
        with self._lock:
            self._kept, self._settings = None, None

    def close(self) -> None:
        with self._lock:
            if self._log is not None:
                self._log.close()
                self._log = None
