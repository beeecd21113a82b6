"""The history: everything that was ever entered, who did it, and taking one entry back."""

from __future__ import annotations

from typing import ClassVar
from uuid import UUID

from textual.binding import Binding, BindingType

from wearlog.tui.questions.listing import deeds
from wearlog.tui.screens.ask_undo import take_back
from wearlog.tui.screens.list_area import ListArea
from wearlog.tui.widgets.list_rows import ListOrder, ListRow, ListSource
from wearlog.tui.widgets.windowed_list import WindowedList


class HistoryScreen(ListArea):
    """All deeds, the latest first."""

    AREA: ClassVar[str] = "history"
    ABOUT: ClassVar[str] = (
        "Everything that was ever entered, the latest first: when, on which device, in one sentence, and how many rows of the log "
        "it wrote. Enter shows those row by row. u takes back the entry under the cursor, whole; what later entries rest on is "
        "refused with the reason, before an import or very many rows it asks, and nothing is ever lost: an undo can itself be "
        "taken back. / filters, o orders."
    )
    EMPTY: ClassVar[str] = "No entry here."
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("u", "undo_this", "undo this", tooltip="take back the entry under the cursor"),
    ]
    usual_order = ListOrder(sort="when", backwards=True)

    def source(self) -> ListSource | None:
        return deeds()

    def action_undo_this(self) -> None:
        """Take back the entry under the cursor."""
        row = self.rows.row
        if row is not None and isinstance(row.key, UUID):
            self.take_back(row.key)

    def take_back(self, deed_id: UUID) -> None:
        """Take back an entry; a refusal is said in its own words."""
        self.say("Taking it back ...")
        take_back(self.screens, self, self._taken_back, deed_id)

    def _taken_back(self, said: str) -> None:
        self.screens.say(f"{said}. u on it takes that back again.")
        self.screens.something_entered()

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Show what the entry did."""
        from wearlog.tui.screens.deed import DeedScreen

        row: ListRow = message.row
        if isinstance(row.key, UUID):
            self.screens.push(DeedScreen(row.key, row.cells))
