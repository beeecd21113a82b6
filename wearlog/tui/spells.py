"""Which cautions were read for which task, in the spell of work that is going on. Kept until the screens are closed."""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from wearlog.facts.closed_lists import Hazard

#: as long as nothing of the kind was taken up for so long, a new spell of work begins (common practice, no source)
SPELL: Final = timedelta(hours=4)


class Spells:
    """The cautions that were read. A task is one machine and one kind of danger; its spell goes on while it is worked on."""

    def __init__(self) -> None:
        self._read: dict[tuple[Hashable, Hazard], datetime] = {}

    def unread(self, machine: Hashable, hazards: Iterable[Hazard], now: datetime) -> tuple[Hazard, ...]:
        """Return the dangers to life that nobody has read of in this spell; those that were read go on being read."""
        from wearlog.facts.cautions import RISKS_A_LIFE

        risky = tuple(dict.fromkeys(one for one in hazards if one in RISKS_A_LIFE))
        found = tuple(one for one in risky if not self._is_read((machine, one), now))
        self.read(machine, (one for one in risky if one not in found), now)
        return found

    def _is_read(self, task: tuple[Hashable, Hazard], now: datetime) -> bool:
        at = self._read.get(task)
        # a clock that was set back makes a spell no longer
        return at is not None and timedelta() <= now - at < SPELL

    def read(self, machine: Hashable, hazards: Iterable[Hazard], now: datetime) -> None:
        """Remember that these cautions were read of a machine."""
        for one in hazards:
            self._read[machine, one] = now

    def forget(self) -> None:
        """Somebody else works on: what another one has read does not count."""
        self._read.clear()
