"""The season plan: what to replace or run, spares, orders; a choice shows its sums at once. Reckoned and saved elsewhere."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import partial
from typing import TYPE_CHECKING, ClassVar, Final
from uuid import UUID

from rich.text import Text
from textual.app import RenderResult
from textual.binding import Binding, BindingType
from textual.widget import Widget
from textual.widgets import Static

from wearlog.errors import WearlogError
from wearlog.facts.closed_lists import Choice
from wearlog.facts.plain_text import one_line
from wearlog.tui.questions.planning import (
    PlanOnScreen,
    choose_at_once,
    line_choices,
    plan_now,
    receive,
    save_choices,
    settle,
    write_order,
)
from wearlog.tui.screens.area import AreaScreen
from wearlog.tui.widgets.lines import plain_line
from wearlog.tui.widgets.list_rows import FixedSource, ListColumn, ListRow
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from wearlog.present.plan_rows import PlanPage
    from wearlog.tui.gateway import Door

_LINES: Final = (
    ListColumn("", 3, 3),
    ListColumn("part", 18, 40),
    ListColumn("which", 8, 16, weight=3),
    ListColumn("age", 9, 10, figures=True, weight=2),
    ListColumn("limit", 9, 10, figures=True, weight=4),
    ListColumn("saves", 7, 8, figures=True),
    ListColumn("sure", 9, 9, figures=True, weight=1),
    ListColumn("says", 13, 13),
)
_SPARES: Final = (
    ListColumn("number", 8, 14),
    ListColumn("part", 16, 34),
    ListColumn("on hand", 7, 8, figures=True),
    ListColumn("expected", 8, 8, figures=True, weight=2),
    ListColumn("buy", 8, 8, figures=True),
    ListColumn("runs out", 9, 9, figures=True),
    ListColumn("hours lost", 10, 10, figures=True, weight=1),
)
_ORDERS: Final = (
    ListColumn("number", 8, 14),
    ListColumn("part", 16, 40),
    ListColumn("packs", 8, 10, figures=True, weight=1),
    ListColumn("pieces", 6, 8, figures=True),
    ListColumn("each", 9, 11, figures=True),
    ListColumn("sum", 9, 12, figures=True),
)
TABS: Final = (("lines", "1 Replace or run"), ("spares", "2 Spares"), ("orders", "3 Orders"))


class TabLine(Widget):
    """The three lists of the plan, the one that is shown in brackets."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {"tab-line--here"}
    DEFAULT_CSS = """
    TabLine {
        height: 1;
        padding: 0 1;
        background: $paper;
        color: $ink;
        & .tab-line--here { color: $mark; background: $paper; text-style: bold; }
    }
    """

    here = "lines"
    note = ""

    def show(self, here: str, note: str = "") -> None:
        """Show which list is open, and a few words beside."""
        self.here, self.note = here, note
        self.refresh()

    def render(self) -> RenderResult:
        line = Text(no_wrap=True, overflow="ellipsis", end="")
        style = self.get_component_rich_style("tab-line--here")
        for name, words in TABS:
            line.append(f"[{words}]" if name == self.here else f" {words} ", style if name == self.here else "")
        return line.append(f"  {self.note}")


class SeasonPlanScreen(AreaScreen):
    """The plan of the next season."""

    AREA: ClassVar[str] = "plan"
    ABOUT: ClassVar[str] = (
        "What to replace before the season and what to run, the largest saving first. [x] is in the plan. Space puts the line "
        "under the cursor in or takes it out: the sums change at once, and then the rest of the money is spent anew. A * marks "
        "what is not saved yet; Ctrl+S saves all of it as one entry, Esc drops it. 'saves' is what replacing saves on the mean, "
        "'sure' how sure it is that it saves anything; 'either way' stands where the saving lies within its own uncertainty. "
        "Enter shows why: age, life, chance of failing, the cost of each choice, and what all of it rests on. 2 shows the spares "
        "to carry, 3 the orders by supplier; X, C and H write files into the folder where wearlog was started. Areas to cut are "
        "planned by 'wearlog plan area'."
    )
    DEFAULT_CSS = """
    SeasonPlanScreen {
        #about { height: auto; max-height: 2; padding: 0 1; background: $band; color: $ink; }
        #sums { height: auto; max-height: 5; padding: 0 1; background: $band; color: $ink; }
        #care { height: auto; max-height: 4; padding: 0 1; background: $paper; color: $alarm; text-style: bold; }
        #line { height: auto; max-height: 3; padding: 0 1; background: $paper; color: $ink; }
        #rows { height: 1fr; min-height: 4; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space", "choose", "replace/run", tooltip="put the line into the plan, or take it out"),
        Binding("ctrl+s", "save", "save", tooltip="save the choices as one entry"),
        Binding("l", "limits", "limits", tooltip="money and shop hours of the plan"),
        Binding("tab", "tab", "next list", tooltip="the next of the three lists"),
        Binding("1", "tab('lines')", "replace or run", show=False, tooltip="what to replace or run"),
        Binding("2", "tab('spares')", "spares", show=False, tooltip="spares to carry"),
        Binding("3", "tab('orders')", "orders", show=False, tooltip="orders by supplier"),
        Binding("a", "all", "all", tooltip="also what is best run as it is, and parts there is enough of"),
        Binding("g", "figures", "figures", show=False, tooltip="let the figures decide on the line"),
        Binding("X", "write('xlsx')", "order as workbook", tooltip="write the order list as a workbook"),
        Binding("C", "write('csv')", "as CSV", tooltip="write the order list as CSV, a file for each supplier"),
        Binding("H", "write('html')", "as a page", show=False, tooltip="write the plan as a page to print"),
        Binding("r", "receive", "receive", tooltip="put the supplier's order under the cursor into stock"),
        Binding("escape", "drop", "drop", show=False, tooltip="drop choices that are not saved"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.shown: PlanOnScreen | None = None
        #: what was chosen since the plan was read: component -> choice; None leaves it to the figures
        self.choices: dict[UUID, Choice | None] = {}
        self.tab = "lines"
        self.show_all = False
        self._is_stale = False

    def body(self) -> Iterable[Widget]:
        yield Static("Reckoning the plan: ages, lives, prices ...", id="about", markup=False)
        yield Static("", id="sums", markup=False)
        yield TabLine()
        yield Static("", id="care", markup=False)
        yield WindowedList(FixedSource(_LINES, ()), id="rows")
        yield Static("", id="line", markup=False)

    # reading ------------------------------------------------------------------------------------------------------

    def refresh_answer(self) -> None:
        # a plan takes a while to reckon: never behind the back of somebody who works on another screen
        if self.screens.screen is not self:
            self._is_stale = True
            return
        self._is_stale = False
        self.screens.gateway.ask(self, "plan", plan_now, self._take, self._failed)

    def on_screen_resume(self) -> None:
        super().on_screen_resume()
        if self._is_stale:
            self.refresh_answer()

    def _failed(self, error: WearlogError) -> None:
        self.query_one("#about", Static).update(Text(f"{error.message} {error.hint}".strip(), end=""))

    def _take(self, shown: PlanOnScreen) -> None:
        ids = {row.component_id for row in shown.page.lines}
        self.choices = {one: choice for one, choice in self.choices.items() if one in ids}
        self._show(shown)
        if self.choices:
            self._ask_settled()

    @property
    def page(self) -> PlanPage | None:
        """The plan in words."""
        return self.shown.page if self.shown is not None else None

    def _show(self, shown: PlanOnScreen) -> None:
        self.shown = shown
        page = shown.page
        self.query_one("#about", Static).update(plain_line(page.about))
        self._show_sums()
        self._show_rows()
        if self.focused is None:
            self.query_one("#rows", WindowedList).focus()

    def _show_sums(self) -> None:
        page = self.page
        if page is None:
            return
        sums = page.sums
        unsaved = f"  * {len(self.choices)} not saved: Ctrl+S saves, Esc drops" if self.choices else ""
        text = Text(end="")
        text.append(f"{sums.pay}; {sums.saving}; {sums.shop}\n", "bold")
        text.append(f"{sums.stops}\n{sums.parts} {one_line(page.bound)}")
        self.query_one("#sums", Static).update(text)
        self.query_one(TabLine).show(self.tab, unsaved)
        care = self.query_one("#care", Static)
        wanted = page.cautions if self.tab == "lines" else ()
        care.display = bool(wanted)
        # the whole of each stands on the page of its why
        text = Text("\n".join(f"CARE {one_line(one)}" for one in wanted), no_wrap=True, overflow="ellipsis", end="")
        care.update(text)

    # the lists ----------------------------------------------------------------------------------------------------

    def _show_rows(self) -> None:
        rows = self.query_one("#rows", WindowedList)
        source = {"lines": self._line_source, "spares": self._spare_source, "orders": self._order_source}[self.tab]()
        rows.empty = {
            "lines": "Nothing pays to replace before the season; a shows every component.",
            "spares": "No part in the log fits anything on the fleet." if not self._has_spares else "There is enough.",
            "orders": "Nothing to order.",
        }[self.tab]
        rows.show(source)

    @property
    def _has_spares(self) -> bool:
        return bool(self.page and self.page.spares)

    def _line_source(self) -> FixedSource:
        lines = self.page.lines if self.page else ()
        listed = self.page.listed if self.page else frozenset()
        shown = [one for one in lines if self.show_all or one.number in listed or one.changed]
        return FixedSource(_LINES, tuple(ListRow(one.component_id, one.cells) for one in shown))

    def _spare_source(self) -> FixedSource:
        spares = self.page.spares if self.page else ()
        shown = [one for one in spares if self.show_all or not one.enough]
        return FixedSource(_SPARES, tuple(ListRow(one.part_id, one.cells) for one in shown))

    def _order_source(self) -> FixedSource:
        rows: list[ListRow] = []
        for block in self.page.orders if self.page else ():
            rows.append(ListRow(block.supplier, (one_line(block.heading),), heading=True))
            rows += [ListRow((block.supplier, one.part_id), one.cells) for one in block.rows]
        return FixedSource(_ORDERS, tuple(rows))

    def on_windowed_list_moved(self) -> None:
        """Say what is known of the row under the cursor."""
        row = self.query_one("#rows", WindowedList).row
        said: Sequence[str] = ()
        if row is not None and self.page is not None:
            if self.tab == "lines":
                said = [one.about for one in self.page.lines if one.component_id == row.key]
            elif self.tab == "spares":
                said = [one.about for one in self.page.spares if one.part_id == row.key]
        self.query_one("#line", Static).update(Text(one_line(" ".join(said)), end=""))

    def action_tab(self, tab: str = "") -> None:
        """Show a list, or the next one."""
        names = [name for name, _ in TABS]
        self.tab = tab or names[(names.index(self.tab) + 1) % len(names)]
        self.query_one("#rows", WindowedList).cursor = 0
        self._show_sums()
        self._show_rows()

    def action_all(self) -> None:
        """Show every row, or only those worth a look."""
        self.show_all = not self.show_all
        self._show_rows()

    # choosing -----------------------------------------------------------------------------------------------------

    def action_choose(self) -> None:
        """Put the line under the cursor into the plan, or take it out; a second time it is as it was saved."""
        row = self.query_one("#rows", WindowedList).row
        page = self.page
        if self.tab != "lines" or row is None or page is None or not isinstance(row.key, UUID):
            return
        if row.key in self.choices:
            del self.choices[row.key]
        else:
            line = next(one for one in page.lines if one.component_id == row.key)
            self.choices[row.key] = Choice.RUN if line.in_plan else Choice.REPLACE
        self._choose()

    def action_figures(self) -> None:
        """Let the figures decide on the line under the cursor."""
        row = self.query_one("#rows", WindowedList).row
        if self.tab == "lines" and row is not None and isinstance(row.key, UUID):
            self.choices[row.key] = None
            self._choose()

    def _choose(self) -> None:
        if self.shown is not None:
            question = partial(choose_at_once, shown=self.shown, choices=dict(self.choices))
            self.screens.gateway.ask(self, "choose", question, self._chosen)

    def _chosen(self, shown: PlanOnScreen) -> None:
        self._show(shown)
        self._ask_settled()

    def _ask_settled(self) -> None:
        if self.shown is not None:
            question = partial(settle, shown=self.shown, choices=dict(self.choices))
            self.screens.gateway.ask(self, "choose", question, self._show)

    def action_drop(self) -> None:
        """Drop what is not saved."""
        if self.choices:
            self.choices = {}
            self._choose()
            self.say("Dropped; the plan is as it was saved.")

    def action_save(self) -> None:
        """Save the choices as one entry."""
        page, shown = self.page, self.shown
        if page is None or shown is None or not self.choices:
            self.say("There is no choice to save; Space chooses otherwise for a line.", alarm=True)
            return
        year = page.harvest_year or self.screens.gateway.door.now().year + 1
        chosen = dict(self.choices)

        def save(door: Door) -> str:
            return save_choices(door, year, line_choices(shown, chosen))

        self.screens.gateway.ask(self, "save", save, self._saved)

    def _saved(self, sentence: str) -> None:
        self.choices = {}
        self.screens.say(sentence)
        self.screens.something_entered()

    # other screens and files --------------------------------------------------------------------------------------

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Show why."""
        from wearlog.tui.screens.plan_why import PlanWhyScreen

        if self.tab == "lines" and self.shown is not None and isinstance(message.row.key, UUID):
            line = next(one for one in self.shown.page.lines if one.component_id == message.row.key)
            self.screens.push_screen(PlanWhyScreen(self.shown, line.number))

    def action_limits(self) -> None:
        """Open the form of money and shop hours."""
        from wearlog.tui.screens.plan_limits import PlanLimitsScreen

        if self.page is not None:
            year = self.page.harvest_year or self.screens.gateway.door.now().year + 1
            self.screens.push_screen(PlanLimitsScreen(year, self.page.has_limits))

    def action_write(self, form: str) -> None:
        """Write the order or the plan into a file."""
        if self.shown is not None:
            self.say("Writing ...")
            self.screens.gateway.ask(self, "write", partial(write_order, shown=self.shown, form=form), self.say)

    def action_receive(self) -> None:
        """Put the order of the supplier under the cursor into stock."""
        row = self.query_one("#rows", WindowedList).row
        if self.tab != "orders" or row is None or not isinstance(row.key, tuple) or self.shown is None:
            self.say("Go to the orders (3) and put the cursor on a line of the order that came.", alarm=True)
            return
        question = partial(receive, shown=self.shown, supplier=row.key[0])
        self.screens.gateway.ask(self, "receive", question, self._received)

    def _received(self, sentence: str) -> None:
        self.screens.say(sentence)
        self.screens.something_entered()
