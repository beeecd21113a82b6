"""What every screen over another can: speak, tell of itself, ask the app, go back, and tell a doubt once before it saves.

A doubt is settled by saving again, and forgotten when the answers change or by Esc.
"""

from __future__ import annotations

from time import monotonic
from typing import TYPE_CHECKING, ClassVar, Final, TypeVar

from textual.screen import ModalScreen

from wearlog.tui.host import Host, host_of
from wearlog.tui.widgets.lines import SayLine

if TYPE_CHECKING:
    from wearlog.errors import DoubtError


T = TypeVar("T")


class OverScreen(ModalScreen[T]):
    """A screen over the one that was open; its `BottomLines` hold the line in which something is said."""

    ABOUT: ClassVar[str] = ""

    @property
    def screens(self) -> Host:
        """The app."""
        return host_of(self)

    def about_now(self) -> str:
        """Return the sentences of the help page."""
        return self.ABOUT

    def say(self, sentence: str, *, alarm: bool = False) -> None:
        """Show a sentence in this screen's line."""
        self.query_one(SayLine).say(sentence, alarm=alarm)

    def action_help(self) -> None:
        """Open the help of this screen."""
        self.screens.action_help()

    def action_close(self) -> None:
        """Go back; nothing was chosen."""
        self.dismiss(None)


#: seconds that a doubt must have stood before Enter is its answer: a key held down, or pressed twice, has not read it
LONG_ENOUGH_TO_READ: Final = 0.5


class Doubts:
    """The doubt that stands open, and those that a person has settled."""

    def __init__(self) -> None:
        self.settled: frozenset[str] = frozenset()
        self._open = ""
        self._told_at = 0.0

    @property
    def is_open(self) -> bool:
        """A doubt was told and nobody has answered it."""
        return bool(self._open)

    @property
    def is_unread(self) -> bool:
        """It was told so short a time ago that no key can be meant for it."""
        return self.is_open and monotonic() - self._told_at < LONG_ENOUGH_TO_READ

    def tell(self, error: DoubtError) -> str:
        """Open a doubt and return its question with the keys that answer it."""
        self._open, self._told_at = error.doubt, monotonic()
        return f"{error.message} {error.question} Enter: yes. Esc: no."

    def settle(self) -> None:
        """Saving again was the answer."""
        if self._open:
            self.settled, self._open = self.settled | {self._open}, ""

    def drop(self) -> None:
        """The answer was no: what was typed is to be mended."""
        self._open = ""

    def forget(self) -> None:
        """What was doubted may have been changed: all of it is asked again."""
        self.settled, self._open = frozenset(), ""
