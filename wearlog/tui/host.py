"""What the app does for its screens and widgets: asks, says, opens. Stands below them, so that none of them imports the app."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any, Protocol, TypeVar, cast
from uuid import UUID

if TYPE_CHECKING:
    from pathlib import Path

    from textual.dom import DOMNode
    from textual.screen import Screen
    from textual.signal import Signal
    from textual.widget import Widget

    from wearlog.errors import WearlogError
    from wearlog.tui.door import Door
    from wearlog.tui.remembered import Found, Remembered
    from wearlog.tui.spells import Spells

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class AreaTab:
    """An area of the program: `mode` is its name in the app, `key` opens it, `about` says what it answers."""

    mode: str
    key: str
    title: str
    about: str = ""


class Asker(Protocol):
    """What a widget needs: an answer from the log, and the line in which something is said."""

    def ask(
        self,
        owner: Widget,
        key: str,
        question: Callable[[Door], T],
        then: Callable[[T], None],
        failed: Callable[[WearlogError], None] | None = None,
    ) -> None:
        """Run a question in a thread and hand its answer to `then`; see `Gateway.ask`."""

    def say(self, sentence: str, *, alarm: bool = False) -> None:
        """Show a sentence in the line above the keys, on whatever screen is open."""


class Host(Asker, Protocol):
    """What a screen needs besides: to open another, to tell that something was entered, and what was looked at last."""

    area_tabs: tuple[AreaTab, ...]
    #: what the command palette found when it was last open
    names: tuple[Found, ...]
    remembered: Remembered
    #: the component that the machine screen shall open on, until it has
    component_wanted: UUID | None
    #: the part that the stock shall open on, until it has
    part_wanted: UUID | None
    log_changed: Signal[None]
    #: what was typed into the lines of a printed sheet and not saved: by its mark, then by the line
    kept_typed: dict[str, dict[str, str]]
    #: which cautions were read for which task
    spells: Spells

    @property
    def screen(self) -> Screen[Any]:
        """The screen that is open."""

    def said_on_the_way(self) -> tuple[str, bool]:
        """Return what was said while the screen changed, and whether it was an alarm; what was read before is gone."""

    def action_open_area(self, mode: str) -> None:
        """Open an area, or one of its sections that is a screen of its own."""

    def sections_of(self, area: str) -> tuple[tuple[str, str], ...]:
        """Return the sections of an area that are screens of their own: the mode and name of each."""

    def push(self, screen: Screen[T], then: Callable[[T | None], None] | None = None) -> None:
        """Open a screen over the one that is open."""

    def has_asked(self, screen: Screen[Any]) -> None:
        """A screen has asked for all that it begins with; until the answers are there its keys are kept."""

    def keys_go_on(self) -> None:
        """Let what was pressed too early be done now, on the screen that is open."""

    def is_clicked_early(self, key: str) -> bool:
        """Keep a key that was clicked before the open screen has its answers, as one that was pressed; whether that was so."""

    def keys_are_dropped(self) -> None:
        """Forget what was pressed too early: the screen that it was meant for is left."""

    def now(self) -> datetime:
        """The time by the farm's clock, with its zone."""

    def something_entered(self) -> None:
        """Tell every open screen that the log has changed."""

    def look_at_machine(self, machine_id: UUID, component_id: UUID | None = None) -> None:
        """Open the screen of a machine, on one of its components if one is named."""

    def open_papers(self) -> None:
        """Open the list of what can be brought in: notebooks, notes and printed sheets."""

    def open_found(self, found: Found) -> None:
        """Open what the palette found, where it has a screen."""

    def log_replaced(self, error: WearlogError) -> None:
        """Ask whether the log that lies in the place of the open one shall be opened."""

    def action_undo(self) -> None:
        """Take back the last entry of this device."""

    def open_note(self, path: Path) -> None:
        """Open a note of many lines, or all the notes of a folder."""

    def action_help(self) -> None:
        """Open the help of the screen that is open."""

    def action_use_theme(self, name: str) -> None:
        """Change the colours and remember them."""


def host_of(node: DOMNode) -> Host:
    """Return the program that shows this widget or screen."""
    return cast("Host", node.app)
