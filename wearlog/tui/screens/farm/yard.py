"""The yard: the machines as they stand, what presses, and in one line the next thing to do."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, ClassVar
from uuid import UUID

from rich.text import Text
from textual.app import RenderResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widget import Widget

from wearlog.errors import NotFoundError, WearlogError
from wearlog.facts.plain_text import one_line
from wearlog.present.drawing.marks import share_bar
from wearlog.tui.questions.farm import glance, guesses, make_ready, pack_copies, yard
from wearlog.tui.screens.area import AreaScreen
from wearlog.tui.screens.work.work_keys import WORK_KEYS, EnteringWork
from wearlog.tui.widgets.answer_line import AnswerLine
from wearlog.tui.widgets.lines import TopLine
from wearlog.tui.widgets.list_rows import FixedSource, sheet_source
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from wearlog.present.yard.yard_glance_page import YardPage


class YardPanel(Widget):
    """A title with its count and the lines under it; without lines it says that there is nothing."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {"yard-panel--title", "yard-panel--nothing"}
    DEFAULT_CSS = """
    YardPanel {
        height: auto;
        padding: 0 1;
        & .yard-panel--title { color: $mark; background: $paper; text-style: bold; }
        & .yard-panel--nothing { color: $quiet; background: $paper; }
    }
    """

    def __init__(self, title: str, nothing: str, *, id: str) -> None:
        super().__init__(id=id)
        self.title = title
        self.nothing = nothing
        self.lines: Sequence[str] | None = None

    def show(self, lines: Sequence[str] | None) -> None:
        """Show lines; None says that they are not known yet."""
        self.lines = lines
        self.refresh(layout=True)

    def render(self) -> RenderResult:
        page = Text(end="")
        count = f" ({len(self.lines)})" if self.lines else ""
        page.append(f"{self.title}{count}", self.get_component_rich_style("yard-panel--title"))
        if self.lines is None:
            page.append(" ...", self.get_component_rich_style("yard-panel--nothing"))
            return page
        for line in self.lines:
            page.append(f"\n{one_line(line)}")
        if not self.lines:
            page.append(f" {self.nothing}", self.get_component_rich_style("yard-panel--nothing"))
        return page


class YardScreen(EnteringWork, AreaScreen):
    """The start screen."""

    AREA: ClassVar[str] = "yard"
    FOOT: ClassVar[tuple[str, ...]] = ("log_breakage", "enter_reading", "enter_run", "rain_day", "more")
    ABOUT: ClassVar[str] = (
        "Its first sentence, FIRST, says the one thing that presses most. Under it stand the machines with their meters "
        "as reckoned for this moment; Enter opens the one under the cursor. Below: what broke and still runs, services "
        "due, open electrical faults, parts that are low, and how far the harvest has come; Space shows what is further "
        "down. b logs a breakage from here and from every other screen; r, c and d enter a reading, an area cut, and that "
        "the machine under the cursor stands or runs. f: what to grease and check tonight, and all services. k: it rains; "
        "what is worth doing in the shop today."
    )
    DEFAULT_CSS = """
    YardScreen {
        #machines { height: auto; max-height: 40%; min-height: 3; }
        #press { height: 1fr; }
        #guesses { display: none; }
    }
    """

    def __init__(self) -> None:
        super().__init__()
        self.page: YardPage | None = None

    BINDINGS: ClassVar[list[BindingType]] = [
        *WORK_KEYS,
        Binding("space", "more", "more", tooltip="show what stands further down; at the end, the beginning again"),
        Binding(
            "f",
            "services",
            "services",
            tooltip="what to grease and check tonight for tomorrow's hours; all services as they come",
        ),
        Binding(
            "k", "rain_day", "rainy day", tooltip="what saves most on a day without cutting, in so many shop hours"
        ),
    ]

    def body(self) -> Iterable[Widget]:
        yield AnswerLine("Opening the log ...", id="next")
        yield WindowedList(FixedSource((), ()), empty="No machine yet.", id="machines")
        with VerticalScroll(id="press", can_focus=False):
            yield YardPanel("RUNS BROKEN", "nothing", id="left")
            yield YardPanel("SERVICES DUE", "none", id="due")
            yield YardPanel("OPEN FAULTS", "none", id="faults")
            yield YardPanel("LOW STOCK", "none", id="low")
            yield YardPanel("HARVEST", "no season entered", id="harvest")
            yield YardPanel("", "", id="guesses")

    def refresh_answer(self) -> None:
        if self.page is not None:
            self._reckon()
        else:
            # on a big log the first reckoning takes a moment: what the small tables say is shown before
            self.screens.ask(self, "glance", glance, self._show_glance, self._failed)

    def _show_glance(self, page: YardPage) -> None:
        self._show(page)
        self._reckon()

    def _reckon(self) -> None:
        self.screens.ask(self, "yard", yard, self._show_reckoned, self._failed)

    def _show_reckoned(self, page: YardPage) -> None:
        self._show(page)
        # what the next screens need is loaded while this one is read
        self.screens.ask(self, "guesses", guesses, self._show_guesses, lambda _: None)
        if not page.machines.rows:
            self.no_log_yet("There is no machine in this log yet.")
        self.screens.ask(self, "warm", make_ready, self._look_whether_it_changed, lambda _: None)

    def _look_whether_it_changed(self, is_as_told: bool) -> None:  # noqa: FBT001  an answer is handed on as it came
        """Something was entered elsewhere while the screens were loading: show the yard as it is now."""
        if not is_as_told:
            self._reckon()
        self.screens.ask(self, "copies", pack_copies, lambda _: None, lambda _: None)

    def _show(self, page: YardPage) -> None:
        self.page = page
        self.query_one(TopLine).name_shown = page.title
        self.query_one("#next", AnswerLine).show(page.answer, page.then)
        machines = self.query_one("#machines", WindowedList)
        machines.show(sheet_source(page.machines), opens_on=page.first)
        machines.styles.height = len(page.machines.rows) + 1 if page.machines.rows else 2
        if self.focused is None:
            machines.focus()
        for name in ("left", "due", "faults", "low"):
            self.query_one(f"#{name}", YardPanel).show(getattr(page, name))
        self.query_one("#harvest", YardPanel).show(_harvest(page) if page.due is not None else None)

    def _show_guesses(self, lines: tuple[str, ...]) -> None:
        from wearlog.present.wear.guess_words import GUESS_TITLE

        panel = self.query_one("#guesses", YardPanel)
        panel.title = GUESS_TITLE
        panel.display = bool(lines)
        panel.show(lines)

    def _failed(self, error: WearlogError) -> None:
        """Say what is wrong where the next step stands; no log yet is the first day."""
        self.query_one("#next", AnswerLine).show(error.message, error.hint)
        self.query_one("#machines", WindowedList).show(FixedSource((), ()))
        if isinstance(error, NotFoundError):
            self.no_log_yet(error.message)

    def no_log_yet(self, reason: str) -> None:
        """There is no log at this place, or no machine in it: the first day begins."""
        from wearlog.tui.screens.farm.first_day import Answers, FarmPage

        if self.screens.screen is self:
            self.screens.push(FarmPage(Answers(reason)))

    def action_services(self) -> None:
        """Open tonight's round and all services."""
        from wearlog.tui.screens.work.services import ServicesScreen

        self.screens.push(ServicesScreen())

    def action_rain_day(self) -> None:
        """Weigh what to do in the shop today."""
        from wearlog.tui.screens.deciding import RainDayScreen

        self.screens.push(RainDayScreen())

    def pointed_machine(self) -> UUID | None:
        row = self.query_one("#machines", WindowedList).row
        return row.key if row is not None and isinstance(row.key, UUID) else None

    def stands_now(self) -> bool:
        row = self.query_one("#machines", WindowedList).row
        return row is not None and row.alarm

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Open the machine."""
        if isinstance(message.row.key, UUID):
            self.screens.look_at_machine(message.row.key)


def _harvest(page: YardPage) -> tuple[str, ...]:
    if not page.harvest:
        return ()
    if page.share is None:
        return (page.harvest,)
    return (page.harvest, f"{share_bar(page.share, 30)} {page.share:.0%}")
