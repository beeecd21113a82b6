"""What all areas share: the top line, the line of what was said, the keys, and being told when something was entered."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Input

from wearlog.tui.host import Host, host_of
from wearlog.tui.widgets.form_line import LineInput
from wearlog.tui.widgets.lines import BottomLines, SayLine, TopLine
from wearlog.tui.widgets.list_rows import ListOrder, ListSource
from wearlog.tui.widgets.windowed_list import WindowedList


class AreaScreen(Screen[None]):
    """A screen of an area. Subclasses give `AREA`, `ABOUT`, `body` and `refresh_answer`."""

    AREA: ClassVar[str] = ""
    #: actions that come first in the last line, behind that of Enter
    FOOT: ClassVar[tuple[str, ...]] = ()
    #: it begins with an answer of the log: until that is there keys are kept, but for those that need none of it
    ASKS_FIRST: ClassVar[bool] = True
    AT_ONCE: ClassVar[frozenset[str]] = frozenset("0123456789") | {
        *("question_mark", "f1", "colon", "ctrl+p", "ctrl+t", "q", "ctrl+q")
    }
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
        self.call_after_refresh(self._ask_first)

    def _ask_first(self) -> None:
        self.refresh_answer()
        self.screens.has_asked(self)

    def on_screen_resume(self) -> None:
        """Show the sentence that was said on the way here; what was read elsewhere does not follow."""
        sentence, alarm = self.screens.said_on_the_way()
        self.query_one(SayLine).say(sentence, alarm=alarm)

    def say(self, sentence: str, *, alarm: bool = False) -> None:
        """Show a sentence in this screen's line."""
        self.query_one(SayLine).say(sentence, alarm=alarm)


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
