"""The runs of a combine: when it cut, where, how much."""

from __future__ import annotations

from typing import ClassVar
from uuid import UUID

from textual.binding import Binding, BindingType

from wearlog.tui.pointed import Found
from wearlog.tui.questions.farm import combines
from wearlog.tui.questions.work import runs
from wearlog.tui.screens.area import ListArea
from wearlog.tui.screens.work.entering_work import MEASURE_KEY, WORK_KEYS, EnteringWork
from wearlog.tui.widgets.lines import TopLine
from wearlog.tui.widgets.list_rows import ListOrder, ListSource


class WorkScreen(EnteringWork, ListArea):
    """The runs of one combine; n goes to the next."""

    AREA: ClassVar[str] = "work"
    ABOUT: ClassVar[str] = (
        "The runs of one combine, the latest first: when it began, the area cut, how long it took, the field and crop. n shows the "
        "next combine; c enters an area cut, r a reading, d that it stands or runs again, g wear that was measured. / filters by "
        "field, crop or header; o orders by the next column."
    )
    EMPTY: ClassVar[str] = "No run here yet. c enters an area cut."
    BINDINGS: ClassVar[list[BindingType]] = [*WORK_KEYS, MEASURE_KEY, Binding("n", "other", "next combine")]
    usual_order = ListOrder(sort="when", backwards=True)

    def __init__(self) -> None:
        super().__init__()
        self.combines: tuple[Found, ...] = ()
        self.place = 0

    @property
    def combine_id(self) -> UUID | None:
        """The combine whose runs are shown."""
        return self.combines[self.place].row_id if self.combines else None

    def pointed_machine(self) -> UUID | None:
        return self.combine_id

    def source(self) -> ListSource | None:
        return runs(self.combine_id) if self.combine_id is not None else None

    def refresh_answer(self) -> None:
        self.screens.ask(self, "combines", combines, self._show_combines)

    def _show_combines(self, found: tuple[Found, ...]) -> None:
        shown = self.combine_id
        self.combines = found
        self.place = next((place for place, one in enumerate(found) if one.row_id == shown), 0)
        if found:
            self.query_one(TopLine).name_shown = found[self.place].name
        super().refresh_answer()

    def action_other(self) -> None:
        """Show the next combine."""
        if self.combines:
            self.place = (self.place + 1) % len(self.combines)
            self._show_combines(self.combines)
