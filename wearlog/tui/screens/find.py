"""The palette: type a few letters and find any action, area, set of colours, machine, component, part or fault."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.dom import DOMNode
from textual.screen import ModalScreen, Screen
from textual.widgets import Input, Static

from wearlog.facts.plain_text import one_line
from wearlog.tui.questions.looking import Found, names
from wearlog.tui.themes import INKS
from wearlog.tui.widgets.line_input import LineInput
from wearlog.tui.widgets.lines import BottomLines, own_bindings, shown_key
from wearlog.tui.widgets.list_rows import FixedSource, ListColumn, ListOrder, ListRow
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from wearlog.tui.app import Screens

_COLUMNS = (ListColumn("what", 10, 10), ListColumn("name", 20, 80), ListColumn("key", 6, 10, weight=1))


@dataclass(frozen=True, slots=True)
class Doable:
    """An action and where it is done."""

    action: str
    node: DOMNode


class FindScreen(ModalScreen[None]):
    """The palette over the screen that was open."""

    DEFAULT_CSS = """
    FindScreen {
        background: $paper;
        #line { height: 1; background: $band; }
        #label { width: 7; height: 1; padding-left: 1; color: $mark; background: $band; text-style: bold; }
        Input { background: $band; color: $ink; height: 1; border: none; padding: 0; width: 1fr; }
        Input:focus { background: $band; border: none; }
        Input > .input--placeholder { color: $quiet; text-style: none; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "close", "back"),
        *(Binding(key, f"go('{key}')", key, show=False) for key in ("up", "down", "pageup", "pagedown")),
    ]

    def __init__(self, over: Screen[Any]) -> None:
        super().__init__()
        self.over = over
        self._actions = _actions(over)

    def compose(self) -> ComposeResult:
        with Horizontal(id="line"):
            yield Static("Find", id="label", markup=False)
            yield LineInput(placeholder="an action, machine, part or fault", select_on_focus=False)
        found = WindowedList(empty="Nothing is called so.")
        found.row_cursor_always = True
        found.can_focus = False
        yield found
        yield BottomLines()

    @property
    def screens(self) -> Screens:
        """The app."""
        return self.app  # type: ignore[return-value]

    def on_mount(self) -> None:
        """Show the actions at once; the names come when they were read."""
        self._show(self.screens.names)
        self.screens.gateway.ask(self, "names", names, self._take_names, lambda _: None)

    def _take_names(self, found: tuple[Found, ...]) -> None:
        self.screens.names = found
        self._show(found)

    def _show(self, found: tuple[Found, ...]) -> None:
        named = tuple(ListRow(one, (one.what, one_line(one.name), "")) for one in found)
        order = ListOrder(words=self.query_one(Input).value)
        self.query_one(WindowedList).show(FixedSource(_COLUMNS, (*self._actions, *named)), order)

    @on(Input.Changed)
    def _filter(self, event: Input.Changed) -> None:
        self.query_one(WindowedList).sort_by(ListOrder(words=event.value))

    @on(Input.Submitted)
    def _open(self) -> None:
        row = self.query_one(WindowedList).row
        if row is not None:
            self._do(row)

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Open what was clicked."""
        self._do(message.row)

    def _do(self, row: ListRow) -> None:
        self.dismiss()
        if isinstance(row.key, Found):
            if row.key.machine_id is not None and row.key.what != "fault":
                component_id = row.key.row_id if row.key.what == "component" else None
                self.screens.look_at_machine(row.key.machine_id, component_id)
            else:
                self.screens.open_found(row.key)
            return
        if isinstance(row.key, Doable):
            self.app.call_later(self.app.run_action, row.key.action, row.key.node)

    def action_go(self, key: str) -> None:
        """Move in the list while the letters go to the line."""
        self.query_one(WindowedList).action_go(key)

    def action_close(self) -> None:
        """Go back."""
        self.dismiss()


def _actions(over: Screen[Any]) -> tuple[ListRow, ...]:
    rows: dict[str, ListRow] = {}
    for active in own_bindings(over.active_bindings.values()):
        binding = active.binding
        words = binding.tooltip or binding.description
        what = "area" if binding.action.startswith("open_area") else "action"
        rows[binding.action] = ListRow(Doable(binding.action, active.node), (what, words, shown_key(binding)))
    for name in INKS:
        action = f"use_theme('{name}')"
        rows[action] = ListRow(Doable(action, over.app), ("colours", name, ""))
    return tuple(rows.values())
