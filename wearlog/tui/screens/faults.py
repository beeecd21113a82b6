"""Electrical faults: the open ones first, then the past; what each was, how often it came, how long it has been quiet."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar
from uuid import UUID

from textual.binding import Binding, BindingType
from textual.widget import Widget
from textual.widgets import Static

from wearlog.errors import WearlogError
from wearlog.tui.questions.electrics import FaultKey, FaultsPage, faults
from wearlog.tui.screens.list_area import ListArea
from wearlog.tui.widgets.lines import plain_line
from wearlog.tui.widgets.list_rows import ListOrder
from wearlog.tui.widgets.windowed_list import WindowedList


class FaultsScreen(ListArea):
    """All electrical faults."""

    AREA: ClassVar[str] = "faults"
    ABOUT: ClassVar[str] = (
        "Electrical faults, the open ones first. Enter opens the one under the cursor: the cautions, then which check to do next, "
        "and who is suspected on the drawing. a opens a new fault; t shows its trail over the seasons: how often it came, what was "
        "found, what it cost, and whether the fix has held. d draws and edits the circuits of the machine under the cursor. "
        "'on circuit 3 of 4' counts all faults of that circuit, whatever they were. / filters."
    )
    EMPTY: ClassVar[str] = "No electrical fault yet. a opens one; d draws the circuits first."
    DEFAULT_CSS = """
    FaultsScreen {
        #whole { height: 1; padding: 0 1; background: $band; color: $ink; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "add", "open a fault", tooltip="something electrical does not work: open a fault"),
        Binding("t", "trail", "trail", tooltip="over the seasons: how often, what it cost, has the fix held"),
        Binding("d", "draw", "diagram", tooltip="draw and edit the circuits of the machine"),
        # a few dozen rows stand in the one order that matters
        Binding("o", "order", "order", show=False, tooltip="open ones first, then the latest"),
    ]
    usual_order = ListOrder()

    def body(self) -> Iterable[Widget]:
        yield Static("Opening the log ...", id="whole", markup=False)
        yield from super().body()

    def refresh_answer(self) -> None:
        self.screens.ask(self, "faults", faults, self._show, self._failed)

    def _show(self, page: FaultsPage) -> None:
        self.query_one("#whole", Static).update(plain_line(page.about))
        self.rows.show(page.source, self.rows.order)
        if self.focused is None:
            self.rows.focus()

    def _failed(self, error: WearlogError) -> None:
        self.query_one("#whole", Static).update(plain_line(f"{error.message} {error.hint}"))

    @property
    def key_here(self) -> FaultKey | None:
        """The fault under the cursor."""
        row = self.rows.row
        return row.key if row is not None and isinstance(row.key, FaultKey) else None

    def open_case(self, fault_id: UUID) -> None:
        """Open a fault."""
        from wearlog.tui.screens.fault_case import FaultCaseScreen

        self.screens.push(FaultCaseScreen(fault_id))

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Open the fault under the cursor."""
        if isinstance(message.row.key, FaultKey):
            self.open_case(message.row.key.fault_id)

    def action_add(self) -> None:
        """Open the form of a new fault."""
        from wearlog.tui.screens.open_fault import OpenFaultScreen

        key = self.key_here
        self.screens.push(OpenFaultScreen(key.machine_id if key is not None else None))

    def action_trail(self) -> None:
        """Show the trail of the fault under the cursor."""
        from wearlog.tui.screens.fault_trail import FaultTrailScreen

        key = self.key_here
        if key is None:
            self.say("There is no fault under the cursor.", alarm=True)
        else:
            self.screens.push(FaultTrailScreen(key.fault_id))

    def action_draw(self) -> None:
        """Open the circuits of the machine under the cursor, or of the machine looked at last."""
        from wearlog.tui.screens.circuit_text import CircuitTextScreen

        key, named = self.key_here, self.screens.remembered.machine
        if key is None and not named:
            self.say("Open a machine first (m): its circuits are then drawn here.", alarm=True)
            return
        self.screens.push(CircuitTextScreen(key.machine_id if key is not None else UUID(named)))
