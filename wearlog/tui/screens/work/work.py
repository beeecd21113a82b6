"""Runs and stops as lists."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, ClassVar
from uuid import UUID

from textual.binding import Binding, BindingType

from wearlog.facts.plain_text import one_line
from wearlog.tui.questions.farm import combines
from wearlog.tui.questions.history import last_run
from wearlog.tui.questions.work import runs, stops
from wearlog.tui.remembered import Found
from wearlog.tui.screens.daybook import DaybookSection
from wearlog.tui.screens.work.work_keys import MEASURE_KEY, WORK_KEYS, EnteringWork
from wearlog.tui.widgets.lines import TopLine
from wearlog.tui.widgets.list_rows import ListOrder, ListSource, sheet_source
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.reckoning.work.stops import StopLine
    from wearlog.tui.door import Door


class WorkScreen(EnteringWork, DaybookSection):
    """The runs of one combine; n goes to the next, after the last to the stops of all machines."""

    MODE: ClassVar[str] = "work"
    ABOUT: ClassVar[str] = (
        "The runs of one combine, the latest first: when it began, the area cut, how long it took, the field and crop. n shows the "
        "next combine, and after the last the stops of all machines: why each stood, how long, and what of it the machine could "
        "have cut. Enter opens one to change it. "
        "c enters an area cut, r a reading, d that it stands or runs again, g wear that was measured. / filters by any "
        "word of the row; o orders by the next column."
    )
    EMPTY: ClassVar[str] = "No run here yet. c enters an area cut."
    BINDINGS: ClassVar[list[BindingType]] = [*WORK_KEYS, MEASURE_KEY, Binding("n", "other", "next combine")]
    usual_order = ListOrder(sort="when", backwards=True)

    def __init__(self) -> None:
        super().__init__()
        self.combines: tuple[Found, ...] = ()
        self.place = 0
        self.stops: AnswerSheet[StopLine] | None = None

    @property
    def shows_stops(self) -> bool:
        """Whether the stops are shown: they come after the last combine."""
        return bool(self.combines) and self.place == len(self.combines)

    @property
    def combine_id(self) -> UUID | None:
        """The combine whose runs are shown."""
        return self.combines[self.place].row_id if self.place < len(self.combines) else None

    @property
    def stop_here(self) -> StopLine | None:
        """The stop under the cursor."""
        row = self.rows.row if self.shows_stops else None
        return next((one for one in self.stops.rows if row and one.stop.id == row.key), None) if self.stops else None

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Open the run or stop in its form."""
        if isinstance(message.row.key, UUID):
            sheet = "stoppage" if self.shows_stops else "run"
            self.screens.open_found(Found("entry", "", message.row.key, None, sheet=sheet))

    def pointed_machine(self) -> UUID | None:
        stop = self.stop_here
        return self.combine_id if stop is None else stop.stop.machine_id

    def stands_now(self) -> bool:
        stop = self.stop_here
        return stop is not None and stop.is_open

    def answer(self) -> Callable[[Door], tuple[str, str]] | None:
        if self.shows_stops:
            sheet = self.stops
            said = ("", "") if sheet is None else sheet.halves if sheet.headline else (sheet.empty, "")
            return lambda _: said
        combine_id = self.combine_id
        if combine_id is None:
            return None
        return partial(last_run, combine_id=combine_id, combine=one_line(self.combines[self.place].name))

    def source(self) -> ListSource | None:
        if self.shows_stops:
            return sheet_source(self.stops) if self.stops is not None else None
        return runs(self.combine_id) if self.combine_id is not None else None

    def refresh_answer(self) -> None:
        self.screens.ask(self, "combines", combines, self._show_combines)

    def _show_combines(self, found: tuple[Found, ...]) -> None:
        shown, stops_shown = self.combine_id, self.shows_stops
        self.combines = found
        same = next((place for place, one in enumerate(found) if one.row_id == shown), 0)
        self.place = len(found) if stops_shown else same
        self._open()

    def _open(self) -> None:
        if self.shows_stops:
            self.screens.ask(self, "stops", stops, self._show_stops)
        elif self.combines:
            self._show(self.combines[self.place].name, self.EMPTY)
        else:
            super().refresh_answer()

    def _show_stops(self, sheet: AnswerSheet[StopLine]) -> None:
        self.stops = sheet
        if self.shows_stops:
            self._show("stops", sheet.empty)

    def _show(self, name: str, empty: str) -> None:
        self.query_one(TopLine).name_shown = name
        self.rows.empty = empty
        super().refresh_answer()

    def action_other(self) -> None:
        """Show the next combine, after the last one the stops of all machines."""
        if self.combines:
            self.place = (self.place + 1) % (len(self.combines) + 1)
            # the columns of runs and of stops are not the same
            self.rows.order = replace(self.usual_order, words=self.rows.order.words)
            self._open()
