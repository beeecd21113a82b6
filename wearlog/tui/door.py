"""What a question gets: the log, and the farm as it was last read. Questions run in threads and touch no widget."""

from __future__ import annotations

import threading
from datetime import datetime
from typing import TYPE_CHECKING, Any, Protocol, TypeAlias

from wearlog.errors import RefusedError
from wearlog.machine_clock import machine_now

if TYPE_CHECKING:
    from wearlog.facts.farm_settings import FarmSettings
    from wearlog.logbook.open_log import Connection, Store
    from wearlog.present.yard.yard_glance_page import YardPage
    from wearlog.reckoning.farm import Farm


#: what is another after every entry
LogState: TypeAlias = tuple[object, ...]


class ToldAhead(Protocol):
    """What was reckoned of the log while the screens were loading."""

    def page(self, wanted: str) -> tuple[YardPage, LogState] | None:
        """Wait for a page and return it with the state of the log that it tells of; None where it cannot be had."""

    def end(self) -> None:
        """Nothing more is wanted."""


class Door:
    """What a question gets: the log, opened by the first question that needs it, and the farm as it was last read."""

    def __init__(self, location_text: str, ahead: ToldAhead | None = None) -> None:
        self._ahead = ahead
        self._is_all_told = False
        #: the screens were closed
        self.is_left = False
        #: the state of the log that a page tells of which was reckoned ahead, until somebody looked whether it is so still
        self._told_of: LogState | None = None
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

    @property
    def is_told_ahead(self) -> bool:
        """Whether the next page may come without this log being opened here."""
        return self._ahead is not None and not self._is_all_told and self._log is None

    def told_ahead(self, wanted: str) -> YardPage | None:
        """Wait for a page that is reckoned ahead: `glance`, then `yard`. None where it must be reckoned here.

        It is good while the log was not opened here: until then nothing can have been entered here. RefusedError once the screens
        were left: nobody waits for what would be reckoned then.
        """
        told = self._ahead.page(wanted) if self._ahead is not None and self.is_told_ahead else None
        self._is_all_told = wanted == "yard"
        if self.is_left:
            raise RefusedError("The screens were closed, so this was not worked out.")
        if told is None or self._log is not None:
            self._end_ahead()
            return None
        page, self._told_of = told
        self._settings = page.machines.measures.settings
        return page

    def is_as_told(self) -> bool:
        """Whether the log is as the page that was reckoned ahead tells it; asked once, and always so where there was none."""
        # not before: until a process is gone wholly takes as long as a paint
        self._end_ahead()
        told_of, self._told_of = self._told_of, None
        if told_of is None:
            return True
        from wearlog.logbook.open_log import log_state

        return log_state(self.log) == told_of

    def leave(self) -> None:
        """The screens close: let go what is reckoned ahead, and whoever waits for it. What is being saved goes on to its end."""
        self.is_left = True
        self._end_ahead()

    def _end_ahead(self) -> None:
        ahead, self._ahead = self._ahead, None
        if ahead is not None:
            ahead.end()

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
        self._end_ahead()
        with self._lock:
            if self._log is not None:
                self._log.close()
                self._log = None
