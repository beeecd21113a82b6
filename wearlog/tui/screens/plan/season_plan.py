"""The season plan: what to replace or run, spares, orders, areas to cut; a choice shows its sums at once. Reckoned elsewhere."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING, ClassVar
from uuid import UUID

from rich.text import Text
from textual.binding import Binding, BindingType
from textual.timer import Timer
from textual.widget import Widget
from textual.widgets import Static

from wearlog.errors import WearlogError
from wearlog.facts.closed_lists import Choice
from wearlog.facts.plain_text import one_line
from wearlog.present.tables import whole_sentences
from wearlog.tui.questions.plan import (
    PlanOnScreen,
    choose_at_once,
    line_choices,
    plan_now,
    save_choices,
    settle,
    year_of,
)
from wearlog.tui.screens.cautions import CAUTIONS_KEY, show_cautions
from wearlog.tui.screens.plan.plan_files import CAME_KEY, FILE_KEY, PlanFiles
from wearlog.tui.screens.plan.plan_lists import (
    AREA_KEYS,
    AREAS_ABOUT,
    ONLY_ON,
    TABS,
    PlanAreas,
    empty_words,
    plan_source,
    row_about,
    what_it_is_about,
)
from wearlog.tui.widgets.answer_line import AnswerLine, SectionTabs
from wearlog.tui.widgets.list_rows import FixedSource
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from wearlog.present.plan.plan_shown import PlanPage
    from wearlog.tui.door import Door
    from wearlog.tui.questions.plan import AreasShown

#: rest of the keys before the rest of the money is spent anew
PAUSE_SECONDS = 0.3
#: what a key says that comes before the lines do
NOT_YET = "The plan is still being reckoned: press the key again when its lines are here."
#: rows under the list, as its style says
_TOLD = 3
#: rows of a terminal that has room for every sentence
ROOMY = 30


class SeasonPlanScreen(PlanFiles, PlanAreas):
    """The plan of the next season."""

    AREA: ClassVar[str] = "plan"
    ABOUT: ClassVar[str] = (
        "What to replace before the season and what to run: first what was chosen by hand to be replaced, then the largest "
        "saving. [x] is in the plan. Space puts the line under the cursor in or takes it out: the sums change at once, and then "
        "the rest of the money is spent anew. A * marks what is not saved yet; Ctrl+S saves all of it as one entry, Esc drops it. "
        "'saves' is what replacing saves on the mean; the strip beside it holds that saving in 8 of 10 cases, and its upright "
        "line is nothing saved: where the bracket crosses it the line says 'unsure'. 'no money': it pays, and the money goes "
        "where it saves more. 'not counted': parts whose age or life nobody knows are in no figure. ! shows all cautions of the "
        "planned work, which stand in one row under the answer. Enter shows why: "
        "age, life, chance of failing, the cost of each choice, and what all of it rests on. x lets the figures decide on a line "
        "that was chosen by hand. The arrows go to the spares to carry, to the orders by supplier (there + takes one into stock), "
        "to what the money buys, part by part, as bars that fall off where it ends, and to the areas to cut, on which all of it "
        "rests; Enter opens the part there, of the money its kind. s writes the plan or its order as a file. On the areas a "
        "adds one, Enter changes the one under the cursor, x takes it out, and the plan is reckoned anew. The first area of a "
        "season begins its plan."
    )
    DEFAULT_CSS = """
    SeasonPlanScreen {
        AnswerLine { max-height: 11; }
        #line { height: auto; max-height: 3; padding: 0 1; background: $paper; color: $ink; }
        #rows { height: 1fr; min-height: 4; }
    }
    """
    #: what is chosen and not saved must be saved by a thumb as well
    FOOT: ClassVar[tuple[str, ...]] = ("choose", "save")
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space", "choose", "replace/run", tooltip="put the line into the plan, or take it out"),
        CAME_KEY,
        *AREA_KEYS,
        Binding("l", "limits", "limits", tooltip="money and shop hours of the plan"),
        Binding("ctrl+s", "save", "save", tooltip="save the choices as one entry"),
        Binding("right", "section(1)", "section", key_display="←→", tooltip="the next of the five lists"),
        Binding("left", "section(-1)", "list before", show=False),
        Binding("m", "all", "more", tooltip="also what is best run as it is, and parts there is enough of"),
        FILE_KEY,
        CAUTIONS_KEY,
        Binding("escape", "drop", "drop", show=False, tooltip="drop choices that are not saved"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.shown: PlanOnScreen | None = None
        self.areas: AreasShown | None = None
        #: what was chosen since the plan was read: component -> choice; None leaves it to the figures
        self.choices: dict[UUID, Choice | None] = {}
        self.tab = "lines"
        self.show_all = False
        #: the open list has something under the cursor, as far as anybody knows
        self._has_rows = True
        self._is_stale = False
        self._pause: Timer | None = None
        #: the page that is shown does not hold the last choice yet
        self._is_choosing = False
        #: Ctrl+S came while it did not: it is kept until the page does
        self._save_wanted = False

    def body(self) -> Iterable[Widget]:
        yield AnswerLine("Reckoning the plan: ages, lives, prices ...", id="answer")
        yield SectionTabs()
        yield WindowedList(FixedSource((), ()), id="rows")
        yield Static("", id="line", markup=False)

    def about_now(self) -> str:
        return AREAS_ABOUT if self.tab == "areas" else self.ABOUT

    # reading ------------------------------------------------------------------------------------------------------

    def refresh_answer(self) -> None:
        # a plan takes a while to reckon: never behind the back of somebody who works on another screen
        if self.screens.screen is not self:
            self._is_stale = True
            return
        self._is_stale = False
        self.ask_areas()
        if self.page is not None:
            self.query_one("#answer", AnswerLine).show("Reckoning the plan anew ...", self.page.answer.to_do)
        self.screens.ask(self, "plan", plan_now, self._take, self._failed)

    def on_screen_resume(self) -> None:
        super().on_screen_resume()
        if self._is_stale:
            self.refresh_answer()

    def _failed(self, error: WearlogError) -> None:
        self.query_one("#answer", AnswerLine).show(error.message, error.hint)

    def _take(self, shown: PlanOnScreen) -> None:
        ids = shown.page.rows.keys()
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
        self._show_answer()
        self._show_rows()
        if self.focused is None:
            self.query_one("#rows", WindowedList).focus()

    def _show_answer(self) -> None:
        page = self.page
        unsaved = f"* {len(self.choices)} not saved (Ctrl+S, Esc)" if self.choices else ""
        purse = page.answer.purse if page is not None else ()
        self.query_one(SectionTabs).show([words for _, words in TABS], self._place, unsaved or purse)
        line = self.query_one("#answer", AnswerLine)
        if self.tab == "areas" and self.areas is not None:
            line.show(*self.answer_of_areas())
        elif page is not None:
            on_lines = self.tab == "lines"
            line.show(page.answer.to_do, *self._second(page), hazards=page.hazards if on_lines else ())

    def _second(self, page: PlanPage) -> list[str]:
        """What stands under the answer: a phone has room for the first of it, a high screen for all."""
        answer, roomy = page.answer, self.size.height >= ROOMY
        phone = self.size.height < 24 or self.size.width < 60
        if self.tab == "orders" and not roomy:
            return [f"{page.bound} {page.next_money}".strip()]
        if self.tab == "money" and not roomy:
            return [] if phone else [answer.saved_by]
        if self.tab == "spares" and not roomy:
            return [page.sums.parts]
        if roomy:
            more = f"{page.sums.parts} {page.bound} {page.next_money}".strip()
            return [answer.saved_by, answer.ahead, more, page.sums.left_out]
        # the list is what is looked at: what was chosen by hand stands in its row, what the money ends before in Money
        return [answer.hint] if phone else [answer.briefly_saved_by, answer.ahead]

    @property
    def _place(self) -> int:
        return [name for name, _ in TABS].index(self.tab)

    def on_resize(self) -> None:
        """What finds no room goes."""
        self._show_answer()
        self.call_after_refresh(self.on_windowed_list_moved)

    # the lists ----------------------------------------------------------------------------------------------------

    def _show_rows(self) -> None:
        if self.tab == "areas":
            self.show_areas()
            self._has_rows = self.areas is None or bool(self.areas.known.areas)
            self.refresh_bindings()
            return
        rows = self.query_one("#rows", WindowedList)
        rows.empty = empty_words(self.tab, self.page)
        source = plan_source(self.tab, self.page, show_all=self.show_all)
        rows.show(source)
        # before the lines are there a key says so
        self._has_rows = self.page is None or bool(source.rows)
        self.refresh_bindings()

    def on_windowed_list_moved(self) -> None:
        """Say what is known of the row under the cursor."""
        row = self.query_one("#rows", WindowedList).row
        said = self.about_area() if self.tab == "areas" else row_about(self.tab, self.page, row.key if row else None)
        whole = whole_sentences(one_line(said), self.size.width - 2, _TOLD)
        self.query_one("#line", Static).update(Text(whole, end=""))

    def action_section(self, step: int) -> None:
        """Show the next list, or the one before."""
        self._open(TABS[(self._place + step) % len(TABS)][0])

    def _open(self, tab: str) -> None:
        self.tab = tab
        self.query_one("#rows", WindowedList).cursor = 0
        self.refresh_bindings()
        self._show_answer()
        self._show_rows()

    def on_section_tabs_chosen(self, message: SectionTabs.Chosen) -> None:
        """Show the list that was clicked."""
        self._open(TABS[message.place][0])

    def action_all(self) -> None:
        """Show every row, or only those worth a look."""
        self.show_all = not self.show_all
        self._show_rows()

    @property
    def why_not(self) -> str:
        """Why a key of this screen does nothing now, where that is told in a word."""
        if self._has_rows:
            return ""
        return "there is no area here yet; a adds one." if self.tab == "areas" else "there is nothing in this list."

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Show the keys of the list that is open: lines are chosen, orders received, areas added."""
        if action == "add_area" and self.page is not None and self.page.hint:
            return True
        if action == "cautions":
            return self.page is not None and bool(self.page.hazards)
        if action == "save":
            return (self.tab == "lines" and self._has_rows) or bool(self.choices)
        if action in ("choose", "take_out") and not self._has_rows:
            return False
        if action == "all" and self.page is not None and self.page.hint:
            return False
        return self.tab in ONLY_ON[action] if action in ONLY_ON else True

    # choosing -----------------------------------------------------------------------------------------------------

    def action_choose(self) -> None:
        """Put the line under the cursor into the plan, or take it out; a second time it is as it was saved."""
        row = self.query_one("#rows", WindowedList).row
        page = self.page
        if page is None:
            self.say(NOT_YET, alarm=True)
            return
        if self.tab != "lines" or row is None or not isinstance(row.key, UUID):
            return
        if row.key in self.choices:
            del self.choices[row.key]
        else:
            self.choices[row.key] = Choice.RUN if page.rows[row.key].done else Choice.REPLACE
        self._choose()

    def action_take_out(self) -> None:
        """Take the area under the cursor out of the plan; of the lines what was chosen by hand, so that the figures decide."""
        if self.tab == "areas":
            super().action_take_out()
            return
        row = self.query_one("#rows", WindowedList).row
        if self.page is None:
            self.say(NOT_YET, alarm=True)
        elif row is not None and isinstance(row.key, UUID):
            self.choices[row.key] = None
            self._choose()

    def _choose(self) -> None:
        self._stop_waiting()
        if self.shown is not None:
            self._ask_choice(partial(choose_at_once, shown=self.shown, choices=dict(self.choices)), self._chosen)

    def _ask_choice(self, question: Callable[[Door], PlanOnScreen], then: Callable[[PlanOnScreen], None]) -> None:
        self._is_choosing = True
        self.screens.ask(self, "choose", question, then, self._not_chosen)

    def _not_chosen(self, error: WearlogError) -> None:
        self._is_choosing = self._save_wanted = False
        self.say(f"{error.message} {error.hint}".strip(), alarm=True)

    def _settled(self, shown: PlanOnScreen) -> None:
        self._is_choosing = False
        self._show(shown)
        if self._save_wanted:
            self._save_wanted = False
            self.action_save()

    def _chosen(self, shown: PlanOnScreen) -> None:
        self._settled(shown)
        # spending the rest anew would keep the next key waiting: it begins when the keys rest
        self._stop_waiting()
        self._pause = self.set_timer(PAUSE_SECONDS, self._ask_settled)

    def _stop_waiting(self) -> None:
        if self._pause is not None:
            self._pause.stop()
            self._pause = None

    def _ask_settled(self) -> None:
        self._stop_waiting()
        if self.shown is not None:
            self._ask_choice(partial(settle, shown=self.shown, choices=dict(self.choices)), self._settled)

    def action_drop(self) -> None:
        """Drop what is not saved."""
        if self.choices:
            self.choices, self._save_wanted = {}, False
            self._choose()
            self.say("Dropped; the plan is as it was saved.")

    def action_save(self) -> None:
        """Save the choices as one entry."""
        shown = self.shown
        if shown is None:
            self.say(NOT_YET, alarm=True)
            return
        if self._is_choosing:
            self._save_wanted = True
            self.say("Saved as soon as the sums are there ...")
            return
        if not self.choices:
            self.say("There is no choice to save; Space chooses otherwise for a line.", alarm=True)
            return
        year = year_of(shown)
        chosen = dict(self.choices)

        def save(door: Door) -> str:
            return save_choices(door, year, line_choices(shown, chosen))

        self.screens.ask(self, "save", save, self._saved)

    def _saved(self, sentence: str) -> None:
        self.choices = {}
        self.screens.say(sentence)
        self.screens.something_entered()

    # other screens and files --------------------------------------------------------------------------------------

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Show why, or open the form of the area."""
        from wearlog.tui.screens.plan.plan_lists import PlanWhyScreen

        if self.tab == "areas" and isinstance(message.row.key, UUID):
            self.open_area_form(message.row.key)
        elif self.tab == "lines" and self.shown is not None and isinstance(message.row.key, UUID):
            page = self.shown.page
            listed = [row.number for sheet in page.listed for row in (sheet if self.show_all else sheet.short()).rows]
            self.screens.push(PlanWhyScreen(self.shown, page.rows[message.row.key].number, listed))
        elif self.shown is not None:
            about = what_it_is_about(self.tab, self.shown, message.row.key)
            if about is not None:
                self.screens.push(about)
            else:
                self.say("These have no part number in the log yet: 7 Stock, a adds one.", alarm=True)

    def action_cautions(self) -> None:
        """Show every caution of the planned work."""
        if self.page is not None:
            show_cautions(self.screens, self.page.hazards)

    def action_limits(self) -> None:
        """Open the form of money and shop hours."""
        from wearlog.tui.screens.plan.plan_lists import PlanLimitsScreen

        if self.shown is None:
            self.say(NOT_YET, alarm=True)
        else:
            settings = self.shown.view.farm.settings
            self.screens.push(PlanLimitsScreen(year_of(self.shown), self.shown.page.has_limits, settings))
