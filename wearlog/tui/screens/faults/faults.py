"""Electrical faults: the open ones first, then the past; what each was, how often it came, how long it has been quiet."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, ClassVar
from uuid import UUID

from textual.binding import Binding, BindingType
from textual.widget import Widget

from wearlog.errors import WearlogError
from wearlog.tui.questions.faults import faults
from wearlog.tui.screens.area import ListArea
from wearlog.tui.widgets.answer_line import AnswerLine
from wearlog.tui.widgets.list_rows import ListOrder
from wearlog.tui.widgets.sheet_rows import sheet_source
from wearlog.tui.widgets.windowed_list import WindowedList

if TYPE_CHECKING:
    from wearlog.facts.electrics import Fault
    from wearlog.present.answer_sheet import AnswerSheet
    from wearlog.reckoning.faults.fault_list import FaultLine


class FaultsScreen(ListArea):
    """All electrical faults."""

    AREA: ClassVar[str] = "faults"
    ABOUT: ClassVar[str] = (
        "Electrical faults, the open ones first. Enter opens the one under the cursor: the cautions, then which check to do next, "
        "and who is suspected on the drawing. a opens a new fault; h shows its trail over the seasons: how often it came, what was "
        "found, what it cost, and whether the fix has held. p draws and edits the circuits of the machine under the cursor. "
        "'3 of 4' under time: it came four times by its trail, and this was the third. / filters."
    )
    EMPTY: ClassVar[str] = "No electrical fault yet. a opens one; p draws the circuits first."
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "add", "open a fault", tooltip="something electrical does not work: open a fault"),
        Binding("h", "trail", "trail", tooltip="over the seasons: how often, what it cost, has the fix held"),
        Binding("p", "draw", "circuits", tooltip="draw and edit the circuits of the machine"),
        # a few dozen rows stand in the one order that matters
        Binding("o", "order", "order", show=False, tooltip="open ones first, then the latest"),
    ]
    usual_order = ListOrder()

    def __init__(self) -> None:
        super().__init__()
        self.sheet: AnswerSheet[FaultLine] | None = None

    def body(self) -> Iterable[Widget]:
        yield AnswerLine("Opening the log ...", id="whole")
        yield from super().body()
        yield AnswerLine(id="here")

    def refresh_answer(self) -> None:
        self.screens.ask(self, "faults", faults, self._show, self._failed)

    def _show(self, sheet: AnswerSheet[FaultLine]) -> None:
        self.sheet = sheet
        self.query_one("#whole", AnswerLine).show_sheet(sheet)
        self.rows.show(sheet_source(sheet), self.rows.order)
        if self.focused is None:
            self.rows.focus()

    def _failed(self, error: WearlogError) -> None:
        self.query_one("#whole", AnswerLine).show(error.message, error.hint)

    def on_windowed_list_moved(self) -> None:
        """Say the fault under the cursor whole."""
        here, sheet, row = self.query_one("#here", AnswerLine), self.sheet, self.rows.row
        line = next((one for one in sheet.rows if row and one.fault.id == row.key), None) if sheet else None
        here.show("", sheet.about(line, sheet.measures) if sheet and line else "")

    @property
    def fault_here(self) -> Fault | None:
        """The fault under the cursor."""
        row = self.rows.row
        if row is None or self.sheet is None:
            return None
        return next((one.fault for one in self.sheet.rows if one.fault.id == row.key), None)

    def open_case(self, fault_id: UUID) -> None:
        """Open a fault."""
        from wearlog.tui.screens.faults.fault_case import FaultCaseScreen

        self.screens.push(FaultCaseScreen(fault_id))

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Open the fault under the cursor."""
        if isinstance(message.row.key, UUID):
            self.open_case(message.row.key)

    def action_add(self) -> None:
        """Open the form of a new fault."""
        from wearlog.tui.screens.faults.open_fault import OpenFaultScreen

        fault = self.fault_here
        self.screens.push(OpenFaultScreen(fault.machine_id if fault is not None else None))

    def action_trail(self) -> None:
        """Show the trail of the fault under the cursor."""
        from wearlog.tui.screens.faults.fault_trail import FaultTrailScreen

        fault = self.fault_here
        if fault is None:
            self.say("There is no fault under the cursor.", alarm=True)
        else:
            self.screens.push(FaultTrailScreen(fault.id))

    def action_draw(self) -> None:
        """Open the circuits of the machine under the cursor, or of the machine looked at last."""
        from wearlog.tui.screens.faults.circuit_text import CircuitTextScreen

        fault, named = self.fault_here, self.screens.remembered.machine
        if fault is None and not named:
            self.say("Open a machine first (2): its circuits are then drawn here.", alarm=True)
            return
        self.screens.push(CircuitTextScreen(fault.machine_id if fault is not None else UUID(named)))
