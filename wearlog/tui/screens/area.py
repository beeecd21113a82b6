"""What all areas share: the top line, the line of what was said, the keys, and being told when something was entered."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from textual.app import ComposeResult
from textual.screen import Screen
from textual.widget import Widget

from wearlog.tui.host import Host, host_of
from wearlog.tui.widgets.lines import BottomLines, SayLine, TopLine


class AreaScreen(Screen[None]):
    """A screen of an area. Subclasses give `AREA`, `ABOUT`, `body` and `refresh_answer`."""

    AREA: ClassVar[str] = ""
    #: screens say themselves what gets the keys, once there is something to move in
    AUTO_FOCUS = ""
    #: a few plain sentences for the help page
    ABOUT: ClassVar[str] = ""
    DEFAULT_CSS = """
    AreaScreen {
        background: $paper;
        color: $ink;
    }
    """

    def compose(self) -> ComposeResult:
        yield TopLine(self.screens.area_tabs, self.AREA)
        yield from self.body()
        yield BottomLines()

    def body(self) -> Iterable[Widget]:
        """Return what stands between the top line and the line of what was said."""
        return ()

    def about_now(self) -> str:
        """Return the sentences of the help page."""
        return self.ABOUT

    def refresh_answer(self) -> None:
        """Ask the gateway for what this screen shows; called when it opens and when something was entered."""

    @property
    def screens(self) -> Host:
        """The app."""
        return host_of(self)

    def on_mount(self) -> None:
        """Ask after the first paint, never before: the empty screen is there at once."""
        self.screens.log_changed.subscribe(self, lambda _: self.refresh_answer())
        self.call_after_refresh(self.refresh_answer)

    def on_screen_resume(self) -> None:
        """Show the sentence that was said while another screen was open."""
        self.query_one(SayLine).say(self.screens.last_said, alarm=self.screens.last_alarm)

    def say(self, sentence: str, *, alarm: bool = False) -> None:
        """Show a sentence in this screen's line."""
        self.query_one(SayLine).say(sentence, alarm=alarm)
