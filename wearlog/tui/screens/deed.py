"""One entry of the history, row by row: what each row of the log said before and after it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar
from uuid import UUID

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from wearlog.facts.plain_text import one_line
from wearlog.tui.host import Host, host_of
from wearlog.tui.questions.history import DeedRows, RowKey
from wearlog.tui.screens.ask_undo import take_back
from wearlog.tui.widgets.lines import BottomLines, SayLine
from wearlog.tui.widgets.windowed_list import WindowedList


class DeedScreen(ModalScreen[None]):
    """The rows of one deed; under the list the one under the cursor in full."""

    ABOUT: ClassVar[str] = (
        "Every row of the log that this entry wrote. Under the list stands the row under the cursor in full: each field with what "
        "it says, or what it said before and says now. u takes the whole entry back."
    )
    DEFAULT_CSS = """
    DeedScreen {
        background: $paper;
        color: $ink;
        #title { dock: top; height: auto; max-height: 3; background: $band; color: $mark; text-style: bold; padding: 0 1; }
        #details { height: auto; max-height: 50%; padding: 0 1; background: $paper; color: $ink; border-top: solid $quiet; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q", "close", "back"),
        Binding("u", "undo_this", "undo this", tooltip="take this whole entry back"),
        Binding("f1,question_mark", "help", "help", key_display="?"),
    ]

    def __init__(self, deed_id: UUID, cells: Sequence[str]) -> None:
        super().__init__()
        self.deed_id = deed_id
        self.cells = cells

    def compose(self) -> ComposeResult:
        entered, by, mark, said, rows = self.cells
        title = f"{entered} on {by}: {said} ({rows} {'row' if rows == '1' else 'rows'}{', ' + mark if mark else ''})"
        yield Static(Text(one_line(title), end=""), id="title", markup=False)
        yield WindowedList(empty="This entry wrote nothing.")
        with VerticalScroll(id="details", can_focus=False):
            yield Static("", id="fields", markup=False)
        yield BottomLines()

    @property
    def screens(self) -> Host:
        """The app."""
        return host_of(self)

    def about_now(self) -> str:
        """Return the sentences of the help page."""
        return self.ABOUT

    def on_mount(self) -> None:
        """Fetch the rows."""
        rows = self.query_one(WindowedList)
        rows.focus()
        self.call_after_refresh(rows.show, DeedRows(self.deed_id))

    def on_windowed_list_moved(self, message: WindowedList.Moved) -> None:
        """Show the row under the cursor in full."""
        key = message.row.key if message.row is not None else None
        details = "\n".join(key.details) if isinstance(key, RowKey) else ""
        self.query_one("#fields", Static).update(Text(details, end=""))

    def say(self, sentence: str, *, alarm: bool = False) -> None:
        """Show a sentence in this screen's line."""
        self.query_one(SayLine).say(sentence, alarm=alarm)

    def action_undo_this(self) -> None:
        """Take the entry back; a refusal is said here, else the history says what was done."""
        take_back(self.screens, self, self._taken_back, self.deed_id)

    def _taken_back(self, said: str) -> None:
        self.dismiss()
        self.app.call_after_refresh(self.screens.say, f"{said}. u on it takes that back again.")
        self.screens.something_entered()

    def action_help(self) -> None:
        """Open the help of this screen."""
        self.screens.action_help()

    def action_close(self) -> None:
        """Go back."""
        self.dismiss()
