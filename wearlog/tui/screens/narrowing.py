"""A list over the screen that typing narrows down: the line for the letters, the list below it. What is in it, its heirs say."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar, TypeVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.widgets import Input, Static

from wearlog.facts.plain_text import one_line
from wearlog.tui.screens.over_screen import OverScreen
from wearlog.tui.widgets.best_match import MatchSource
from wearlog.tui.widgets.form_line import LineInput
from wearlog.tui.widgets.lines import BottomLines
from wearlog.tui.widgets.list_rows import ListColumn, ListOrder, ListRow
from wearlog.tui.widgets.windowed_list import WindowedList

T = TypeVar("T")


class _Letters(LineInput):
    """The line for the letters. Enter is its own key, and stands among those of the screen."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "submit", "open", tooltip="open or take what is under the cursor")
    ]


class NarrowingScreen(OverScreen[T]):
    """The line and the list; the letters go to the line while the arrows move in the list."""

    DEFAULT_CSS = """
    NarrowingScreen {
        background: $paper;
        color: $ink;
        #line { height: 1; background: $band; }
        #label { width: auto; height: 1; padding: 0 1; color: $mark; background: $band; text-style: bold; }
        Input { background: $band; color: $ink; height: 1; border: none; padding: 0; width: 1fr; }
        Input:focus { background: $band; border: none; }
        Input > .input--placeholder { color: $quiet; text-style: none; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "close", "back"),
        Binding("f1", "help", "keys"),
        *(Binding(key, f"go('{key}')", key, show=False) for key in ("up", "down", "pageup", "pagedown")),
    ]

    def __init__(self, label: str, placeholder: str) -> None:
        super().__init__()
        self.label = label
        self.placeholder = placeholder

    def compose(self) -> ComposeResult:
        with Horizontal(id="line"):
            yield Static(self.label, id="label", markup=False)
            yield _Letters(placeholder=self.placeholder, select_on_focus=False)
        found = WindowedList(empty="Nothing is called so.")
        found.row_cursor_always = True
        found.can_focus = False
        yield found
        yield BottomLines()

    @on(Input.Changed)
    def _narrow(self, event: Input.Changed) -> None:
        found = self.query_one(WindowedList)
        found.sort_by(ListOrder(words=event.value))
        if event.value.strip():
            # what Enter takes is the best match, not what stood under the cursor before
            found.action_go("home")

    def action_go(self, key: str) -> None:
        """Move in the list while the letters go to the line."""
        self.query_one(WindowedList).action_go(key)


class PickScreen(NarrowingScreen[int | None]):
    """Gives the place of the answer that was picked; None when it was left."""

    ABOUT: ClassVar[str] = (
        "All answers to this question. Type a few letters of one; Enter or a click takes it, Esc leaves it as it was."
    )

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
        found.show(MatchSource((ListColumn(f"{len(rows)} answers; Enter takes the one at >", 20, 200),), rows))
        found.move_to_key(self.place)

    @on(Input.Submitted)
    def _take(self) -> None:
        row = self.query_one(WindowedList).row
        if row is not None and isinstance(row.key, int):
            self.dismiss(row.key)

    def on_windowed_list_chosen(self) -> None:
        """Take what was clicked."""
        self._take()
