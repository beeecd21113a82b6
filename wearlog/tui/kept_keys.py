"""Keys that came before their screen could do anything with them: kept in their order, and given back once it can."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from textual import events

if TYPE_CHECKING:
    from textual.screen import Screen

#: seconds after which what is kept for so long is not done any more, and said to be lost
LONGEST_KEPT: Final = 10.0


class KeptKeys:
    """A screen that waits by itself says so by `holds_key`, which gets the key and returns whether it is to be kept."""

    def __init__(self) -> None:
        self._kept: list[events.Key | events.Paste] = []
        self._goes_on = False

    def keep(self, screen: Screen[Any], event: events.Key | events.Paste, *, is_opening: bool) -> bool:
        """Keep what comes too early for the screen, or behind keys that are about to be given back; Esc never waits for a screen.

        A screen that is still opening does at once what it names in `AT_ONCE`, unless something waits already.
        """
        if not self._goes_on and _is_escape(event):
            return False
        waits = is_opening and (bool(self._kept) or not _done_at_once(screen, event))
        if not (self._goes_on or waits or _held_by(screen, event)):
            return False
        self._kept.append(event)
        return True

    def line_up(self, event: events.Key | events.Paste) -> bool:
        """Take a key that nobody keeps, to be given back in its turn; not where others wait for a screen of theirs."""
        if self._kept:
            return False
        self._kept.append(event)
        return True

    @property
    def count(self) -> int:
        """How many wait."""
        return len(self._kept)

    @property
    def is_giving(self) -> bool:
        """Whether what was kept is being given back."""
        return self._goes_on

    def go_on(self) -> bool:
        """Let no key overtake those that are given back from now on; whether there are any that are not on their way already."""
        if self._goes_on or not self._kept:
            return False
        self._goes_on = True
        return True

    def next_for(self, screen: Screen[Any], *, is_opening: bool) -> events.Key | events.Paste | None:
        """Return the next that the screen can take, as one that nobody has had yet, as old as it is; None where it waits still."""
        if is_opening:
            # Esc says that what was pressed before it is not wanted any more
            escapes = [place for place, one in enumerate(self._kept) if _is_escape(one)]
            del self._kept[: escapes[-1] if escapes else 0]
        first = self._kept[0] if self._kept else None
        goes = first is not None and (not is_opening or _is_escape(first) or _done_at_once(screen, first))
        fresh = _again(first) if first is not None and goes else None
        if fresh is None or _held_by(screen, fresh):
            self._goes_on = False
            return None
        del self._kept[0]
        return fresh

    def drop(self) -> int:
        """Forget what was kept; how many keys that were."""
        dropped, self._kept, self._goes_on = len(self._kept), [], False
        return dropped


def _is_escape(event: events.Key | events.Paste) -> bool:
    return isinstance(event, events.Key) and event.key == "escape"


def _done_at_once(screen: Screen[Any], event: events.Key | events.Paste) -> bool:
    return isinstance(event, events.Key) and event.key in getattr(screen, "AT_ONCE", ())


def _held_by(screen: Screen[Any], event: events.Key | events.Paste) -> bool:
    holds = getattr(screen, "holds_key", None)
    return holds is not None and isinstance(event, events.Key) and bool(holds(event))


def _again(event: events.Key | events.Paste) -> events.Key | events.Paste:
    fresh = events.Paste(event.text) if isinstance(event, events.Paste) else events.Key(event.key, event.character)
    fresh.time = event.time
    return fresh
