"""The keys by which the plan's orders are written into files and received into stock; the plan itself is elsewhere."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Final

from textual.binding import Binding

from wearlog.tui.questions.planning import PlanOnScreen, receive, write_order
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from wearlog.tui.host import Host

#: on the list of orders
ORDER_KEYS: Final = (
    Binding("r", "receive", "receive", tooltip="put the supplier's order under the cursor into stock"),
    Binding("X", "order('xlsx')", "workbook", tooltip="write the order list as a workbook"),
    Binding("C", "order('csv')", "CSV", tooltip="write the order list as CSV, a file for each supplier"),
)
#: on every list
PAGE_KEY: Final = Binding("H", "write('html')", "page", tooltip="write the plan as a page to print")

_IN_A_MOMENT: Final = "The plan is still being reckoned: press the key again when the sums stand."


class PlanFiles:
    """What the plan's screen does on these keys."""

    screens: Host
    shown: PlanOnScreen | None
    tab: str

    def is_reckoning_anew(self) -> bool:
        """Tell whether the orders that are shown are not yet those of the plan: nothing is written or received from them."""
        return self.shown is None or self.shown.settling

    def action_write(self, form: str) -> None:
        """Write the order or the plan into files."""
        if self.is_reckoning_anew():
            self.screens.say(_IN_A_MOMENT, alarm=True)
        elif self.shown is not None:
            self.screens.say("Writing ...")
            question = partial(write_order, shown=self.shown, form=form)
            self.screens.ask(self.screens.screen, "write", question, self.screens.say)

    def action_order(self, form: str) -> None:
        """Write the order list into files."""
        self.action_write(form)

    def action_receive(self) -> None:
        """Put the order of the supplier under the cursor into stock."""
        if self.is_reckoning_anew():
            self.screens.say(_IN_A_MOMENT, alarm=True)
            return
        row = self.screens.screen.query_one("#rows", WindowedList).row
        if self.tab != "orders" or row is None or not isinstance(row.key, tuple) or self.shown is None:
            self.screens.say("Go to the orders (3) and put the cursor on a line of the order that came.", alarm=True)
            return
        question = partial(receive, shown=self.shown, supplier=row.key[0])
        self.screens.ask(self.screens.screen, "receive", question, self._received)

    def _received(self, sentence: str) -> None:
        self.screens.say(sentence)
        self.screens.something_entered()
