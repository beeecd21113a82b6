"""All answers of a choice as a list to type in: what is picked goes back to the question. Knows nothing of what is asked."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.widgets import Input

from wearlog.facts.plain_text import one_line
from wearlog.tui.screens.narrowing import NarrowingScreen
from wearlog.tui.widgets.list_rows import FixedSource, ListColumn, ListRow
from wearlog.tui.widgets.windowed_list import WindowedList


class PickScreen(NarrowingScreen[int | None]):
    """Gives the place of the answer that was picked; None when it was left."""

    ABOUT: ClassVar[str] = (
        "All answers to this question. Type a few letters of one; Enter or a click takes it, Esc leaves it as it was."
    )
    BINDINGS: ClassVar[list[BindingType]] = [Binding("f1", "help", "help")]

    def __init__(self, label: str, answers: Sequence[str], place: int) -> None:
        super().__init__(label, "(type a few letters)")
        self.answers = answers
        self.place = place

    def about_now(self) -> str:
        """Return the sentences of the help page."""
        return self.ABOUT

    def on_mount(self) -> None:
        """Show all answers, the cursor on the one that is chosen."""
        rows = tuple(ListRow(place, (one_line(words),)) for place, words in enumerate(self.answers))
        found = self.query_one(WindowedList)
        found.show(FixedSource((ListColumn("", 20, 200),), rows))
        found.move_to_key(self.place)

    @on(Input.Submitted)
    def _take(self) -> None:
        row = self.query_one(WindowedList).row
        if row is not None and isinstance(row.key, int):
            self.dismiss(row.key)

    def on_windowed_list_chosen(self) -> None:
        """Take what was clicked."""
        self._take()

    def action_help(self) -> None:
        """Open the help of this list."""
        self.screens.action_help()
