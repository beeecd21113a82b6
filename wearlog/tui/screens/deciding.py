"""One decision over the screen on which it came up: its answer, the ways with what each costs, and what that rests on."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, ClassVar
from uuid import UUID

from textual.binding import Binding, BindingType

from wearlog.tui.questions.asked import OfferTyped, RainTyped, StopTyped, TradeTyped
from wearlog.tui.questions.deciding import (
    CUT_FOR_OTHERS,
    Decided,
    keep_or_trade,
    length_said,
    lost_grain,
    rain_day,
    stop_ways,
    supply_asked,
)
from wearlog.tui.screens.asked_form import CustomOfferScreen, EveningScreen, RainAskedScreen, TradeOfferScreen
from wearlog.tui.screens.sections import SECTION_KEYS, SectionsScreen
from wearlog.tui.widgets.lines import TopLine
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from wearlog.errors import WearlogError
    from wearlog.tui.door import Door
    from wearlog.tui.section import Section


class DecisionScreen(SectionsScreen):
    """Subclasses say in `question` what is asked."""

    #: on a phone the sections and the way back have the room before what a subclass can
    FOOT: ClassVar[tuple[str, ...]] = ("section(1)",)
    BINDINGS: ClassVar[list[BindingType]] = [
        *SECTION_KEYS,
        Binding("escape", "back", "back"),
        Binding("exclamation_mark", "cautions", "cautions", tooltip="all cautions of the work, before you begin"),
    ]

    def __init__(self, said: str = "") -> None:
        super().__init__()
        #: what was saved just before
        self.said = said
        self.shown: Decided | None = None

    def question(self) -> Callable[[Door], Decided]:
        """Return what is asked of the log."""
        raise NotImplementedError

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """There is no chart here."""
        return action != "twin"

    def refresh_answer(self) -> None:
        if self.said:
            self.say(self.said)
            self.said = ""
        self.screens.ask(self, "decision", self.question(), self._show, self._failed)

    def _show(self, shown: Decided) -> None:
        self.shown = shown
        self.query_one(TopLine).name_shown = shown.title
        self.show_answer(shown.answer, shown.second, hazards=shown.hazards)
        self.show_sections(shown.sections, shown.title)

    def section_opened(self, section: Section) -> None:
        """Say the answer of a section that has one of its own."""
        if self.shown is not None and section.name in self.shown.said:
            self.show_answer(*self.shown.said[section.name], hazards=self.shown.hazards)

    def _failed(self, error: WearlogError) -> None:
        self.show_answer(error.message, error.hint)
        self.query_one("#words").display = False

    def opens_row(self) -> bool:
        """Whether there is more to say of the row under the cursor."""
        row = self.rows.row if self.rows.display else None
        return row is not None and self.shown is not None and bool(self.shown.about(row.key))

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Say the way under the cursor in full."""
        if self.shown is not None:
            self.say(self.shown.about(message.row.key))

    def action_back(self) -> None:
        """Go back to where the question came up."""
        self.dismiss()


class StopScreen(DecisionScreen):
    """When the worst part of a component is to be changed."""

    AREA: ClassVar[str] = "machine"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("l", "limits", "today", tooltip="what is left to cut today, when it is dark, how likely rain is"),
        Binding(
            "plus",
            "had_it('yes')",
            "they have it",
            show=False,
            tooltip="you rang the supplier under the cursor: it has the part",
        ),
        Binding(
            "minus",
            "had_it('no')",
            "they lack it",
            show=False,
            tooltip="you rang the supplier under the cursor: it has none",
        ),
    ]
    ABOUT: ClassVar[str] = (
        "One part that runs on broken, or is old: what it costs to change it now, or at season's end, or to mend it "
        "first, the failure that may come first counted in. 8 in 10: the cost lies between them with 80 %. goes first: the "
        "chance that it fails before. best: in so much of what is believed this way costs least. Below the list stands what "
        "that rests on. l says what is left to cut today, when it is dark and how likely rain is ('wearlog stop-or-run' knows "
        "more of it). Get the part: where it is had, when it is here, what that costs, whom to ring first; leaving later: "
        "'wearlog fetch'."
    )

    def __init__(self, component_id: UUID, said: str = "") -> None:
        super().__init__(said)
        self.component_id = component_id
        self.evening = StopTyped()

    def question(self) -> Callable[[Door], Decided]:
        return partial(stop_ways, component_id=self.component_id, evening=self.evening)

    def action_limits(self) -> None:
        """Ask for the evening that is before one."""
        self.screens.push(EveningScreen(self.evening, self._weigh))

    def _weigh(self, evening: StopTyped) -> None:
        self.evening = evening
        self.refresh_answer()

    def action_had_it(self, said: str) -> None:
        """Note what the supplier under the cursor said when it was asked for the part."""
        row = self.rows.row
        source, name = row.key if row is not None and isinstance(row.key, tuple) else ("", "")
        if source != "supplier":
            self.say("There is no supplier under the cursor: they stand in Get the part.", alarm=True)
            return
        asked = partial(supply_asked, component_id=self.component_id, supplier=name, had=said == "yes")
        self.screens.ask(self, "enter", asked, self._entered)

    def _entered(self, said: str) -> None:
        self.screens.say(said)
        self.screens.something_entered()


class RainDayScreen(DecisionScreen):
    """What to do on a day without cutting: a list for each length of time."""

    AREA: ClassVar[str] = "yard"
    ABOUT: ClassVar[str] = (
        "It rains: the parts whose change today saves most, in the order in which they are done, for 2, 4, 6 or 8 hours of one "
        "person (the arrows change that) and with the parts that are on hand. Each is weighed as 'stop or run' weighs it; opening "
        "up is paid once for all that needs it. 'either way': it may save nothing. l says another length of time, how many work, "
        "and how long the rain lasts, where it may stop before (the command 'wearlog rain-day')."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("l", "limits", "people, rain", tooltip="how long you can work, how many work, how long the rain lasts")
    ]

    def __init__(self) -> None:
        super().__init__()
        self.typed = RainTyped()

    def question(self) -> Callable[[Door], Decided]:
        return partial(rain_day, typed=self.typed)

    def action_limits(self) -> None:
        """Ask for the time, the people and the rain."""
        self.screens.push(RainAskedScreen(self.typed, self._weigh))

    def _weigh(self, typed: RainTyped) -> None:
        was, self.typed = self.typed.time, typed
        self.screens.ask(self, "decision", self.question(), partial(self._show_typed, is_new=typed.time != was))

    def _show_typed(self, shown: Decided, *, is_new: bool) -> None:
        self._show(shown)
        length = self.typed.length()
        if is_new and length is not None:
            names = [one.name for one in self.sections]
            self.action_section(names.index(length_said(length)) - self.place)


class GrainLostScreen(DecisionScreen):
    """What worn threshing parts cost in grain."""

    AREA: ClassVar[str] = "harvest"
    ABOUT: ClassVar[str] = (
        "Loss checks against the hours of the threshing parts: how much more worn ones lose, what new ones would save of the "
        "grain ahead, and what renewing costs beside it. saves: grain, or money once the crops have a price; 8 in 10: it lies "
        "between them with 80 %; renew at: the age at which it costs least in the long run. 'either way': the gain may be "
        "nothing. Prices of the day: the command 'wearlog loss --money --price CROP MONEY'."
    )

    def question(self) -> Callable[[Door], Decided]:
        return lost_grain


class TradeScreen(DecisionScreen):
    """Keep the combines, or trade one; cut for others, hire one in, rent one out."""

    AREA: ClassVar[str] = "costs"
    ABOUT: ClassVar[str] = (
        "Every combine against a new one at its own list price: what keeping and buying cost a year, repairs, standing and "
        "value lost counted in, and the difference to pay (price less allowance) under which trading costs less. 8 in 10: it "
        "lies between them with 80 %. 'either way': what is asked lies between them. l says what is offered: for the combine "
        "under the cursor the price of the other one, the allowance, its hours, age and warranty (the command 'wearlog trade'). "
        "Cut for others: what an acre of it costs by the "
        "work itself (spent) and with its share of owning (owned), against the rate; l says how much, on which ground, at what "
        "rate, and whether one is hired in or rented out: the command 'wearlog custom-work' knows more of it."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "l", "limits", "the offer", tooltip="what is offered: for the combine under the cursor, for work for others"
        )
    ]

    def __init__(self, offer: OfferTyped, other: TradeTyped, keep: Callable[[OfferTyped, TradeTyped], None]) -> None:
        """Weigh offers; `keep` gets what is typed instead, so that it is there when one comes back."""
        super().__init__()
        self.offer = offer
        self.other = other
        self.keep = keep

    def question(self) -> Callable[[Door], Decided]:
        return partial(keep_or_trade, offer=self.offer, other=self.other)

    def action_limits(self) -> None:
        """Ask for the offer of the open section that is to be weighed."""
        if self.shown is None:
            return
        if self.section is not None and self.section.name == CUT_FOR_OTHERS:
            self.screens.push(CustomOfferScreen(self.offer, self._weigh_work))
        elif not self.shown.machines:
            self.say("There is no combine that could be traded.", alarm=True)
        else:
            row = self.rows.row
            here = self.shown.machines[0] if row is None else str(row.key)
            self.screens.push(TradeOfferScreen(self.other, self._weigh_other, self.shown.machines, here))

    def _weigh_work(self, offer: OfferTyped) -> None:
        self.offer = offer
        self._weigh()

    def _weigh_other(self, other: TradeTyped) -> None:
        self.other = other
        self._weigh()

    def _weigh(self) -> None:
        self.keep(self.offer, self.other)
        self.refresh_answer()
