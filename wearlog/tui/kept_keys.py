"""Keys that came before their screen could do anything with them: kept in their order, and given back once it can."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from textual import events

if TYPE_CHECKING:
    from textual.screen import Screen


class KeptKeys:
    """A screen that waits says so by `holds_key`, which gets the key and returns whether it is to be kept."""

    def __init__(self) -> None:
        self._kept: list[events.Key] = []
        self._goes_on = False

    def keep(self, screen: Screen[Any], event: events.Key) -> bool:
        """Keep a key that comes too early for the screen, or behind keys that are about to be given back."""
        holds = getattr(screen, "holds_key", None)
        if not (self._goes_on or (holds is not None and holds(event))):
            return False
        self._kept.append(event)
        return True

    @property
    def count(self) -> int:
        """How many keys wait."""
        return len(self._kept)

    def go_on(self) -> bool:
        """Let no key overtake those that are given back from now on; whether there are any."""
        self._goes_on = bool(self._kept)
        return self._goes_on

    def give_back(self) -> list[events.Key]:
        """Return what was kept, as keys that nobody has had yet, as old as they are."""
        kept, self._kept, self._goes_on = self._kept, [], False
        fresh = []
        for one in kept:
            again = events.Key(one.key, one.character)
            again.time = one.time
            fresh.append(again)
        return fresh

    def drop(self) -> int:
        """Forget what was kept; how many keys that were."""
        dropped, self._kept, self._goes_on = len(self._kept), [], False
        return dropped
