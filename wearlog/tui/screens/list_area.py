"""An area that is one long list: type to filter, order by any column, the cursor stays on its row while the log changes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.widget import Widget
from textual.widgets import Input

from wearlog.tui.screens.area import AreaScreen
from wearlog.tui.widgets.line_input import LineInput
from wearlog.tui.widgets.list_rows import ListOrder, ListSource
from wearlog.tui.widgets.windowed_list import WindowedList


class ListArea(AreaScreen):
    """Subclasses give `EMPTY`, `usual_order` and `source`."""

    AUTO_FOCUS = "#rows"
    #: what stands there while the list has no row, and what to do first
    EMPTY: ClassVar[str] = "Nothing yet."
    DEFAULT_CSS = """
    ListArea {
        #filter { display: none; height: 1; border: none; padding: 0 1; background: $band; color: $ink; }
        #filter:focus { border: none; background: $band; }
        #filter.-open { display: block; }
        #filter > .input--placeholder { color: $quiet; text-style: none; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("slash", "filter", "filter", tooltip="show only rows with these words"),
        Binding("escape", "all", "all rows", show=False, tooltip="clear the filter"),
        Binding("o", "order", "order", tooltip="order by the next column"),
        Binding("O", "turn", "turn round", show=False, tooltip="turn the order round"),
    ]

    #: the order in which the list opens
    usual_order: ListOrder = ListOrder()

    def body(self) -> Iterable[Widget]:
        yield LineInput(placeholder="words that must occur in the row", id="filter", select_on_focus=False)
        yield WindowedList(empty=self.EMPTY, id="rows")

    def source(self) -> ListSource | None:
        """Where the rows come from; None while that is not known yet."""
        return None

    @property
    def rows(self) -> WindowedList:
        """The list."""
        return self.query_one("#rows", WindowedList)

    def refresh_answer(self) -> None:
        source = self.source()
        if source is None:
            return
        rows = self.rows
        rows.show(source, rows.order if rows.count is not None else self.usual_order)
        if self.focused is None:
            rows.focus()

    @on(Input.Changed, "#filter")
    def _filter_changed(self, event: Input.Changed) -> None:
        self.rows.sort_by(replace(self.rows.order, words=event.value))

    @on(Input.Submitted, "#filter")
    def _filter_done(self) -> None:
        self.rows.focus()

    def action_filter(self) -> None:
        """Open the filter line."""
        line = self.query_one("#filter", Input)
        line.add_class("-open")
        line.focus()

    def action_all(self) -> None:
        """Clear the filter and close its line."""
        line = self.query_one("#filter", Input)
        line.value = ""
        line.remove_class("-open")
        self.rows.focus()

    def action_order(self) -> None:
        """Order by the next column that can be ordered by."""
        names = [column.sort for column in self.rows.source.columns if column.sort]
        if names:
            at = names.index(self.rows.order.sort) if self.rows.order.sort in names else -1
            self.rows.sort_by(replace(self.rows.order, sort=names[(at + 1) % len(names)], backwards=False))

    def action_turn(self) -> None:
        """Turn the order round."""
        self.rows.sort_by(replace(self.rows.order, backwards=not self.rows.order.backwards))
