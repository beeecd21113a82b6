"""What every screen over another can: speak, tell of itself, ask the app, go back."""

from __future__ import annotations

from typing import ClassVar, TypeVar

from textual.screen import ModalScreen

from wearlog.tui.host import Host, host_of
from wearlog.tui.widgets.lines import SayLine

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
