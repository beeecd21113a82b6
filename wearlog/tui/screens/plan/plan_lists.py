"""The four lists of the season plan with their columns and rows, and what is done from them: limits, areas, why a line says so."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Sequence
from functools import partial
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, ClassVar, Final
from uuid import UUID

from rich.text import Text
from textual.binding import Binding, BindingType

from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.plain_text import one_line
from wearlog.logbook.deed_sentences import limits_said, plan_sentence
from wearlog.logbook.said.measures import FarmSpeaker, hours, money
from wearlog.present.digits import amount, number
from wearlog.tui.questions.plan import (
    AreasShown,
    PlanOnScreen,
    areas_now,
    save_limits,
    take_out,
    why,
)
from wearlog.tui.screens.area import AreaScreen
from wearlog.tui.screens.cautions import CAUTIONS_KEY, show_cautions
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.screens.reading_page import ReadingPage
from wearlog.tui.typed import optional
from wearlog.tui.widgets.form_line import FormField, FormLine
from wearlog.tui.widgets.list_rows import FixedSource, blocks_source, sheet_source
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from textual.screen import Screen

    from wearlog.facts.work import PlannedArea
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.present.plan.plan_shown import PlanPage
    from wearlog.present.plan.why_shown import WhyShown
    from wearlog.tui.door import Door


class PlanLimitsScreen(FormScreen):
    """The form of the limits."""

    ABOUT: ClassVar[str] = (
        "What the parts may cost and how many hours of work the shop has before the season. Nothing typed means no limit. The plan "
        "then chooses what saves most within both; what you chose by hand stands whatever it costs."
    )

    def __init__(self, harvest_year: int, limits: tuple[int | None, int | None], settings: FarmSettings) -> None:
        super().__init__()
        self.harvest_year = harvest_year
        self.limits = limits
        self.settings = settings

    def heading(self) -> str:
        return f"MONEY AND SHOP HOURS OF {self.harvest_year}"

    def questions(self) -> Iterable[FormLine]:
        budget, shop = self.limits
        start = "" if budget is None else amount(budget).removesuffix(".00")
        yield FormField("budget", "Money", _none_or(money), start=start, hint="no limit", say=_money)
        start = "" if shop is None else number(shop / 3600, 1).removesuffix(".0")
        yield FormField("shop", "Shop hours", _none_or(hours), start=start, hint="no limit", say=_hours)

    def summary(self) -> str:
        limits = limits_said(FarmSpeaker(self.settings), self.answer("budget"), self.answer("shop"))
        return plan_sentence(self.harvest_year, [limits])

    def saving(self) -> Callable[[Door], str]:
        return partial(_save, year=self.harvest_year, budget=self.answer("budget"), shop=self.answer("shop"))


def _save(door: Door, year: int, budget: int | None, shop: int | None) -> str:
    from wearlog.logbook.plan.planning import PlanLimits

    return save_limits(door, year, PlanLimits(budget, shop))


def _none_or(read: Callable[[str], int]) -> Callable[[str], int | None]:
    """Read an amount, or the words for no limit."""

    def read_it(text: str) -> int | None:
        return None if one_line(text).casefold() in ("none", "no limit") else optional(read)(text)

    return read_it


def _money(minor: int | None) -> str:
    return "no limit" if minor is None else amount(minor)


def _hours(seconds: int | None) -> str:
    return "no limit" if seconds is None else f"{number(seconds / 3600, 1).removesuffix('.0')} h"


#: columns from which on the second half of an answer stands over what scrolls
_ROOM_FOR_SECOND: Final = 60


class PlanWhyScreen(ReadingPage):
    """The page of one line of the plan."""

    METHODS: ClassVar[str] = "Replace or run"
    ABOUT: ClassVar[str] = (
        "What the figures say of one component and why. The strips stand in seasons of use on its machine: the grey is lived by "
        "the oldest, the bracket is where half of its like have failed, with 90 %; the upright line below is the age past which "
        "replacing one pays. Below, the same in words: every number has what it rests on beside it, own records, a published "
        "value, or a guess that says so. Costs are those of the seasons to come, later ones counting less. n and N go through "
        "the lines of the plan."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("n", "other(1)", "next line", tooltip="the next line of the plan"),
        Binding("N", "other(-1)", "line before", show=False, tooltip="the line before"),
        CAUTIONS_KEY,
    ]

    def __init__(self, shown: PlanOnScreen, line: int, lines: Sequence[int] = ()) -> None:
        super().__init__()
        self.shown = shown
        self.line = line
        self.lines = lines or (line,)
        self.why: WhyShown | None = None
        #: another line is on its way, and ! came meanwhile
        self._is_asking = self._cautions_wanted = False

    def begin(self) -> None:
        self._is_asking = True
        question = partial(why, shown=self.shown, line=self.line, columns=self.size.width)
        self.screens.ask(self, "why", question, self._show)

    def on_resize(self) -> None:
        """Strips are drawn for the width there is."""
        if self.why is not None:
            self.begin()

    def _show(self, answer: WhyShown) -> None:
        self.why, self._is_asking = answer, False
        page = Text(end="")
        # a phone has no room for more than the answer over what scrolls
        second = answer.second if self.size.width >= _ROOM_FOR_SECOND else ""
        page.append(f"{answer.second}\n\n" if answer.second and not second else "")
        for heading, rows in answer.blocks:
            page.append(f"{heading}\n", "bold")
            page.append("".join(f"{line}\n" for row in rows for line in row.lines(self.size.width)))
            page.append("\n")
        for heading, sentences in (
            ("IN WORDS", answer.sentences),
            ("WHAT THE PLAN IS RECKONED FROM", self.shown.page.rests_on),
        ):
            page.append(f"{heading}\n", "bold")
            page.append("".join(f"- {one_line(sentence)}\n" for sentence in sentences))
            page.append("\n")
        self.show(one_line(answer.title), page, answer.answer, second, hazards=answer.hazards)
        if self._cautions_wanted:
            self._cautions_wanted = False
            self.action_cautions()

    def action_other(self, step: int) -> None:
        """Go to the next line of the plan, or the one before."""
        at = self.lines.index(self.line) if self.line in self.lines else 0
        self.line = self.lines[(at + step) % len(self.lines)]
        self.begin()

    def action_cautions(self) -> None:
        """Show every caution of this work."""
        if self._is_asking:
            # never those of the line before
            self._cautions_wanted = True
        elif self.why is not None and self.why.hazards:
            show_cautions(self.screens, self.why.hazards)
        else:
            self.say("This work has no caution of its own; the machine's own book comes first.")


TABS: Final = (("lines", "Replace"), ("spares", "Spares"), ("orders", "Orders"), ("money", "Money"), ("areas", "Acres"))

#: action -> the lists on which it does something
ONLY_ON: Final = MappingProxyType(
    {
        "choose": ("lines",),
        "all": ("lines", "spares"),
        "receive": ("orders",),
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
    if tab == "lines" and not sheet.rows and page.undecided.rows:
        return f"Nothing can be weighed yet; m shows the {len(page.undecided.rows)} that want something."
    by_keys = sheet.empty.replace("'wearlog add part' enters", "7, then a, enters")
    return f"{sheet.short().empty.removesuffix('.')}; m shows all." if sheet.rows else by_keys


def plan_source(tab: str, page: PlanPage | None, *, show_all: bool) -> FixedSource:
    """Return the rows of a list: all of them, or those worth a look."""
    if page is None:
        return FixedSource((), ())
    if tab in ("orders", "money"):
        return blocks_source(_sheets(tab, page))
    if tab == "spares":
        return _source(page.spares) if show_all else _source(page.spares.short())
    return _source(*(sheet if show_all else sheet.short() for sheet in page.listed))


def _source(*sheets: AnswerSheet[Any]) -> FixedSource:
    below = [f"{sheet.rest.removesuffix('.')}; m shows them." for sheet in sheets if sheet.rest]
    return blocks_source(sheets, below if any(sheet.rows for sheet in sheets) else ())


def _sheets(tab: str, page: PlanPage) -> tuple[AnswerSheet[Any], ...]:
    """Return the answers of one list; of the lists beside the lines only the one that is asked for is made."""
    match tab:
        case "lines":
            return page.lines, page.undecided
        case "spares":
            return (page.spares,)
        case "orders":
            return page.orders
        case "money":
            return page.money
    return ()


def row_about(tab: str, page: PlanPage | None, key: Hashable) -> str:
    """Return what is known of a row of the lines, the spares or the orders."""
    if page is None:
        return ""
    sheets = _sheets(tab, page)
    found = ((sheet, row) for sheet in sheets for row in sheet.rows if sheet.key_of(row) == key)
    return next((sheet.about(row, sheet.measures) for sheet, row in found), "")


def what_it_is_about(tab: str, shown: PlanOnScreen, key: Hashable) -> Screen[None] | None:
    """Return what Enter opens on a row of spares and orders, its part; of the money the kind of it. None where it has neither."""
    from wearlog.tui.screens.parts.stock import PartScreen
    from wearlog.tui.screens.wear import KindScreen

    if tab == "money" and isinstance(key, tuple):
        needs, lines = shown.view.needs, shown.view.lines
        if key[0] < 0:
            return None
        need = needs[key[0]]
        kinds = [lines[line].kind for line in need.lines]
        return KindScreen(kinds[0].id, kinds[0].name) if kinds else PartScreen(need.shelf.part.id)
    part_id = key[1] if isinstance(key, tuple) else key
    return PartScreen(part_id) if isinstance(part_id, UUID) else None


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

    def _show_rows(self) -> None:
        """Show the rows of the open list."""

    def ask_areas(self) -> None:
        """Read the areas: they wait for no reckoning."""
        self.screens.ask(self, "areas", areas_now, self._take_areas)

    def _take_areas(self, areas: AreasShown) -> None:
        before, self.areas = self.areas, areas
        if self.tab != "areas":
            return
        self._show_rows()
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
