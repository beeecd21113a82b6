"""A list over the screen that typing narrows down: the line for the letters, the list below it. What is in it, its heirs say."""

from __future__ import annotations

from typing import ClassVar, TypeVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from wearlog.tui.host import Host, host_of
from wearlog.tui.widgets.line_input import LineInput
from wearlog.tui.widgets.lines import BottomLines
from wearlog.tui.widgets.list_rows import ListOrder
from wearlog.tui.widgets.windowed_list import WindowedList

T = TypeVar("T")


class NarrowingScreen(ModalScreen[T]):
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
        *(Binding(key, f"go('{key}')", key, show=False) for key in ("up", "down", "pageup", "pagedown")),
    ]

    def __init__(self, label: str, placeholder: str) -> None:
        super().__init__()
        self.label = label
        self.placeholder = placeholder

    def compose(self) -> ComposeResult:
        with Horizontal(id="line"):
            yield Static(self.label, id="label", markup=False)
            yield LineInput(placeholder=self.placeholder, select_on_focus=False)
        found = WindowedList(empty="Nothing is called so.")
        found.row_cursor_always = True
        found.can_focus = False
        yield found
        yield BottomLines()

    @property
    def screens(self) -> Host:
        """The app."""
        return host_of(self)

    @on(Input.Changed)
    def _narrow(self, event: Input.Changed) -> None:
        self.query_one(WindowedList).sort_by(ListOrder(words=event.value))

    def action_go(self, key: str) -> None:
        """Move in the list while the letters go to the line."""
        self.query_one(WindowedList).action_go(key)

    def action_close(self) -> None:
        """Go back; nothing was picked."""
        self.dismiss(None)
