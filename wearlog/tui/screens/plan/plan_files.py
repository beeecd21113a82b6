"""What the plan's screen does with files and deliveries: the plan or its order is written, an order that came goes into stock."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from types import MappingProxyType
from typing import TYPE_CHECKING, ClassVar, Final

from textual.binding import Binding

from wearlog.tui.questions.plan import PlanOnScreen, receive, write_order
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_line import FormLine
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from wearlog.tui.door import Door
    from wearlog.tui.host import Host

#: on the list of orders
CAME_KEY: Final = Binding(
    "plus", "receive", "came", key_display="+", tooltip="put the supplier's order under the cursor into stock"
)
#: on every list
FILE_KEY: Final = Binding("s", "write", "file", tooltip="write the plan as a page to print, or its order as files")

_IN_A_MOMENT: Final = "The plan is still being reckoned: press the key again when the sums stand."
_FORMS: Final = (("html", "page"), ("xlsx", "workbook"), ("csv", "CSV"))
_WRITES: Final = MappingProxyType(
    {
        "html": "the plan as a page to print, with an order page for each supplier",
        "xlsx": "the order as one workbook",
        "csv": "the order as CSV, a file for each supplier",
    }
)


class PlanFileScreen(FormScreen):
    """The one question which file is written of the plan."""

    TITLE: ClassVar[str] = "THE PLAN AS A FILE"
    ABOUT: ClassVar[str] = (
        "The page to print holds the whole plan. The order is one workbook, or CSV with a file for each supplier: correct the "
        "pieces in it to what came, then 'wearlog plan receive' takes it into stock. It goes into the folder where wearlog was "
        "started, over none that is there."
    )

    def __init__(self, shown: PlanOnScreen, form: str) -> None:
        super().__init__()
        self.shown = shown
        self.form = form

    def questions(self) -> Iterable[FormLine]:
        yield ChoiceField("form", "File", _FORMS, start=self.form)

    def begin(self) -> None:
        self.paint()

    def summary(self) -> str:
        return _WRITES[self.answer("form")]

    def saving(self) -> Callable[[Door], str]:
        return partial(write_order, shown=self.shown, form=self.answer("form"))

    def saved(self, sentence: str) -> None:
        """Close, and say where the file is; nothing was entered, so nothing is reckoned anew."""
        self.dismiss()
        self.app.call_after_refresh(self.screens.say, sentence)


class PlanFiles:
    """What the plan's screen does on these keys."""

    screens: Host
    shown: PlanOnScreen | None
    tab: str

    def is_reckoning_anew(self) -> bool:
        """Tell whether the orders that are shown are not yet those of the plan: nothing is written or received from them."""
        return self.shown is None or self.shown.settling

    def action_write(self) -> None:
        """Ask which file is to be written."""
        if self.shown is None or self.is_reckoning_anew():
            self.screens.say(_IN_A_MOMENT, alarm=True)
        else:
            self.screens.push(PlanFileScreen(self.shown, "xlsx" if self.tab == "orders" else "html"))

    def action_receive(self) -> None:
        """Put the order of the supplier under the cursor into stock."""
        if self.is_reckoning_anew():
            self.screens.say(_IN_A_MOMENT, alarm=True)
            return
        row = self.screens.screen.query_one("#rows", WindowedList).row
        if self.tab != "orders" or row is None or not isinstance(row.key, tuple) or self.shown is None:
            self.screens.say(
                "Go to the orders with the arrows and put the cursor on a line of the order that came.", alarm=True
            )
            return
        question = partial(receive, shown=self.shown, supplier=row.key[0])
        self.screens.ask(self.screens.screen, "receive", question, self._received)

    def _received(self, sentence: str) -> None:
        self.screens.say(sentence)
        self.screens.something_entered()
