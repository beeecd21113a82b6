"""The wear of all kinds of part, those that the coming acres threaten most first; Enter opens one."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import TYPE_CHECKING, ClassVar
from uuid import UUID

from rich.text import Text
from textual.binding import Binding, BindingType
from textual.widget import Widget
from textual.widgets import Static

from wearlog.tui.questions.wear import WearShown, wear
from wearlog.tui.screens.list_area import ListArea
from wearlog.tui.screens.sections import WORKING, draw_picture, picture_text
from wearlog.tui.widgets.lines import plain_line
from wearlog.tui.widgets.list_rows import ListOrder
from wearlog.tui.widgets.sheet_rows import sheet_source
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from collections.abc import Sequence

#: a chart under the list needs so many lines of screen
_TALL = 32
_CHART = 15


class WearScreen(ListArea):
    """The kinds."""

    AREA: ClassVar[str] = "wear"
    ABOUT: ClassVar[str] = (
        "Every kind of part, those first of which most is expected to break in the acres ahead. ahead: to break, each part now on "
        "once, by wear and by stones; failures, below the list: the successors of what breaks counted too, as in the plan. "
        "'+3?': three more parts are in none of it, since nobody knows their age. weakest: the chance of "
        "the weakest single part to last the season by wear; FAILED: broken or past its limit, and still on. lasts: half of "
        "them last so long, in brackets the 90 % interval of that; B10: one in ten is gone by then. fails: wear-out (the "
        "older, the sooner), early (the newer, the sooner), chance (age does not matter), unclear. rate: breakages of any "
        "cause per 1,000 acres (or hectares). rests on: how many were seen to wear out, of so many lives; '+ guess': the "
        "starting guess of the trade counts too; 'guess only': nothing else speaks yet. Below the list the same in full for "
        "the kind under the cursor. Enter opens a kind: its chart of survival, its parts, where stones hit, measurements, "
        "seasons, and why. t shows the chart below, or the list alone; a also lists the kinds that sit on no machine."
    )
    EMPTY: ClassVar[str] = "Nothing is fitted yet; a lists every kind."
    DEFAULT_CSS = """
    WearScreen {
        #ahead { height: auto; max-height: 2; padding: 0 1; background: $band; color: $ink; }
        #kind { height: auto; max-height: 5; padding: 0 1; background: $paper; color: $ink; }
        #survival { display: none; height: auto; padding: 0 1; background: $paper; color: $ink; text-wrap: nowrap; }
        #survival.-there { display: block; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("t", "twin", "chart/table", tooltip="the chart of the kind under the cursor, or the list alone"),
        Binding("a", "every", "all kinds", tooltip="also the kinds that sit on no machine, or only those that do"),
    ]
    usual_order = ListOrder()

    def __init__(self) -> None:
        super().__init__()
        self.shown: WearShown | None = None
        self.as_table = False
        self.every = False

    def body(self) -> Iterable[Widget]:
        yield Static(WORKING, id="ahead", markup=False)
        yield from super().body()
        yield Static("", id="kind", markup=False)
        yield Static("", id="survival", markup=False)

    def refresh_answer(self) -> None:
        if self.shown is not None:
            self.query_one("#ahead", Static).update(WORKING)
        self.screens.ask(self, "wear", partial(wear, every=self.every), self._show)

    def _show(self, shown: WearShown) -> None:
        self.shown = shown
        self.query_one("#ahead", Static).update(plain_line(shown.sheet.headline))
        rows = self.rows
        rows.show(sheet_source(shown.sheet), rows.order)
        if self.focused is None:
            rows.focus()

    def on_windowed_list_moved(self) -> None:
        """Say what is most threatened of the kind under the cursor, and draw its chart where there is room."""
        row, about = self.rows.row, ""
        if self.shown is not None:
            sheet, kind = self.shown.sheet, self.shown.row(row.key if row is not None else None)
            about = sheet.about(kind, sheet.measures) if kind is not None else "" if sheet.rows else sheet.empty
        self.query_one("#kind", Static).update(Text(about, end=""))
        self._draw()

    def on_resize(self) -> None:
        """The chart is there where the screen is high enough."""
        self._draw()

    def _draw(self) -> None:
        row, chart = self.rows.row, self.query_one("#survival", Static)
        there = row is not None and self.shown is not None and self.size.height >= _TALL and not self.as_table
        chart.set_class(there, "-there")
        if there and row is not None and self.shown is not None:
            wide = min(self.size.width - 3, 110)
            question = partial(draw_picture, self.shown.picture, row.key, (wide, _CHART), as_table=False)
            self.screens.ask(self, "picture", question, self._put)

    def _put(self, lines: Sequence[str]) -> None:
        self.query_one("#survival", Static).update(picture_text(lines or ("How long it lasts nobody knows yet.",)))

    def action_every(self) -> None:
        """List the kinds that sit on no machine too, or only those that do."""
        self.every = not self.every
        self.refresh_answer()

    def action_twin(self) -> None:
        """Show the chart, or the list alone."""
        if self.size.height < _TALL:
            self.say(f"The chart has room here from {_TALL} lines on; Enter opens the kind with its chart.")
            return
        self.as_table = not self.as_table
        self._draw()

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Open the kind."""
        from wearlog.tui.screens.kind import KindScreen

        if isinstance(message.row.key, UUID):
            self.screens.push(KindScreen(message.row.key, message.row.cells[0]))
