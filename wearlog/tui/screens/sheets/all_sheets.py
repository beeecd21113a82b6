"""All sheets of the log with what they hold, and the rows of one: entered, changed and taken back as by the commands."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import ClassVar
from uuid import UUID

from textual.binding import Binding, BindingType
from textual.widget import Widget
from textual.widgets import Input

from wearlog.tui.host import Host
from wearlog.tui.questions.sheets import (
    RowStart,
    SheetRowSource,
    SheetShown,
    row_start,
    sheet_list,
    sheet_shown,
    spoken,
    take_row_back,
    taking_back,
)
from wearlog.tui.screens.area import AreaScreen, ListArea
from wearlog.tui.screens.daybook import DaybookSection
from wearlog.tui.screens.history import AskUndoPage
from wearlog.tui.screens.sheets.row_form import RowScreen
from wearlog.tui.widgets.answer_line import AnswerLine
from wearlog.tui.widgets.lines import TopLine
from wearlog.tui.widgets.list_rows import FixedSource
from wearlog.tui.widgets.sheet_rows import SheetSource
from wearlog.tui.widgets.windowed_list import WindowedList


def open_row_form(screens: Host, owner: AreaScreen, sheet: str, row_id: UUID | None = None) -> None:
    """Open the form of a new row of a sheet, or of one that is changed, once the log was asked what it begins with."""

    def opened(start: RowStart) -> None:
        screens.push(RowScreen(start))

    screens.ask(
        owner, "form", partial(row_start, sheet=sheet, row_id=row_id, machine=screens.remembered.machine), opened
    )


class SheetsScreen(DaybookSection):
    """The list of all sheets."""

    MODE: ClassVar[str] = "sheets"
    ABOUT: ClassVar[str] = (
        "Everything that the log can hold, sort by sort, with how many rows there are and what they are. Enter opens the rows of "
        "one sort, a enters a new one. They are the sheets of the import format: the commands entries, enter, change and undo "
        "reach the same rows by the same numbers. / shows only sheets with your words in them; o orders by name or number."
    )
    EMPTY: ClassVar[str] = "No sheet is called so."
    FOOT: ClassVar[tuple[str, ...]] = ("add",)
    BINDINGS: ClassVar[list[BindingType]] = [Binding("a", "add", "new one", tooltip="enter a new row of this sheet")]

    def refresh_answer(self) -> None:
        self.screens.ask(self, "sheets", sheet_list, self._show)

    def _show(self, found: tuple[SheetSource, str]) -> None:
        source, said = found
        self.query_one(AnswerLine).show(said, "Enter opens one sort, a enters a new row of it.")
        self.rows.show(source, self.rows.order)
        if self.focused is None:
            self.rows.focus()

    @property
    def sheet(self) -> str:
        """The sheet under the cursor."""
        row = self.rows.row
        return str(row.key) if row is not None else ""

    def action_add(self) -> None:
        """Open the form of a new row."""
        if self.sheet:
            open_row_form(self.screens, self, self.sheet)

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Open the rows of the sheet."""
        self.screens.push(SheetScreen(str(message.row.key)))


class SheetScreen(ListArea):
    """The rows of one sheet, the latest first."""

    AREA: ClassVar[str] = "daybook"
    ABOUT: ClassVar[str] = (
        "The rows of one sheet, the latest first, each with the number that names it to the commands, too. Enter changes the row "
        "under the cursor, a enters a new one, u or Del takes it back after a question: with it goes what was entered along with "
        "it. What later rows rest on is refused, with the reason. / shows only rows with all your words in them."
    )
    FOOT: ClassVar[tuple[str, ...]] = ("add", "undo_this", "filter")
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "add", "new one", tooltip="enter a new row of this sheet"),
        Binding("u", "undo_this", "take back", tooltip="take back the row under the cursor"),
        Binding("delete", "take_out", "take back", show=False, tooltip="take back the row under the cursor"),
        Binding("escape", "all", "back", tooltip="clear the filter; else back"),
    ]

    def __init__(self, sheet: str) -> None:
        super().__init__()
        self.sheet = sheet

    def body(self) -> Iterable[Widget]:
        yield AnswerLine("Opening the log ...", id="answer")
        yield from super().body()

    def on_mount(self) -> None:
        """Name the sheet."""
        super().on_mount()
        self.query_one(TopLine).name_shown = spoken(self.sheet)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """The rows stand in the order of time: there is no other."""
        return action not in ("order", "turn")

    def refresh_answer(self) -> None:
        self.screens.ask(self, "sheet", partial(sheet_shown, sheet=self.sheet), self._show)

    def _show(self, shown: SheetShown) -> None:
        self.query_one(AnswerLine).show(*shown.answer)
        rows = self.rows
        rows.empty = f"No {spoken(self.sheet)} here. a enters one."
        if tuple(rows.source.columns) != shown.columns:
            # rows that were fetched have as many cells as the columns had then
            rows.show(FixedSource(shown.columns, ()), rows.order)
        rows.show(SheetRowSource(shown), rows.order)
        if self.focused is None:
            rows.focus()

    @property
    def row_id(self) -> UUID | None:
        """The row under the cursor."""
        row = self.rows.row
        return row.key if row is not None and isinstance(row.key, UUID) else None

    def action_add(self) -> None:
        """Open the form of a new row."""
        open_row_form(self.screens, self, self.sheet)

    def on_windowed_list_chosen(self, message: WindowedList.Chosen) -> None:
        """Open the form of the row."""
        if isinstance(message.row.key, UUID):
            open_row_form(self.screens, self, self.sheet, message.row.key)

    def action_undo_this(self) -> None:
        """Ask whether the row under the cursor is to be taken back."""
        row_id = self.row_id
        if row_id is None:
            self.say("There is no row under the cursor.", alarm=True)
            return

        def asked(question: str) -> None:
            self.screens.push(AskUndoPage(question, agreed))

        def agreed() -> None:
            self.screens.ask(self, "take", partial(take_row_back, sheet=self.sheet, row_id=row_id), self._taken)

        self.screens.ask(self, "taking", partial(taking_back, sheet=self.sheet, row_id=row_id), asked)

    def action_take_out(self) -> None:
        """The same by another key."""
        self.action_undo_this()

    def _taken(self, said: str) -> None:
        self.screens.say(said)
        self.screens.something_entered()

    def action_all(self) -> None:
        """Clear the filter; where there is none, go back."""
        if self.query_one("#filter", Input).has_class("-open"):
            super().action_all()
        else:
            self.dismiss()
