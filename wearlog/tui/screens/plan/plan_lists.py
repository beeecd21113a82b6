"""The four lists of the season plan: their names, their columns, their rows out of the page. Draws nothing."""

from __future__ import annotations

from collections.abc import Hashable
from functools import partial
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final
from uuid import UUID

from textual.binding import Binding

from wearlog.facts.plain_text import one_line
from wearlog.tui.questions.plan import AreasShown, areas_now, take_out
from wearlog.tui.screens.area import AreaScreen
from wearlog.tui.widgets.list_rows import FixedSource
from wearlog.tui.widgets.sheet_rows import blocks_source, sheet_source
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from wearlog.facts.planning import PlannedArea
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.present.plan.plan_shown import PlanPage


TABS: Final = (("lines", "Replace"), ("spares", "Spares"), ("orders", "Orders"), ("areas", "Acres"))
#: action -> the lists on which it does something
ONLY_ON: Final = MappingProxyType(
    {
        "choose": ("lines",),
        "all": ("lines", "spares"),
        "receive": ("orders",),
        "order": ("orders",),
        "add_area": ("areas",),
        "take_out": ("areas", "lines"),
    }
)


def empty_words(tab: str, page: PlanPage | None) -> str:
    """Return what stands in a list without a row: what to do first, where nothing can be reckoned yet."""
    if page is None:
        return ""
    if page.hint or tab == "orders":
        return page.hint or "Nothing to order."
    sheet = page.lines if tab == "lines" else page.spares
    return f"{sheet.short().empty.removesuffix('.')}; m shows all." if sheet.rows else sheet.empty


def plan_source(tab: str, page: PlanPage | None, *, show_all: bool) -> FixedSource:
    """Return the rows of a list: all of them, or those worth a look."""
    if page is None:
        return FixedSource((), ())
    if tab == "orders":
        return blocks_source(page.orders)
    if tab == "spares":
        return _source(page.spares) if show_all else _source(page.spares.short())
    return _source(*(sheet if show_all else sheet.short() for sheet in page.listed))


def _source(*sheets: AnswerSheet[Any]) -> FixedSource:
    below = [f"{sheet.rest.removesuffix('.')}; m shows them." for sheet in sheets if sheet.rest]
    return blocks_source(sheets, below if any(sheet.rows for sheet in sheets) else ())


def row_about(tab: str, page: PlanPage | None, key: Hashable) -> str:
    """Return what is known of a row of the lines, the spares or the orders."""
    if page is None:
        return ""
    lists: dict[str, tuple[AnswerSheet[Any], ...]] = {
        "lines": (page.lines, page.undecided),
        "spares": (page.spares,),
        "orders": page.orders,
    }
    sheets = lists.get(tab, ())
    found = ((sheet, row) for sheet in sheets for row in sheet.rows if sheet.key_of(row) == key)
    return next((sheet.about(row, sheet.measures) for sheet, row in found), "")


#: on the list of areas
AREA_KEYS: Final = (
    Binding("a", "add_area", "add", tooltip="plan another area to cut"),
    Binding(
        "x,delete",
        "take_out",
        "take out",
        tooltip="take out the area under the cursor, or what was chosen by hand of a line",
    ),
)
#: what the help says while their list is open
AREAS_ABOUT: Final = (
    "What will be cut in the season, by field or by ground: the whole plan rests on it, and after each entry it is reckoned anew. "
    "a adds an area: a field brings its own size and ground, write another size like 640, 640 ac or 260 ha. Enter, or a second "
    "click, changes the area under the cursor, x takes it out, u takes back the last entry. An area that is left to no machine is "
    "shared over all of them as they work. The first area of a season begins its plan. The arrows show what to replace, the "
    "spares and the orders."
)


class PlanAreas(AreaScreen):
    """What the plan's screen does with areas."""

    areas: AreasShown | None
    tab: str

    def ask_areas(self) -> None:
        """Read the areas: they wait for no reckoning."""
        self.screens.ask(self, "areas", areas_now, self._take_areas)

    def _take_areas(self, areas: AreasShown) -> None:
        before, self.areas = self.areas, areas
        if self.tab != "areas":
            return
        self.show_areas()
        if before is not None:
            # the cursor goes to what was added or brought back
            new = {one.id for one in areas.known.areas} - {one.id for one in before.known.areas}
            if len(new) == 1:
                self.query_one("#rows", WindowedList).move_to_key(new.pop())

    def show_areas(self) -> None:
        """Show them in the list."""
        rows = self.query_one("#rows", WindowedList)
        if self.areas is None:
            rows.empty = "One moment: the log is being read."
            rows.show(FixedSource((), ()))
        else:
            begins = "" if self.areas.known.has_plan else " and begins the plan"
            year = self.areas.known.harvest_year
            rows.empty = f"Nothing to cut is planned for {year}; a adds the first area{begins}."
            rows.show(sheet_source(self.areas.sheet))
        if self.focused is None:
            rows.focus()

    def about_area(self) -> str:
        """Return what is known of the area under the cursor."""
        if self.areas is None:
            return ""
        area, sheet = self._area_here(), self.areas.sheet
        return one_line(sheet.about(area, sheet.measures)) if area is not None else ""

    def answer_of_areas(self) -> tuple[str, ...]:
        """Return the answer of the areas: how much will be cut, and where."""
        if self.areas is None:
            return ()
        sheet, year = self.areas.sheet, self.areas.known.harvest_year
        return sheet.halves if sheet.headline else (f"Nothing to cut is planned for {year}.", "a adds the first area.")

    def _area_here(self) -> PlannedArea | None:
        row = self.query_one("#rows", WindowedList).row
        if self.areas is None or row is None or not isinstance(row.key, UUID):
            return None
        return self.areas.known.area(row.key)

    def action_add_area(self) -> None:
        """Open the form of a new area."""
        self.open_area_form(None)

    def open_area_form(self, area_id: UUID | None) -> None:
        """Open the form of an area, of a new one without an id."""
        from wearlog.tui.screens.plan.enter_area import AreaToCutScreen

        if self.areas is None:
            self.say("One moment: the log is being read.")
            return
        today = self.screens.now().date()
        self.screens.push(AreaToCutScreen(self.areas.known, today, area_id))

    def action_take_out(self) -> None:
        """Take the area under the cursor out of the plan; undo brings it back."""
        area = self._area_here()
        if area is None:
            self.say("There is no area under the cursor; a adds one.", alarm=True)
            return
        self.screens.ask(self, "take_out", partial(take_out, area=area), self._taken_out)

    def _taken_out(self, sentence: str) -> None:
        self.screens.say(sentence)
        self.screens.something_entered()
